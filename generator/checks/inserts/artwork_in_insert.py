"""Does artwork lie on its insert, with an edge round it and a floor under it?"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.units import MODEL
from generator.checks.check import Check, no_less, no_more
from generator.outline.combine import difference
from generator.outline.contour import Point
from generator.outline.measure import bounds
from generator.outline.transform import scaled
from generator.part.artwork_place import (
    artwork_place,
    drawn_smaller,
    is_cut,
    larger_inlay,
    lies_and_is_cut,
    shifted,
)
from generator.part.nearness import growth_to_cover, sticks_out_at, wall_mm
from generator.part.part import Feature, Part, Plan
from generator.part.redraw import fewer_letters, place_of
from generator.part.resize import factor_into
from generator.recipe.model import Recipe

ID = "artwork-in-insert"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``breaks-out``, ``thin-edge``, ``too-deep`` and ``thin-floor`` for the artwork of every insert."""
    for insert in plan.inserts:
        for artwork in insert.features:
            yield from _at_the_edge(recipe, plan, insert, artwork)
            yield from _in_depth(recipe, insert, artwork)


def _at_the_edge(recipe: Recipe, plan: Plan, insert: Part, artwork: Feature) -> Iterator[Finding]:
    """Yield the finding of artwork that reaches over the insert's edge or nearly so."""
    if not insert.profile:
        return  # told by the check of its gap
    least = recipe.limits.walls.thinnest
    wall, at, over = wall_mm(insert.profile, artwork.region)
    if over:
        outside = difference(artwork.region, insert.profile)
        place = sticks_out_at(insert.profile, outside) if outside else at
        reach = growth_to_cover(insert.profile, artwork.region)
        message = f"{artwork.name} reaches {reach:.2f} mm over the edge of {insert.name}"
        yield _finding(
            least, artwork, "breaks-out", Severity.FORBIDS, message, place, -reach, _remedy(recipe, plan, artwork)
        )
    elif wall < least.value - MODEL.same_mm:
        message = f"{artwork.name} leaves an edge of only {wall:.3f} mm on {insert.name}"
        yield _finding(least, artwork, "thin-edge", Severity.WARNS, message, at, wall, _remedy(recipe, plan, artwork))


def _in_depth(recipe: Recipe, insert: Part, artwork: Feature) -> Iterator[Finding]:
    """Yield the finding of an engraving that goes through its insert or nearly so."""
    if artwork.layer.startswith("insert-cut"):
        return
    least = recipe.limits.walls.thinnest
    floor, at = artwork.z_from_mm, Point(*bounds(artwork.region).centre)
    if floor <= 0.0:
        message = (
            f"{artwork.name}, {artwork.depth_mm:g} mm deep, goes through {insert.name} of {insert.thickness_mm:g} mm"
        )
        remedy = f"set {artwork.path}.depth to at most {no_more(insert.thickness_mm / 2.0)}, or `done: cut through`"
        yield _finding(least, artwork, "too-deep", Severity.FORBIDS, message, at, floor, remedy)
    elif floor < least.value:
        message = f"{artwork.name} leaves a floor of {floor:.3f} mm in {insert.name}"
        remedy = f"set {artwork.path}.depth to at most {no_more(max(0.05, insert.thickness_mm - least.value))}"
        yield _finding(least, artwork, "thin-floor", Severity.WARNS, message, at, floor, remedy)


def _remedy(recipe: Recipe, plan: Plan, artwork: Feature) -> str:
    """Return the edits that bring artwork inside: moved, drawn smaller, on a larger insert; each was tried."""
    place = artwork_place(recipe, plan, artwork)
    edits = [e for e in (shifted(place), drawn_smaller(place), larger_inlay(place)) if e]
    if edits:
        return ", or ".join(edits)
    factor = factor_into(place.artwork.region, place.room, place.outline, place.origin)
    least = f"with an edge of {no_less(place.room.wall_mm)} round it"
    if factor is None:
        return f"it does not fit {least} where it lies, however small: draw {artwork.path}.outline elsewhere"
    letters = fewer_letters(place_of(recipe, plan, artwork), 1.0 / factor, lambda r: lies_and_is_cut(place, r))
    if letters:
        return ", or ".join(letters)
    if not is_cut(place, scaled(artwork.asked or artwork.region, factor)):
        inlay = artwork.path.partition(".artwork.")[0]
        return (
            f"make {inlay}.outline at least {ceil(100.0 / factor) / 100.0:g} times as large: what fits it as it is, is "
            f"too fine for the end mill of {artwork.cutter_mm:g} mm"
        )
    return f"draw {artwork.path}.outline at most {floor(factor * 100.0) / 100.0:g} times as large: it fits {least} then"


def _finding(
    least: Figure, artwork: Feature, code: str, severity: Severity, message: str, at: Point, figure: float, remedy: str
) -> Finding:
    forbids = severity is Severity.FORBIDS
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature=artwork.name,
        point_mm=at,
        face="top",
        figure=figure,
        limit=0.0 if forbids else least.value,
        unit="mm",
        source=GEOMETRY if forbids else least.told_source,
        remedy=remedy,
        path=f"{artwork.path}.depth" if code in ("too-deep", "thin-floor") else f"{artwork.path}.outline",
    )


CHECK = Check(
    ID,
    "artwork on its insert",
    "Letters that reach the edge open the insert's rim; a rim or floor thinner than half a millimetre bends in work.",
    GEOMETRY,
    run,
    limits=("walls.thinnest",),
)
