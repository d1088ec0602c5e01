"""Do two artworks on one insert keep clear of each other?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.outline.combine import intersection
from generator.outline.contour import Point
from generator.outline.measure import area, bounds, signed_area
from generator.outline.region import Region
from generator.outline.transform import moved
from generator.part.clearing import Room, outline_at, shift_clear, told_place
from generator.part.describe import is_through
from generator.part.nearness import web_mm
from generator.part.part import Feature, Part, Plan
from generator.part.relation import meets
from generator.recipe.model import Recipe

ID = "artwork-clash"
TRACE_MM2 = 1e-3
"""Artworks that share less only touch: rounding."""
WAYS = (("right", 1.0, 0.0), ("left", -1.0, 0.0), ("up", 0.0, 1.0), ("down", 0.0, -1.0))
HALVINGS = 12


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``overlap`` and ``thin-web`` for artworks on one insert; webs between two cut through are another's."""
    for insert in plan.inserts:
        made = [f for f in insert.features if f.region]
        for one, other in combinations(made, 2):
            common = intersection(one.region, other.region) if meets(one.region, other.region) else None
            if common and area(common) > TRACE_MM2:
                yield _overlap(insert, one, other, common, _moved(recipe, insert, other))
            elif not (is_through(insert, one) and is_through(insert, other)):
                least = recipe.limits.walls.standing(min(one.depth_mm, other.depth_mm))
                yield from _thin_web(one, other, least, recipe, insert)


def _overlap(insert: Part, one: Feature, other: Feature, common: Region, move: str) -> Finding:
    """Return the finding of two artworks that share a part of the insert's face."""
    shared, smaller = area(common), min(area(one.region), area(other.region))
    alike = is_through(insert, one) == is_through(insert, other)
    how = "and run together there" if alike else "and the engraving ends there"
    way, by = _way_out(one.region, other.region)
    largest = max((c for c in common if signed_area(c) > 0.0), key=signed_area)
    return Finding(
        check=ID,
        code="overlap",
        severity=Severity.WARNS,
        message=f"{one.name} and {other.name} share {shared:.2f} mm² of {insert.name}, {100.0 * shared / smaller:.3g} "
        f"% of the smaller one, {how}",
        feature=other.name,
        point_mm=Point(*bounds(Region((largest,))).centre),
        face="top",
        figure=shared,
        limit=0.0,
        unit="mm²",
        source=GEOMETRY,
        remedy=move or f"move {other.name} at least {no_less(by)} {way} with {other.path}.outline.at",
        path=f"{other.path}.outline",
    )


def _moved(recipe: Recipe, insert: Part, other: Feature) -> str:
    """Return the shortest move that leaves a wall to all other artwork and to the insert's edge; empty if none does."""
    beside = [f.region for f in insert.features if f.name != other.name and f.region]
    room = Room(insert.profile or None, beside, recipe.limits.walls.thinnest.value)
    place = shift_clear(other.region, room, outline_at(recipe, other.path).at_mm)
    return f"set {other.path}.outline.at to {told_place(place)}" if place else ""


def _way_out(one: Region, other: Region) -> tuple[str, float]:
    """Return the shortest of the four ways by which the other region clears the first, and how far it is, mm."""
    return min(((name, _far(one, other, x, y)) for name, x, y in WAYS), key=lambda way: round(way[1], 6))


def _far(one: Region, other: Region, x: float, y: float) -> float:
    """Return how far the other region must go in a direction until it clears the first: from above, by bisection."""
    a, b = bounds(one), bounds(other)
    high = max(x * (a.xmax - b.xmin), x * (a.xmin - b.xmax)) + max(y * (a.ymax - b.ymin), y * (a.ymin - b.ymax))
    low = 0.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if meets(one, moved(other, x * middle, y * middle)) else (low, middle)
    return high


def _thin_web(one: Feature, other: Feature, least: Figure, recipe: Recipe, insert: Part) -> Iterator[Finding]:
    """Yield the finding of a web between two artworks that is too thin to stand."""
    web, at, _ = web_mm(one.region, other.region)
    limit_mm = least.value
    if web >= limit_mm - MODEL.same_mm:
        return
    farther = f"move {other.name} at least {no_less(limit_mm - web)} farther off with {other.path}.outline.at"
    yield Finding(
        check=ID,
        code="thin-web",
        severity=Severity.WARNS,
        message=f"{one.name} and {other.name} leave a web of only {web:.3f} mm between them",
        feature=other.name,
        point_mm=at,
        face="top",
        figure=web,
        limit=limit_mm,
        unit="mm",
        source=least.told_source,
        remedy=_moved(recipe, insert, other) or farther,
        path=f"{other.path}.outline",
    )


CHECK = Check(
    ID,
    "artworks clear of each other",
    "Where two artworks on one insert overlap, neither comes out as drawn: cuts run together, and an engraving ends at "
    "what is cut through. A web that is too thin between them breaks away.",
    GEOMETRY,
    run,
    limits=("walls.thinnest",),
)
