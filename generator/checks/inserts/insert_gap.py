"""Does the gap leave an insert, and one that neither rattles nor has to be hammered in?"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import NOISE, Check, no_less
from generator.outline.measure import bounds, signed_area
from generator.outline.predicates import Side, contains_points
from generator.outline.reach import losses
from generator.outline.region import Region
from generator.outline.separate import separated
from generator.part.inlays import gap_of
from generator.part.part import Plan
from generator.recipe.model import Recipe
from generator.recipe.model_inlay import AS_DRAWN, Inlay

ID = "insert-gap"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``swallowed``, ``piece-swallowed``, ``falls-apart``, ``tight``, ``loose``, ``uneven`` of inserts."""
    pockets = {f.layer: f.region for f in plan.cover.features if f.layer.startswith("inlay-pocket")}
    tight, loose = recipe.limits.inserts.gap_tight, recipe.limits.inserts.gap_loose
    for insert in plan.inserts:
        name = insert.name.removeprefix("insert-")
        gap = gap_of(recipe.inlays[name]).value
        pocket = pockets[f"inlay-pocket-{name}"]
        if not insert.profile:
            yield _finding(name, pocket, "swallowed", f"a gap of {gap:g} mm leaves nothing of insert {name}", gap, 0.05)
            continue
        parts = _parts(pocket, insert.profile)
        if set(parts) == {1}:
            yield from _uneven(recipe.limits.inserts.gap_uneven, recipe.inlays[name], name, pocket, gap)
        if min(parts) == 0:
            message = f"a gap of {gap:g} mm leaves nothing of {parts.count(0)} of {len(parts)} pieces of insert {name}"
            yield _finding(name, pocket, "piece-swallowed", message, gap, 0.05)
        elif max(parts) > 1:
            message = f"a gap of {gap:g} mm lets insert {name} fall into {sum(parts)} pieces"
            yield _finding(name, pocket, "falls-apart", message, gap, 0.05, severity=Severity.WARNS)
        elif gap < tight.value - NOISE and (recipe.inlays[name].fit != "press" or recipe.inlays[name].gap is not None):
            message = f"insert {name} with a gap of {gap:g} mm has to be hammered in"
            yield _finding(name, pocket, "tight", message, gap, 0.05, Severity.WARNS, tight.value, tight.told_source)
        elif gap > loose.value + NOISE:
            message = f"insert {name} with a gap of {gap:g} mm sits loose, and adhesive bridges it badly"
            yield _finding(name, pocket, "loose", message, gap, 0.1, Severity.WARNS, loose.value, loose.told_source)


def _uneven(seen: Figure, inlay: Inlay, name: str, pocket: Region, gap: float) -> Iterator[Finding]:
    """Yield ``uneven`` where corners of the pocket are so sharp that the insert's do not come to their centres.

    The insert grown by the gap is the pocket opened by it: as far as a place of the pocket lies outside that, the gap
    is wider there.
    """
    wider = losses(pocket, gap)
    deepest = max(wider, key=lambda x: x.depth_mm, default=None)
    if deepest is None or not seen.value < deepest.depth_mm < inf:
        return
    drawn = inlay.corners == AS_DRAWN
    widest = gap + deepest.depth_mm
    if drawn:
        remedy = (
            f"set inlays.{name}.outline.round_corners to at least {no_less(gap)}, or leave inlays.{name}.corners out"
        )
    else:
        remedy = f"set inlays.{name}.gap to 0.1 mm, or draw nothing in the pocket narrower than {no_less(2.0 * gap)}"
    yield Finding(
        check=ID,
        code="uneven",
        severity=Severity.NOTES if drawn else Severity.WARNS,
        message=f"the gap of insert {name} is {widest:.3f} mm in {_places(len(wider))} of its pocket, not {gap:g} mm "
        "as along its sides",
        feature=f"insert-{name}",
        point_mm=deepest.at,
        face="top",
        figure=widest,
        limit=gap + seen.value,
        unit="mm",
        source=seen.told_source,
        remedy=remedy,
        path=f"inlays.{name}.gap",
    )


def _places(count: int) -> str:
    return f"{count} places" if count > 1 else "1 place"


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
    GEOMETRY,
    run,
    limits=("inserts.gap_tight", "inserts.gap_loose", "inserts.gap_uneven"),
)
