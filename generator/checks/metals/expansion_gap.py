"""Does the gap round an insert stay open in heat and cold?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import NOISE, Check
from generator.formulas.expansion import gap_left
from generator.part.bonds import gap_ways
from generator.part.inlays import gap_of
from generator.part.metals import MADE_AT_C, Far, far_corners, warmth
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

ID = "expansion-gap"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``closes`` for inserts that grow against their pocket's wall, or shrink onto an island of plate in it.

    Told once an insert, for the place and the temperature where least is left.
    """
    outer = plan.cover.material.cte_per_k
    for insert in plan.inserts:
        inner = insert.material.cte_per_k
        if outer is None or inner is None or not insert.profile:
            continue
        gap = gap_of(recipe.inlays[insert.name.removeprefix("insert-")]).value
        ways = [
            way
            for far in far_corners(insert.profile)
            for by in warmth(recipe)
            for way in (
                (gap_left(gap, inner, outer, far.corner_mm, by), by, far, False),
                (gap_left(gap, outer, inner, far.hole_mm, by), by, far, True),
            )
        ]
        left, by, far, inside = min(ways, key=lambda way: way[0])
        if left < -NOISE:
            yield _finding(insert, (gap, left, by), far, inside, gap_ways(recipe, plan, insert))


def _finding(insert: Part, figures: tuple[float, float, float], far: Far, inside: bool, ways: str) -> Finding:
    """Return the finding of an insert that presses on its pocket's wall, or on an island within."""
    gap, left, by = figures
    name, taken = insert.name.removeprefix("insert-"), gap - left
    across = f"{taken * far.x_mm / far.corner_mm:.3f} mm along x, {taken * far.y_mm / far.corner_mm:.3f} mm along y"
    where = f"outgrows its pocket by {taken:.3f} mm at its far corner ({across})"
    if inside:
        where = f"closes by {taken:.3f} mm on the plate that stands within it"
    return Finding(
        check=ID,
        code="closes",
        severity=Severity.WARNS,
        message=f"at {MADE_AT_C + by:g} °C insert {name} {where}: its gap of {gap:g} mm is used up, and it presses on "
        "the wall or lifts",
        feature=insert.name,
        point_mm=far.hole_at if inside else far.at,
        face="top",
        figure=left,
        limit=0.0,
        unit="mm",
        source=GEOMETRY,
        remedy=ways,
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
