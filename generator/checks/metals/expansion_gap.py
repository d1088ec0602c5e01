"""Does the gap round an insert stay open in heat and cold?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less
from generator.formulas.expansion import gap_left
from generator.part.inlays import gap_of
from generator.part.metals import MADE_AT_C, Far, far_corners, warmth
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

ID = "expansion-gap"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``closes`` for inserts that grow against their pocket's wall, told for the piece that does so most."""
    outer = plan.cover.material.cte_per_k
    for insert in plan.inserts:
        inner = insert.material.cte_per_k
        if outer is None or inner is None or not insert.profile:
            continue
        gap = gap_of(recipe.inlays[insert.name.removeprefix("insert-")]).value
        ways = [
            (gap_left(gap, inner, outer, far.corner_mm, by), by, far)
            for far in far_corners(insert.profile)
            for by in warmth(recipe)
        ]
        left, by, far = min(ways, key=lambda way: way[0])
        if left < 0.0:
            yield _finding(insert, gap, left, by, far)


def _finding(insert: Part, gap: float, left: float, by: float, far: Far) -> Finding:
    """Return the finding of an insert that presses on its pocket's wall."""
    name = insert.name.removeprefix("insert-")
    taken = gap - left
    across = f"{taken * far.x_mm / far.corner_mm:.3f} mm along x, {taken * far.y_mm / far.corner_mm:.3f} mm along y"
    return Finding(
        check=ID,
        code="closes",
        severity=Severity.WARNS,
        message=f"at {MADE_AT_C + by:g} °C insert {name} outgrows its pocket by {taken:.3f} mm at its far corner "
        f"({across}): its gap of {gap:g} mm closes, and it presses on the wall or lifts",
        feature=insert.name,
        point_mm=far.at,
        face="top",
        figure=left,
        limit=0.0,
        unit="mm",
        source=GEOMETRY,
        remedy=f"set inlays.{name}.gap to at least {no_less(taken)}",
        path=f"inlays.{name}.gap",
    )


CHECK = Check(
    ID,
    "gap of inserts in heat and cold",
    "Insert and cover grow differently. The pocket's wall is nearest where the insert reaches farthest from its "
    "middle; once the gap is used up there, the insert presses on the wall, bows up or breaks its bond.",
    "(α1 - α2) L ΔT, any text of physics",
    run,
    formula="gap - (α of the insert - α of the cover) x distance of the far corner from the middle x (°C - 20)",
)
