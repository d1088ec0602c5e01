"""Can plate and sheets be had in the thickness that is asked for?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base import stocked
from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.units import MODEL
from generator.checks.check import Check
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "stock-standard"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``odd-plate`` and ``odd-sheet`` for thicknesses that no dealer has; what was measured is at hand."""
    limit = recipe.limits.shop.stock_within
    step = stocked.INCH_PLATE_STEP if plan.units == "inch" else 0.0
    stock = recipe.cover.stock
    if stock.measured is None:
        told = "leave it and have the plate milled to size"
        yield from _odd("odd-plate", "plate", stock.thickness, (stocked.PLATES_MM, step), limit, "cover.stock", told)
    for name, inlay in recipe.inlays.items():
        told = "leave it and measure the sheet that you have"
        path = f"inlays.{name}.stock"
        yield from _odd("odd-sheet", "sheet", inlay.stock.thickness, (stocked.SHEETS_MM, step), limit, path, told)


def _odd(
    code: str,
    what: str,
    thickness: float,
    series: tuple[tuple[float, ...], float],
    limit: Figure,
    path: str,
    told: str,
) -> Iterator[Finding]:
    """Yield the note on one thickness."""
    near = stocked.nearest(thickness, *series)
    if abs(near - thickness) <= limit.value + MODEL.same_mm:
        return
    more = stocked.larger(thickness, *series)
    yield Finding(
        check=ID,
        code=code,
        severity=Severity.NOTES,
        message=f"{what} of {thickness:g} mm is hard to come by; the nearest in stock has {near:.4g} mm",
        feature=path,
        figure=thickness,
        limit=near,
        unit="mm",
        source=f"{stocked.PLATE_SOURCE}; how near: {limit.told_source}",
        remedy=(f"set {path}.thickness to {more:.5g} mm, or " if more else "") + f"{told}, {thickness:g} mm",
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
