"""Does the outer shape leave a wall all round the bottom pocket?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.outline.combine import difference, intersection
from generator.outline.measure import area
from generator.outline.offset import offset_region
from generator.outline.region import Region
from generator.part.nearness import growth_to_cover, sticks_out_at, wall_mm
from generator.part.part import Plan
from generator.part.relation import meets
from generator.recipe.model import Recipe

ID = "pocket-in-outer"
TRACE_MM2 = 1e-3
"""Smaller areas outside are rounding."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``breaks-out``, ``wall-too-thin`` or ``thin-wall`` for the wall round the bottom pocket."""
    pocket = next(f for f in plan.cover.features if f.name == "bottom-pocket").region
    outer = plan.outer or plan.cover.profile
    pocket = _beside_notches(pocket, outer, plan, recipe.limits.walls.sound.value)
    wall, at, over = wall_mm(outer, pocket)
    if over and area(outside := difference(pocket, outer)) > TRACE_MM2:
        reach = growth_to_cover(outer, pocket)
        yield _finding(
            recipe,
            "breaks-out",
            Severity.FORBIDS,
            f"the bottom pocket reaches {reach:.2f} mm over the outer shape",
            at=sticks_out_at(outer, outside),
            figure=-reach,
            limit=0.0,
            need=reach + recipe.limits.walls.sound.value,
            source=GEOMETRY,
        )
    elif wall < recipe.limits.walls.sound.value - MODEL.same_mm:
        least = recipe.limits.walls.thinnest if wall < recipe.limits.walls.thinnest.value else recipe.limits.walls.sound
        yield _finding(
            recipe,
            "wall-too-thin" if least is recipe.limits.walls.thinnest else "thin-wall",
            Severity.WARNS,
            f"the wall round the bottom pocket is only {wall:.3f} mm thick",
            at=at,
            figure=wall,
            limit=least.value,
            need=recipe.limits.walls.sound.value - wall,
            source=least.told_source,
        )


def _beside_notches(pocket: Region, outer: Region, plan: Plan, by_mm: float) -> Region:
    """Return the pocket without the places where an opening over it runs out over the edge on purpose.

    Openings that run out beside the pocket have a wall to it, which has a check of its own.
    """
    over = [f.region for f in plan.notches if meets(pocket, f.region)]
    for region in over:
        pocket = difference(pocket, offset_region(intersection(outer, region), by_mm)) or pocket
    return pocket


def _finding(
    recipe: Recipe,
    code: str,
    severity: Severity,
    message: str,
    *,
    at: tuple[float, float],
    figure: float,
    limit: float,
    need: float,
    source: str,
) -> Finding:
    """Return the finding with the outer shape's remedy: its margin where it has one, else its ``grow``."""
    outer = recipe.cover.outer
    margin = getattr(outer.params, "margin", None)
    if isinstance(margin, float | int):
        remedy = f"set cover.outer.{outer.kind}.margin to at least {no_less(margin + need)}"
    else:
        remedy = f"set cover.outer.grow to at least {no_less(outer.grow_mm + need)}"
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature="bottom-pocket",
        point_mm=at,
        face="bottom",
        figure=figure,
        limit=limit,
        unit="mm",
        source=source,
        remedy=remedy,
        path="cover.outer",
    )


CHECK = Check(
    ID,
    "wall round the bottom pocket",
    "A pocket that reaches over the outer shape opens the side of the cover; a wall thinner than a cutter's deflection "
    "tears or bends.",
    GEOMETRY,
    run,
    limits=("walls.sound", "walls.thinnest"),
)
