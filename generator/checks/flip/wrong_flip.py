"""Without dowels: would anybody notice that the blank was turned over about the wrong axis?"""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check
from generator.outline.contour import Point
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outline.transform import turned
from generator.part.part import Face, Plan
from generator.part.relation import covers
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels

ID = "wrong-flip"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``unnoticed`` for a blank without dowels whose bottom face does not look the same after half a turn."""
    bottom = [f.region for f in plan.cover.features if f.face is Face.BOTTOM and f.region]
    if isinstance(recipe.dowels, Dowels) or not bottom:
        return
    middle = bounds(plan.blank.region).centre
    if all(_same_after_half_a_turn(r, middle) for r in bottom):
        return
    axis = "upright" if plan.flip.direction == "y" else "lying"
    yield Finding(
        check=ID,
        code="unnoticed",
        severity=Severity.NOTES,
        message=f"nothing but its edges registers the blank, a rectangle: turned over about the other axis than the "
        f"{axis} one it lies just as well, and what is then cut is half a turn off what was cut before",
        feature="blank",
        point_mm=middle,
        face="bottom",
        source=GEOMETRY,
        remedy="add dowels, which then fit one way only; or leave it and mark the stop edge and "
        "the face on the blank itself",
        path="dowels",
    )


def _same_after_half_a_turn(region: Region, middle: Point) -> bool:
    """Return True if half a turn about a point lays a region onto itself."""
    half = turned(region, pi, middle)
    return covers(region, half) and covers(half, region)


CHECK = Check(
    ID,
    "a wrong flip that nobody notices",
    "A rectangular blank goes back into the vice four ways, and only one is right. Dowels at unequal "
    "distances leave one.",
    GEOMETRY,
    run,
    formula="the bottom face turned by half a turn about the middle of the blank, against itself",
)
