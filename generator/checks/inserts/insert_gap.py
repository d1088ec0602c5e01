"""Does the gap leave an insert, and one that neither rattles nor has to be hammered in?"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.practice import GAP_OF_FIT, GEOMETRY
from generator.checks.check import NOISE, Check, no_less, no_more
from generator.outline.measure import bounds
from generator.outline.reach import losses
from generator.outline.region import Region
from generator.part.bonds import Insert, gap_ways, loosest
from generator.part.gap_pieces import pieces_left, widest_gap
from generator.part.inlays import gap_of
from generator.part.metals import adhesive_of
from generator.part.part import Feature, Part, Plan
from generator.recipe.model import Recipe
from generator.recipe.model_inlay import AS_DRAWN, Inlay

ID = "insert-gap"
NARROW_MM, EVEN_MM = GAP_OF_FIT["hand"].value, GAP_OF_FIT["glued"].value
"""Customary gaps that are offered in place of others."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``swallowed``, ``piece-swallowed``, ``falls-apart``, ``tight``, ``loose``, ``uneven`` of inserts."""
    pockets = {f.layer: f for f in plan.cover.features if f.layer.startswith("inlay-pocket")}
    tight = recipe.limits.inserts.gap_tight
    for insert in plan.inserts:
        name = insert.name.removeprefix("insert-")
        inlay, gap = recipe.inlays[name], gap_of(recipe.inlays[name]).value
        loose = loosest(recipe, adhesive_of(recipe, inlay), bool(inlay.adhesive))
        feature = pockets[f"inlay-pocket-{name}"]
        pocket = feature.region
        if not insert.profile:
            most, ways = _swallows(recipe, plan, insert, feature)
            message = f"a gap of {gap:g} mm leaves nothing of insert {name}{most}"
            yield _finding(name, pocket, "swallowed", message, gap, ways)
            continue
        parts = pieces_left(pocket, insert.profile)
        if set(parts) == {1}:
            low, high = Insert.of(recipe, plan, insert).room_mm
            yield from _uneven(recipe.limits.inserts.gap_uneven, inlay, name, pocket, gap, low <= EVEN_MM <= high)
        if min(parts) == 0:
            most, ways = _swallows(recipe, plan, insert, feature)
            message = f"a gap of {gap:g} mm leaves nothing of {parts.count(0)} of {len(parts)} pieces of insert {name}"
            message += most
            yield _finding(name, pocket, "piece-swallowed", message, gap, ways)
        elif max(parts) > 1:
            most, ways = _swallows(recipe, plan, insert, feature)
            message = f"a gap of {gap:g} mm lets insert {name} fall into {sum(parts)} pieces{most}"
            yield _finding(name, pocket, "falls-apart", message, gap, ways, Severity.WARNS)
        elif gap < tight.value - NOISE and (inlay.fit != "press" or inlay.gap is not None):
            ways = gap_ways(recipe, plan, insert)
            message = f"insert {name} with a gap of {gap:g} mm has to be hammered in"
            yield _finding(name, pocket, "tight", message, gap, ways, Severity.WARNS, tight)
        elif gap > loose.value + NOISE:
            ways = gap_ways(recipe, plan, insert)
            message = f"insert {name} with a gap of {gap:g} mm sits loose, and adhesive bridges it badly"
            yield _finding(name, pocket, "loose", message, gap, ways, Severity.WARNS, loose)


def _swallows(recipe: Recipe, plan: Plan, insert: Part, pocket: Feature) -> tuple[str, str]:
    """Return the widest gap that leaves every piece whole, in words, and what to do.

    The gap to take is the one that suits everything else, if it is narrow enough; else the widest that is not loose.
    Where none is, how much larger to draw the insert.
    """
    name = insert.name.removeprefix("insert-")
    inlay, key = recipe.inlays[name], f"inlays.{name}"
    widest = widest_gap(pocket, gap_of(inlay).value)
    told = f"; at most {no_more(widest)} would leave all of it" if widest else ""
    suits = Insert.of(recipe, plan, insert).suits if insert.profile else None
    most = min(widest, loosest(recipe, adhesive_of(recipe, inlay), bool(inlay.adhesive)).value)
    if suits is not None and suits <= most + NOISE:
        return told, f"set {key}.gap to {suits:g} mm"
    if most >= recipe.limits.inserts.gap_tight.value - NOISE:
        return told, f"set {key}.gap to at most {no_more(most)}"
    factor = f"at least {NARROW_MM / widest:.2g} times as large" if widest else "larger"
    return told, f"draw {key}.outline {factor}: no gap that goes in by hand leaves all of it"


def _uneven(seen: Figure, inlay: Inlay, name: str, pocket: Region, gap: float, narrower: bool) -> Iterator[Finding]:
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
        edit = f"set inlays.{name}.gap to {EVEN_MM:g} mm, or " if narrower else ""
        remedy = f"{edit}draw nothing in the pocket narrower than {no_less(2.0 * gap)}"
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


def _finding(
    name: str,
    pocket: Region,
    code: str,
    message: str,
    gap: float,
    remedy: str,
    severity: Severity = Severity.FORBIDS,
    limit: Figure | None = None,
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
        limit=limit.value if limit else None,
        unit="mm",
        source=limit.told_source if limit else GEOMETRY,
        remedy=remedy,
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
