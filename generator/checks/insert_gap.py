"""Does the gap leave an insert, and one that neither rattles nor has to be hammered in?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GAP_LOOSE, GAP_TIGHT, GEOMETRY
from generator.checks.check import Check
from generator.outline.measure import bounds, signed_area
from generator.outline.predicates import Side, contains_points
from generator.outline.region import Region
from generator.outline.separate import separated
from generator.part.inlays import gap_of
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "insert-gap"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``swallowed``, ``piece-swallowed``, ``falls-apart``, ``tight`` and ``loose`` for every insert."""
    pockets = {f.layer: f.region for f in plan.cover.features if f.layer.startswith("inlay-pocket")}
    for insert in plan.inserts:
        name = insert.name.removeprefix("insert-")
        gap = gap_of(recipe.inlays[name]).value
        pocket = pockets[f"inlay-pocket-{name}"]
        if not insert.profile:
            yield _finding(name, pocket, "swallowed", f"a gap of {gap:g} mm leaves nothing of insert {name}", gap, 0.05)
            continue
        parts = _parts(pocket, insert.profile)
        if min(parts) == 0:
            message = f"a gap of {gap:g} mm leaves nothing of {parts.count(0)} of {len(parts)} pieces of insert {name}"
            yield _finding(name, pocket, "piece-swallowed", message, gap, 0.05)
        elif max(parts) > 1:
            message = f"a gap of {gap:g} mm lets insert {name} fall into {sum(parts)} pieces"
            yield _finding(name, pocket, "falls-apart", message, gap, 0.05, severity=Severity.WARNS)
        elif gap < GAP_TIGHT.value and (recipe.inlays[name].fit != "press" or recipe.inlays[name].gap is not None):
            message = f"insert {name} with a gap of {gap:g} mm has to be hammered in"
            yield _finding(name, pocket, "tight", message, gap, 0.05, Severity.WARNS, GAP_TIGHT.value, GAP_TIGHT.source)
        elif gap > GAP_LOOSE.value:
            message = f"insert {name} with a gap of {gap:g} mm sits loose, and adhesive bridges it badly"
            yield _finding(name, pocket, "loose", message, gap, 0.1, Severity.WARNS, GAP_LOOSE.value, GAP_LOOSE.source)


def _parts(pocket: Region, insert: Region) -> list[int]:
    """Return into how many pieces the insert of each piece of the pocket falls; 0 where the gap swallows it."""
    made = [c for c in insert if signed_area(c) > 0.0]
    starts = [next(c.segments()).start for c in made]
    out = []
    for piece in separated(pocket):
        sides = contains_points(piece, starts) if starts else []
        out.append(sum(side is not Side.OUTSIDE for side in sides))
    return out


def _finding(
    name: str,
    pocket: Region,
    code: str,
    message: str,
    gap: float,
    better: float,
    severity: Severity = Severity.FORBIDS,
    limit: float | None = None,
    source: str = GEOMETRY,
) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature=f"insert-{name}",
        point_mm=bounds(pocket).centre,
        face="top",
        figure=gap,
        limit=limit,
        unit="mm",
        source=source,
        remedy=f"set inlays.{name}.gap to {better:g} mm",
        path=f"inlays.{name}.gap",
    )


CHECK = Check(
    ID,
    "gap between insert and pocket",
    "The gap holds the adhesive and takes up the errors of both outlines; it is also what the eye sees.",
    f"{GAP_TIGHT.source}; {GAP_LOOSE.source}",
    run,
)
