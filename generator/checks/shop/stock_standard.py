"""Can plate and sheets be had in the thickness that is asked for?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base import stocked
from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.units import MODEL
from generator.checks.check import Check
from generator.part.bonds import may_be_thicker
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "stock-standard"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``odd-plate`` and ``odd-sheet`` for thicknesses that no dealer has; what was measured is at hand.

    A plate is offered thicker, for a thinner one takes of every floor; a sheet the nearest way that leaves a floor.
    """
    limit = recipe.limits.shop.stock_within
    step = stocked.INCH_PLATE_STEP if plan.units == "inch" else 0.0
    stock = recipe.cover.stock
    if stock.measured is None and _is_odd(stock.thickness, stocked.PLATES_MM, step, limit):
        told = "leave it and have the plate milled to size"
        offered = stocked.larger(stock.thickness, stocked.PLATES_MM, step)
        near = stocked.nearest(stock.thickness, stocked.PLATES_MM, step)
        yield _odd("odd-plate", "plate", stock.thickness, (near, offered), limit, "cover.stock", told)
    for name, inlay in recipe.inlays.items():
        thickness = inlay.stock.thickness
        if _is_odd(thickness, stocked.SHEETS_MM, step, limit):
            told = "leave it and measure the sheet that you have"
            near = stocked.nearest(thickness, stocked.SHEETS_MM, step)
            offered = _sheet(recipe, plan, name, near, step)
            yield _odd("odd-sheet", "sheet", thickness, (near, offered), limit, f"inlays.{name}.stock", told)


def _is_odd(thickness: float, sizes: tuple[float, ...], step: float, limit: Figure) -> bool:
    return abs(stocked.nearest(thickness, sizes, step) - thickness) > limit.value + MODEL.same_mm


def _sheet(recipe: Recipe, plan: Plan, name: str, near: float, step: float) -> float | None:
    """Return the nearest sheet whose pocket leaves enough of the cover, else the next thinner one."""
    thickness = recipe.inlays[name].stock.thickness
    insert = next((i for i in plan.inserts if i.name == f"insert-{name}"), None)
    if near < thickness or (insert and may_be_thicker(recipe, plan, insert, near - thickness)):
        return near
    return stocked.smaller(thickness, stocked.SHEETS_MM, step)


def _odd(
    code: str,
    what: str,
    thickness: float,
    sizes: tuple[float, float | None],
    limit: Figure,
    path: str,
    told: str,
) -> Finding:
    """Return the note on one thickness: the nearest in stock, and the one that is offered."""
    near, offered = sizes
    return Finding(
        check=ID,
        code=code,
        severity=Severity.NOTES,
        message=f"{what} of {thickness:g} mm is hard to come by; the nearest in stock has {near:.4g} mm",
        feature=path,
        figure=thickness,
        limit=near,
        unit="mm",
        source=f"{stocked.PLATE_SOURCE}; how near: {limit.told_source}",
        remedy=(f"set {path}.thickness to {offered:.5g} mm, or " if offered else "") + f"{told}, {thickness:g} mm",
        path=f"{path}.thickness",
    )


CHECK = Check(
    ID,
    "plate and sheet in stock",
    "Dealers have plate and sheet in a few thicknesses; everything between is ordered at length or milled down.",
    stocked.PLATE_SOURCE,
    run,
    limits=("shop.stock_within",),
)
