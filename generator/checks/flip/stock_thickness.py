"""What does a plate that is thicker or thinner than its name do to floors and shallow cuts?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import NOISE, Check, no_less, no_more
from generator.estimate.stock import BOTTOM_FACE, floor_mm, recesses, thickness_of
from generator.outline.measure import bounds
from generator.part.part import Face, Feature, Plan
from generator.recipe.model import Recipe

ID = "stock-thickness"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``thin-floor`` and ``may-vanish`` for what a plate at the end of its tolerance and errors of depth do.

    ``not-the-plate`` where it is said to measure what no plate of its name does. Of a plate that has been measured, and
    of floors where heights are held from the bottom face, only depths are off.
    """
    yield from _not_the_plate(recipe)
    off = thickness_of(recipe)
    for f in recesses(plan):
        if off.floors_mm > 0.0 and (f.face is Face.TOP or f.layer == "bottom-pocket"):
            yield from _floor(recipe, plan, f)
        if off.top_mm > 0.0 and recipe.cover.stock.depths_from == BOTTOM_FACE and f.face is Face.TOP:
            yield from _shallow(recipe, f)


def _not_the_plate(recipe: Recipe) -> Iterator[Finding]:
    """Yield ``not-the-plate``: a measure that lies farther from the name than the plate may."""
    stock = recipe.cover.stock
    if stock.measured is None or abs(stock.measured - stock.thickness) <= stock.tolerance + NOISE:
        return
    off = abs(stock.measured - stock.thickness)
    yield Finding(
        check=ID,
        code="not-the-plate",
        severity=Severity.WARNS,
        message=f"the plate is said to measure {stock.measured:g} mm, {off:.4g} mm off the {stock.thickness:g} mm of "
        f"its name; plate of that name is off by {stock.tolerance:g} mm at most: it is another plate, or misread",
        feature="outer-profile",
        face="top",
        figure=off,
        limit=stock.tolerance,
        unit="mm",
        source="cover.stock.tolerance of the recipe",
        remedy=f"set cover.stock.thickness to {stock.measured:g} mm, or leave cover.stock.measured out, "
        "or measure the plate once more",
        path="cover.stock.measured",
    )


def _floor(recipe: Recipe, plan: Plan, f: Feature) -> Iterator[Finding]:
    """Yield ``thin-floor``: depths held from their own face leave the whole error to floors."""
    limits, depth = recipe.limits.walls, recipe.tolerances.depth
    floor, off = floor_mm(plan, f), thickness_of(recipe).floors_mm
    left = floor - off
    if floor < limits.sound.value - NOISE or left >= limits.thinnest.value - NOISE:
        return
    plate = off - 2.0 * depth
    thinner = f"a plate thinner by {plate:g} mm and " if plate > NOISE else ""
    yield Finding(
        check=ID,
        code="thin-floor",
        severity=Severity.WARNS,
        message=f"the floor at {f.name} is {floor:.3f} mm by the plate's {_named(recipe)}; {thinner}two depths each "
        f"deeper by {depth:g} mm leave {left:.3f} mm",
        feature=f.name,
        point_mm=bounds(f.region).centre,
        face=f.face.value,
        figure=left,
        limit=limits.thinnest.value,
        unit="mm",
        source=limits.thinnest.told_source,
        remedy=_thick_enough(recipe, plate, limits.thinnest.value - left),
        path="cover.stock.tolerance" if plate > NOISE else "tolerances.depth",
    )


def _named(recipe: Recipe) -> str:
    return "name" if recipe.cover.stock.measured is None else "measure"


def _thick_enough(recipe: Recipe, plate_mm: float, lacks_mm: float) -> str:
    """Return the edits that leave enough floor: a plate measured, thicker or bought closer, depths held closer."""
    stock, edits = recipe.cover.stock, []
    if plate_mm > NOISE:
        edits.append("measure the plate and state it as cover.stock.measured")
    if stock.measured is None:
        edits.append(f"set cover.stock.thickness to at least {no_less(stock.thickness + lacks_mm)}")
    if plate_mm > lacks_mm:
        edits.append(f"set cover.stock.tolerance to at most {no_more(plate_mm - lacks_mm)}")
    if recipe.tolerances.depth > lacks_mm / 2.0:
        edits.append(f"set tolerances.depth to at most {no_more(recipe.tolerances.depth - lacks_mm / 2.0)}")
    return ", or ".join(edits) or f"cut it less deep by {no_less(lacks_mm)}"


def _shallow(recipe: Recipe, f: Feature) -> Iterator[Finding]:
    """Yield ``may-vanish``: heights are held from the bottom face, so what is cut from the top takes the error."""
    depth, off = recipe.tolerances.depth, thickness_of(recipe)
    left = f.depth_mm - off.top_mm
    if left > NOISE:
        return
    thinner = f"a plate thinner by {off.plate_mm:g} mm, " if off.plate_mm > 0.0 else "a plate "
    keeps = depth < f.depth_mm - NOISE
    remedy = (
        "set cover.stock.depths_from to `own face`, or measure the plate and state it as cover.stock.measured; "
        "either keeps its depth"
        if keeps
        else f"cut it deeper than the {depth:g} mm by which depths may be off, or set tolerances.depth smaller"
    )
    yield Finding(
        check=ID,
        code="may-vanish",
        severity=Severity.WARNS,
        message=f"{f.name} is {f.depth_mm:g} mm deep; heights are held from the bottom face, and {thinner}"
        f"cut {depth:g} mm too high, leaves nothing of it",
        feature=f.name,
        point_mm=bounds(f.region).centre,
        face="top",
        figure=left,
        limit=0.0,
        unit="mm",
        source=GEOMETRY,
        remedy=remedy,
        path="cover.stock.depths_from" if keeps else "tolerances.depth",
    )


CHECK = Check(
    ID,
    "plate that is thicker or thinner than its name",
    "Plate is sold with a tolerance. Whichever face depths are held from, something takes the error: the floor between "
    "the faces, or the depth of what is cut from the top.",
    GEOMETRY,
    run,
    formula="floor - 2 x tolerances.depth, with depths from their own face less cover.stock.tolerance, too; bottom "
    "face: depth - cover.stock.tolerance - tolerances.depth; no plate tolerance where it was measured; |measured - "
    "thickness| against cover.stock.tolerance",
    limits=("walls.thinnest", "walls.sound"),
)
