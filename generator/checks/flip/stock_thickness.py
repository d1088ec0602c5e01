"""What does a plate that is thicker or thinner than its name do to floors and shallow cuts?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less, no_more
from generator.estimate.stock import BOTTOM_FACE, floor_mm, recesses, thickness_of
from generator.outline.measure import bounds
from generator.part.part import Face, Feature, Plan
from generator.recipe.model import Recipe

ID = "stock-thickness"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``thin-floor`` and ``may-vanish`` for what a plate at the end of its tolerance does.

    A plate that has been measured says nothing more.
    """
    stock = recipe.cover.stock
    if stock.measured is not None or stock.tolerance <= 0.0:
        return
    for f in recesses(plan):
        if stock.depths_from == BOTTOM_FACE:
            if f.face is Face.TOP:
                yield from _shallow(recipe, f)
        elif f.face is Face.TOP or f.layer == "bottom-pocket":
            yield from _floor(recipe, plan, f)


def _floor(recipe: Recipe, plan: Plan, f: Feature) -> Iterator[Finding]:
    """Yield ``thin-floor``: depths are held from their own face, so floors take the whole error."""
    limits, stock = recipe.limits.walls, recipe.cover.stock
    floor, off = floor_mm(plan, f), thickness_of(recipe).floors_mm
    if floor < limits.sound.value or floor - off >= limits.thinnest.value:
        return
    left = floor - off
    yield Finding(
        check=ID,
        code="thin-floor",
        severity=Severity.WARNS,
        message=f"the floor at {f.name} is {floor:.3f} mm by the plate's name; a plate thinner by {stock.tolerance:g} "
        f"mm and two depths each deeper by {recipe.tolerances.depth:g} mm leave {left:.3f} mm",
        feature=f.name,
        point_mm=bounds(f.region).centre,
        face=f.face.value,
        figure=left,
        limit=limits.thinnest.value,
        unit="mm",
        source=limits.thinnest.told_source,
        remedy=f"measure the plate and state it as cover.stock.measured, or set cover.stock.thickness to at least "
        f"{no_less(stock.thickness + limits.thinnest.value - left)}, or "
        f"{_bought(stock.tolerance, left, limits.thinnest.value)}",
        path="cover.stock.tolerance",
    )


def _bought(tolerance_mm: float, left_mm: float, least_mm: float) -> str:
    """Return the edit for a plate bought to a closer tolerance."""
    closer = tolerance_mm - (least_mm - left_mm)
    return f"set cover.stock.tolerance to at most {no_more(closer)}" if closer > 0.0 else "cut less deep"


def _shallow(recipe: Recipe, f: Feature) -> Iterator[Finding]:
    """Yield ``may-vanish``: heights are held from the bottom face, so what is cut from the top takes the error."""
    stock = recipe.cover.stock
    left = f.depth_mm - thickness_of(recipe).top_mm
    if left > 0.0:
        return
    yield Finding(
        check=ID,
        code="may-vanish",
        severity=Severity.WARNS,
        message=f"{f.name} is {f.depth_mm:g} mm deep; heights are held from the bottom face, and a plate thinner by "
        f"{stock.tolerance:g} mm, cut {recipe.tolerances.depth:g} mm too high, leaves nothing of it",
        feature=f.name,
        point_mm=bounds(f.region).centre,
        face="top",
        figure=left,
        limit=0.0,
        unit="mm",
        source=GEOMETRY,
        remedy="set cover.stock.depths_from to `own face`, or measure the plate and state it as cover.stock.measured; "
        "either keeps its depth",
        path="cover.stock.depths_from",
    )


CHECK = Check(
    ID,
    "plate that is thicker or thinner than its name",
    "Plate is sold with a tolerance. Whichever face depths are held from, something takes the error: the floor between "
    "the faces, or the depth of what is cut from the top.",
    GEOMETRY,
    run,
    formula="own face: floor - cover.stock.tolerance - 2 x tolerances.depth; bottom face: depth - "
    "cover.stock.tolerance - tolerances.depth",
    limits=("walls.thinnest", "walls.sound"),
)
