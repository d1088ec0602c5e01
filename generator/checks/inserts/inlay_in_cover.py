"""Do the inlay pockets lie inside the top face?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less, no_more
from generator.outline.measure import bounds
from generator.part.clearing import Room, outline_at, shift_into, told_place
from generator.part.nearness import growth_to_cover, thin_walls, widest
from generator.part.part import Feature, Plan
from generator.recipe.model import Recipe

ID = "inlay-in-cover"
LEAST_SHARE = 4.0
"""Shrinking is offered if it takes less than this part of the inlay's narrower side on each side."""


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
            remedy=_remedy(recipe, plan, pocket, sound.value + reach),
            path=f"{pocket.path}.outline",
        )


def _remedy(recipe: Recipe, plan: Plan, pocket: Feature, need_mm: float) -> str:
    """Return the edits that bring the pocket inside: a larger cover, a smaller inlay, a move; the move was tried."""
    outline = outline_at(recipe, pocket.path)
    edits = [f"set cover.outer.grow to at least {no_less(recipe.cover.outer.grow_mm + need_mm)}"]
    box = bounds(pocket.region)
    if need_mm < min(box.width_mm, box.height_mm) / LEAST_SHARE:
        edits.append(f"{pocket.path}.outline.grow to at most {no_more(outline.grow_mm - need_mm)}")
    beside = [widest(f) for f in plan.cover.features if f.name != pocket.name and f.layer != "bottom-pocket"]
    room = Room(plan.cover.profile, beside, recipe.limits.walls.sound.value)
    if place := shift_into(pocket.region, room, outline.at_mm):
        edits.append(f"set {pocket.path}.outline.at to {told_place(place)}")
    return ", or ".join(edits)


CHECK = Check(
    ID,
    "inlay pockets inside the cover",
    "An insert is held by the walls of its pocket; where the pocket runs over the edge there is none.",
    GEOMETRY,
    run,
    limits=("walls.sound",),
)
