"""Without dowels: would anybody notice that the blank was turned over about the wrong axis, or put back turned?"""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import NOISE, Check
from generator.estimate.flip import same_from_below
from generator.outline.contour import Point
from generator.outline.measure import bounds
from generator.part.part import Plan
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels

ID = "wrong-flip"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``unnoticed`` for a blank without dowels whose bottom face does not look the same turned as it may go in.

    Half a turn lays a rectangle onto itself; a quarter turn a square, or one whose sides differ too little to be seen.
    """
    if isinstance(recipe.dowels, Dowels):
        return
    box = bounds(plan.blank.region)
    if not same_from_below(plan, pi, box.centre):
        yield _finding(
            f"nothing but its edges registers the blank, a rectangle: turned over about the other axis than the "
            f"{_axis(plan)} one it lies just as well, and what is then cut is half a turn off what was cut before",
            box.centre,
        )
    sides, seen = abs(box.width_mm - box.height_mm), recipe.limits.flip.dowel_asymmetry
    if sides < seen.value - NOISE and not same_from_below(plan, pi / 2.0, box.centre):
        yield _finding(
            f"nothing but its edges registers the blank, and it is as good as square, {box.width_mm:.4g} x "
            f"{box.height_mm:.4g} mm: a quarter turn off it lies just as well",
            box.centre,
        )


def _axis(plan: Plan) -> str:
    return "upright" if plan.flip.direction == "y" else "lying"


def _finding(message: str, at: Point) -> Finding:
    return Finding(
        check=ID,
        code="unnoticed",
        severity=Severity.NOTES,
        message=message,
        feature="blank",
        point_mm=at,
        face="bottom",
        source=GEOMETRY,
        remedy="add dowels at unequal distances from the middle: a blank laid in turned is then seen to lie off; or "
        "leave it and mark the stop edge and the face on the blank itself",
        path="dowels",
    )


CHECK = Check(
    ID,
    "a wrong flip that nobody notices",
    "A rectangular blank goes back into the vice four ways, a square one eight, and only one is right. Dowels at "
    "unequal distances show a blank that is laid in turned.",
    GEOMETRY,
    run,
    formula="the bottom face turned by half a turn about the middle of the blank, and by a quarter if that is square, "
    "against itself",
    limits=("flip.dowel_asymmetry",),
)
