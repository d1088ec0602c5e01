"""Do the inlay pockets lie inside the top face?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY, SOUND_WALL
from generator.checks.check import Check, no_less
from generator.part.nearness import growth_to_cover, thin_walls
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "inlay-in-cover"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``breaks-out`` or ``thin-wall`` for every inlay pocket at the cover's edge."""
    profile = plan.cover.profile
    pockets = [f for f in plan.cover.features if f.layer.startswith("inlay-pocket")]
    for near in thin_walls(profile, pockets, SOUND_WALL.value):
        pocket, over = near.first, near.meets
        reach = growth_to_cover(profile, pocket.region) if over else -near.gap_mm
        outline = recipe.inlays[pocket.layer.removeprefix("inlay-pocket-")].outline
        shrink = outline.grow_mm - (SOUND_WALL.value + reach)
        yield Finding(
            check=ID,
            code="breaks-out" if over else "thin-wall",
            severity=Severity.FORBIDS if over else Severity.WARNS,
            message=(
                f"{pocket.name} "
                + (
                    f"reaches {reach:.2f} mm over the cover's edge"
                    if over
                    else f"leaves a wall of only {near.gap_mm:.3f} mm to the edge"
                )
            ),
            feature=pocket.name,
            point_mm=near.at,
            face="top",
            figure=-reach,
            limit=0.0 if over else SOUND_WALL.value,
            unit="mm",
            source=GEOMETRY if over else SOUND_WALL.source,
            remedy=f"set {pocket.path}.outline.grow to {-float(no_less(-shrink)[:-3]):g} mm, "
            f"or cover.outer.grow to at least {no_less(recipe.cover.outer.grow_mm + SOUND_WALL.value + reach)}",
            path=f"{pocket.path}.outline",
        )


CHECK = Check(
    ID,
    "inlay pockets inside the cover",
    "An insert is held by the walls of its pocket; where the pocket runs over the edge there is none.",
    SOUND_WALL.source,
    run,
)
