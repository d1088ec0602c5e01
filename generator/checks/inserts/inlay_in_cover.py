"""Do the inlay pockets lie inside the top face?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check
from generator.part.nearness import growth_to_cover, thin_walls
from generator.part.part import Plan
from generator.part.top_place import edits_into_cover
from generator.recipe.model import Recipe

ID = "inlay-in-cover"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``breaks-out`` or ``thin-wall`` for every inlay pocket at the cover's edge."""
    profile, sound = plan.cover.profile, recipe.limits.walls.sound
    pockets = [f for f in plan.cover.features if f.is_top_recess]
    for near in thin_walls(profile, pockets, sound.value):
        pocket, over = near.first, near.meets
        reach = growth_to_cover(profile, pocket.region) if over else -near.gap_mm
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
            limit=0.0 if over else sound.value,
            unit="mm",
            source=GEOMETRY if over else sound.told_source,
            remedy=edits_into_cover(recipe, plan, pocket, sound.value + reach),
            path=f"{pocket.path}.outline",
        )


CHECK = Check(
    ID,
    "inlay pockets inside the cover",
    "An insert is held by the walls of its pocket; where the pocket runs over the edge there is none.",
    GEOMETRY,
    run,
    limits=("walls.sound",),
)
