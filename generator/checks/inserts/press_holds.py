"""Does a pressed-in insert hold when both sizes lie at the wrong end?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.checks.check import NOISE, Check, no_more
from generator.formulas.fits import clearance
from generator.outline.measure import centroid
from generator.part.bonds import bond_ways
from generator.part.inlays import gap_of
from generator.part.metals import is_bonded
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

ID = "press-holds"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``rattles`` for inserts that nothing bonds and that may come out loose in their pockets."""
    limit, size = recipe.limits.inserts.rattles, recipe.tolerances.size
    for insert in plan.inserts:
        inlay = recipe.inlays[insert.name.removeprefix("insert-")]
        gap = gap_of(inlay).value
        _, most = clearance(size, -size, size - 2.0 * gap, -size - 2.0 * gap)
        if insert.profile and not is_bonded(inlay) and 0.5 * most > limit.value + NOISE:
            yield _finding(recipe, plan, insert, gap, 0.5 * most)


def _finding(recipe: Recipe, plan: Plan, insert: Part, gap: float, loose: float) -> Finding:
    """Return the finding of one insert."""
    name, limit, size = insert.name.removeprefix("insert-"), recipe.limits.inserts.rattles, recipe.tolerances.size
    bond = bond_ways(recipe, plan, insert)
    finer = f"set tolerances.size to at most {no_more(limit.value - gap)}, if the machine holds it, or "
    tight = f"anything from {size - gap:.3g} mm too large to " if size > gap else "up to "
    return Finding(
        check=ID,
        code="rattles",
        severity=Severity.WARNS,
        message=f"nothing but its fit holds insert {name}: with sizes within ±{size:g} mm it comes out "
        f"{tight}{loose:.3g} mm loose, a side",
        feature=insert.name,
        point_mm=centroid(insert.profile),
        face="top",
        figure=loose,
        limit=limit.value,
        unit=limit.unit,
        source=limit.told_source,
        remedy=f"{finer if limit.value > gap else ''}{bond}, or fit each insert to its own pocket by hand and leave it",
        path=f"inlays.{name}.fit",
    )


CHECK = Check(
    ID,
    "pressed-in inserts that hold",
    "A press fit lives on a hundredth of a millimetre. Where the machine keeps sizes to a few hundredths only, one "
    "insert has to be hammered in and the next one falls out.",
    "ISO 286-1 (clearance of a fit from the limits of both sizes)",
    run,
    formula="greatest clearance a side = gap + tolerances.size, both widths at their limits",
    limits=("inserts.rattles",),
)
