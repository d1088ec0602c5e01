"""Can the end mills at hand reach everything that is to be cut, and does what they leave between stand?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isinf

from generator.base.errors import GeometryError
from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.units import MODEL
from generator.checks.check import Check, no_less, no_more
from generator.outline.contour import Point
from generator.outline.narrow import Narrow, necks_between
from generator.outline.offset import offset_region
from generator.outline.reach import Loss, loses_nothing, losses
from generator.outline.region import Region
from generator.part.drawn import filled
from generator.part.part import Feature, Part, Plan
from generator.part.reach import Cut, cuts, thin_places, thin_ribs
from generator.part.reach_ways import smaller_mill, times, ways_to_reach
from generator.part.redraw import fewer_letters, is_bounded, larger_region, place_of
from generator.part.relation import meets
from generator.part.wider_bridges import wider_bridges
from generator.recipe.model import Recipe

ID = "cutter-reach"
POCKET = "bottom-pocket"
CLOSE_MM = 1e-3
"""So close the smallest clearance is looked for."""
TRACE_MM2 = 1e-3
"""Smaller areas lost in all are rounding."""
TOLD = 3
"""So many places are told with their figures; the plan shows them all."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``does-not-fit``, ``uncut``, ``blocks-original``, ``close-pieces``, ``thin-rib``, ``no-end-mill``.

    What corners made for the cutter change of a drawing is another check's: here everything else is judged.
    """
    if not plan.tool_diameters:
        yield Finding(
            check=ID,
            code="no-end-mill",
            severity=Severity.NOTES,
            message="no end mill is named: inside corners were not held against a cutter",
            source=GEOMETRY,
            remedy="add tools.finishing with kind: end mill and diameter: 3 mm",
            path="tools",
        )
        return
    for cut in cuts(plan):
        lost = () if cut.matched else cut.lost
        if sum(x.area_mm2 for x in lost) > TRACE_MM2:
            blocking = _stands_in(plan, lost) if cut.feature == POCKET and not cut.left_whole else []
            if blocking:
                yield _blocked(recipe, plan, cut, blocking)
            else:
                yield _lost(recipe, plan, cut, lost, harmless=cut.feature == POCKET and not cut.left_whole)
        yield from _close_pieces(cut)
        yield from _thin_ribs(recipe, plan, cut)
    for insert in plan.inserts:
        yield from _thin_insert(recipe, plan, insert)


# ------------------------------------------------------------------ what is lost
def _lost(recipe: Recipe, plan: Plan, cut: Cut, lost: Sequence[Loss], *, harmless: bool) -> Finding:
    """Return the finding of what the cutter in use leaves of one cut; harmless if the original has room beside it."""
    total = sum(x.area_mm2 for x in lost)
    narrow = cut.left_whole and cut.narrowest is not None
    who, left = f"the smallest end mill, {cut.cutter_mm:g} mm,", f"{total:.3f} mm²"
    if cut.named:
        who = f"the end mill of {cut.cutter_mm:g} mm that the recipe names"
    ways = ways_to_reach(recipe, plan, cut)
    if cut.left_whole:
        neck = cut.narrowest
        says = f"{who} does not fit into {cut.feature}"
        says += f", {neck.width_mm:.3f} mm wide at its narrowest ({_at(neck.at)})" if neck else ""
    elif cut.outline:
        says = f"{who} leaves {left} standing in inside corners of {cut.feature}: {_places(lost)}"
    else:
        says = f"{who} leaves {left} uncut in {cut.feature}: {_places(lost)}"
    return Finding(
        check=ID,
        code="does-not-fit" if cut.left_whole else "uncut",
        severity=Severity.FORBIDS if cut.left_whole else Severity.NOTES if harmless else Severity.WARNS,
        message=f"{says}; {'the original has room beside it; ' if harmless else ''}{_would_do(cut)}",
        feature=cut.feature,
        point_mm=lost[0].at,
        face=cut.face.value,
        figure=cut.narrowest.width_mm if narrow and cut.narrowest else total,
        limit=cut.cutter_mm if narrow else TRACE_MM2,
        unit="mm" if narrow else "mm²",
        source=GEOMETRY,
        remedy=f"leave it, or {ways}" if harmless else ways,
        path=cut.path.removesuffix(".outline") if not cut.outline else cut.path,
    )


def _places(lost: Sequence[Loss]) -> str:
    """Return the largest places with their figures, and how many more there are."""
    told = [f"{x.area_mm2:.3f} mm², {_deep(x)}, at ({_at(x.at)})" for x in lost[:TOLD]]
    more = f" and {len(lost) - TOLD} more" if len(lost) > TOLD else ""
    return "; ".join(told) + more


def _deep(loss: Loss) -> str:
    return "a piece that it does not get into" if isinf(loss.depth_mm) else f"{loss.depth_mm:.2f} mm deep"


def _at(p: Point) -> str:
    return f"{round(p.x, 2) + 0.0:g}, {round(p.y, 2) + 0.0:g}"


def _would_do(cut: Cut) -> str:
    """Return which cutter would lose nothing."""
    largest = cut.largest
    if not largest.radius_mm:
        return f"no round cutter leaves a sharp corner, as at ({_at(largest.at)})"
    diameter = no_more(2.0 * largest.radius_mm)
    return f"the largest that would do: {diameter}, for {largest.why.value} at ({_at(largest.at)})"


def _blocked(recipe: Recipe, plan: Plan, cut: Cut, left: Sequence[Loss]) -> Finding:
    """Return ``blocks-original`` for what is left in the bottom pocket where the original is: it does not go on."""
    deepest = max(x.depth_mm for x in left)
    return Finding(
        check=ID,
        code="blocks-original",
        severity=Severity.FORBIDS,
        message=f"the cover does not go on: what a {cut.cutter_mm:g} mm end mill leaves in the corners of the bottom "
        f"pocket, up to {deepest:.2f} mm deep, stands where the original is: {_places(left)}",
        feature=cut.feature,
        point_mm=left[0].at,
        face=cut.face.value,
        figure=sum(x.area_mm2 for x in left),
        limit=TRACE_MM2,
        unit="mm²",
        source=GEOMETRY,
        remedy=f"set clearance.around to at least {no_less(_clearing(recipe, plan, cut))}"
        + "".join(f", or {e}" for e in smaller_mill(plan, cut)),
        path="clearance",
    )


def _stands_in(plan: Plan, lost: Sequence[Loss]) -> list[Loss]:
    """Return the places left uncut in the bottom pocket where the original is."""
    return [x for x in lost if meets(x.region, plan.footprint)]


def _clearing(recipe: Recipe, plan: Plan, cut: Cut) -> float:
    """Return the smallest clearance with which nothing is left where the original is, mm, by trying.

    Half the cutter always does: every corner of the pocket is then as round as the cutter.
    """
    radius = cut.cutter_mm / 2.0
    low, high = recipe.clearance.around, max(recipe.clearance.around, radius)
    while high - low > CLOSE_MM:
        middle = (low + high) / 2.0
        if _goes_on(plan, middle, radius):
            high = middle
        else:
            low = middle
    return high


def _goes_on(plan: Plan, clearance_mm: float, radius_mm: float) -> bool:
    """Return True if a pocket with this clearance, cut with this radius, has room for the original."""
    try:
        pocket = offset_region(filled(plan.footprint), clearance_mm)
        return loses_nothing(pocket, radius_mm) or not _stands_in(plan, losses(pocket, radius_mm))
    except GeometryError:
        return False


def _close_pieces(cut: Cut) -> Iterator[Finding]:
    """Yield ``close-pieces`` if pieces of an insert lie so near that the cutter round one would cut the next."""
    gap = None if cut.part == "cover" else cut.closest
    if gap is None or gap.distance_mm >= cut.cutter_mm - MODEL.model_mm:
        return
    between = Point((gap.on_a.x + gap.on_b.x) / 2.0, (gap.on_a.y + gap.on_b.y) / 2.0)
    yield Finding(
        check=ID,
        code="close-pieces",
        severity=Severity.NOTES,
        message=f"pieces of {cut.feature} lie {gap.distance_mm:.3f} mm from each other, as in the cover: an end mill "
        f"of {cut.cutter_mm:g} mm that goes round one cuts into the next",
        feature=cut.feature,
        point_mm=between,
        face=cut.face.value,
        figure=gap.distance_mm,
        limit=cut.cutter_mm,
        unit="mm",
        source=GEOMETRY,
        remedy=f"cut them one at a time, laid at least {no_less(cut.cutter_mm)} apart on the sheet",
        path=cut.path,
    )


# ------------------------------------------------------------------ what is left too thin
def _thin_ribs(recipe: Recipe, plan: Plan, cut: Cut) -> Iterator[Finding]:
    """Yield ``thin-rib`` for the thinnest of the ribs that a cut leaves between its own sides."""
    least = recipe.limits.walls.standing(cut.depth_mm)
    found = thin_ribs(cut, least.value - MODEL.same_mm)
    if not found:
        return
    part = next(p for p in plan.parts if p.name == cut.part)
    feature = next((f for f in part.features if f.name == cut.feature), None)
    ways = []
    if feature is not None and part.name != "cover":
        ways = [wider_bridges(recipe, plan, part, found[0], least.value)]
    if feature is not None and not any(ways) and feature.path.startswith(("inlays", "cover.engravings")):
        ways = _of_fitted(recipe, plan, feature, least.value, found[0])
    yield _rib(cut.feature, cut.face.value, cut.path, least, found, ", or ".join(w for w in ways if w))


def _of_fitted(recipe: Recipe, plan: Plan, feature: Feature, least_mm: float, thin: Narrow) -> list[str]:
    """Return what to do about letters that are as large as what they are fitted into lets them be."""
    place = place_of(recipe, plan, feature)
    if not is_bounded(place.outline):
        return []

    def does(drawn: Region) -> bool:
        return not necks_between(drawn, least_mm - MODEL.same_mm)

    factor = least_mm / thin.width_mm
    return [*fewer_letters(place, factor, does), *larger_region(place, factor, does)]


def _thin_insert(recipe: Recipe, plan: Plan, insert: Part) -> Iterator[Finding]:
    """Yield ``thin-rib`` for the thinnest place of an insert."""
    least = recipe.limits.walls.standing(insert.thickness_mm)
    found = thin_places(insert, least.value - MODEL.same_mm) if insert.profile else ()
    if found:
        path = f"inlays.{insert.name.removeprefix('insert-')}.outline"
        ways = wider_bridges(recipe, plan, insert, found[0], least.value)
        yield _rib(insert.layer, "top", path, least, found, ways)


def _rib(feature: str, face: str, path: str, least: Figure, found: Sequence[Narrow], ways: str) -> Finding:
    """Return ``thin-rib`` for the thinnest of the ribs found."""
    thinnest, limit = found[0], least.value
    many = f" ({len(found)} such places)" if len(found) > 1 else ""
    larger = (
        f"draw it at least {times(limit / thinnest.width_mm)} times as large, or move its parts "
        f"{no_less(limit - thinnest.width_mm)} farther apart"
    )
    return Finding(
        check=ID,
        code="thin-rib",
        severity=Severity.WARNS,
        message=f"{feature} leaves only {thinnest.width_mm:.3f} mm standing between its sides{many}",
        feature=feature,
        point_mm=thinnest.at,
        face=face,
        figure=thinnest.width_mm,
        limit=limit,
        unit="mm",
        source=least.told_source,
        remedy=ways or larger,
        path=path,
    )


CHECK = Check(
    ID,
    "what the cutters reach",
    "A round cutter leaves its radius in every inside corner and does not go into what is narrower than itself: an "
    "original or an insert then does not go in, and fine artwork is lost. What stays between two cuts must stand.",
    GEOMETRY,
    run,
    limits=("walls.thinnest", "walls.rib"),
)
