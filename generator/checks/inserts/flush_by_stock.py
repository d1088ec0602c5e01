"""How flush can an insert come out of sheet, plate and depths as they are?"""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from generator.base import sheets
from generator.base.finding import Finding, Severity
from generator.checks.check import NOISE, Check, no_more
from generator.outline.measure import centroid
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

ID = "flush-by-stock"
OWN_FACE = "own face"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``step`` for inserts that are to be flush and may, by sheet, plate and depth, come out off by too much."""
    limit = recipe.limits.inserts.step
    for insert in plan.inserts:
        name = insert.name.removeprefix("insert-")
        if insert.profile and recipe.inlays[name].sits == "flush":
            errors = _errors(recipe, name)
            if sum(errors.values()) > limit.value + NOISE:
                yield _finding(recipe, insert, name, errors)


def _errors(recipe: Recipe, name: str) -> dict[str, float]:
    """Return what may put the insert's face off, plus or minus, mm, by the key that it comes from."""
    sheet, plate = recipe.inlays[name].stock, recipe.cover.stock
    own = sheets.sheet_tolerance(sheet.thickness) if sheet.tolerance is None else sheet.tolerance
    errors = {f"inlays.{name}.stock.tolerance": own, "tolerances.depth": recipe.tolerances.depth}
    if plate.depths_from != OWN_FACE and plate.measured is None:
        errors["cover.stock.tolerance"] = plate.tolerance
    return errors


def _finding(recipe: Recipe, insert: Part, name: str, errors: dict[str, float]) -> Finding:
    """Return the finding of one insert."""
    limit = recipe.limits.inserts.step
    worst, likely = sum(errors.values()), hypot(*errors.values())
    parts = {"tolerances.depth": "depth", "cover.stock.tolerance": "plate"}
    told = ", ".join(f"{parts.get(key, 'sheet')} {value:.3g}" for key, value in errors.items())
    return Finding(
        check=ID,
        code="step",
        severity=Severity.WARNS,
        message=f"insert {name} is to be flush, but may lie up to {worst:.3f} mm off ({told} mm; likely "
        f"{likely:.3f} mm)",
        feature=insert.name,
        point_mm=centroid(insert.profile),
        face="top",
        figure=worst,
        limit=limit.value,
        unit=limit.unit,
        source=limit.told_source,
        remedy=_remedy(errors, worst - limit.value, recipe.inlays[name].stock.tolerance is None)
        + "measure the sheet and keep the pocket's depth to it, or bond the insert first and face both together",
        path=f"inlays.{name}.sits",
    )


def _remedy(errors: dict[str, float], by: float, rolled: bool) -> str:
    """Return the edits that mend it, the plate's first: held from the top face it does not matter."""
    if "cover.stock.tolerance" in errors and errors["cover.stock.tolerance"] >= by:
        return "set cover.stock.depths_from to `own face`, or "
    key = max(errors, key=lambda k: errors[k])
    left = errors[key] - by
    choice = f" (by {sheets.SOURCE})" if rolled and key.startswith("inlays") else ""
    return f"set {key} to at most {no_more(left)}, if you can hold it{choice}, or " if left > 0.0 else ""


CHECK = Check(
    ID,
    "flush by sheet and plate",
    "Sheet is not as thick as its name says, nor is a depth as deep. What is to be flush is off by both, and where "
    "depths are held from the bottom face, by the plate's error as well.",
    f"{sheets.SOURCE} ({sheets.PROVENANCE}); sheets of other metals are taken to be as good",
    run,
    formula="worst: sheet's tolerance + tolerances.depth + plate's tolerance (held from the bottom face, not "
    "measured); likely: root of the sum of squares",
    limits=("inserts.step",),
)
