"""The convex hull of circles, arcs and points, exact: lines and arcs.

Of each convex arc that part lies on the hull where no other arc or point reaches farther out. "Farther out in
direction t" compares the support functions: a circle of radius r about c reaches ``c·t + r``, a point ``c·t``.
The difference of two of them is a cosine, so every rival beats an arc on one interval of directions; what is left
of the arc after all rivals is on the hull. The rest of the hull is the polygon through the ends of these parts and the
outermost points.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import acos, atan2, cos, hypot, pi, sin, tan
from typing import NamedTuple, TypeAlias

from generator.base.errors import GeometryError
from generator.outline.carrier import ALMOST_STRAIGHT, Circle
from generator.outline.contour import Contour, Point, Segment, Vertex
from generator.outline.measure import contours_of, signed_area
from generator.outline.region import Region

__all__ = ["Hullable", "hull"]

Hullable: TypeAlias = Contour | Region | Circle | Point
_Interval: TypeAlias = tuple[float, float]

_TURN = 2.0 * pi
_SLIVER_RAD = 1e-9
"""Parts of arcs that sweep less are left out; a chord of such a part is exact to 1e-18 of the radius."""


class _Arc(NamedTuple):
    """A convex arc: its outward directions run from ``first`` over ``width`` radians."""

    centre: Point
    radius: float
    first: float
    width: float
    start: Point
    end: Point
    bulge: float


def hull(shapes: Iterable[Hullable]) -> Contour:
    """Return the convex hull, counter-clockwise; arcs stay arcs.

    Args:
        shapes: contours, regions, circles and points (``Point``), mm.

    Raises:
        GeometryError: there is nothing, or it all lies on one line.
    """
    arcs, points = _collect(shapes)
    points = _polygon_hull(points)
    arcs = [arc for arc in arcs if not _is_deep(arc, points)]
    parts = [part for i in range(len(arcs)) for part in _visible_parts(i, arcs, points)]
    bulges = {(p.start, p.end): p.bulge for p in parts}
    outside = [p for p in points if not any(_is_under(p, part) for part in parts)]
    corners = _polygon_hull([*outside, *(p.start for p in parts), *(p.end for p in parts)])
    n = len(corners)
    vertices = [Vertex(*corners[i], bulges.get((corners[i], corners[(i + 1) % n]), 0.0)) for i in range(n)]
    contour = Contour(tuple(vertices))
    if n < 2 or signed_area(contour) <= 0.0:
        raise GeometryError("a convex hull needs points that do not all lie on one line, or a circle")
    return contour


def _collect(shapes: Iterable[Hullable]) -> tuple[list[_Arc], list[Point]]:
    arcs: dict[_Arc, None] = {}
    points: dict[Point, None] = {}
    for shape in shapes:
        if isinstance(shape, Contour | Region):
            for contour in contours_of(shape):
                ccw = contour if signed_area(contour) > 0.0 else contour.reversed()
                for segment in ccw.segments():
                    points[segment.start] = None
                    if segment.bulge >= ALMOST_STRAIGHT:
                        arcs[_arc_of(segment)] = None
        elif isinstance(shape, Circle):
            arcs.update(dict.fromkeys(_half_circles(shape)))
            points.update(dict.fromkeys(arc.start for arc in _half_circles(shape)))
        else:
            points[Point(float(shape[0]), float(shape[1]))] = None
    return list(arcs), list(points)


def _arc_of(segment: Segment) -> _Arc:
    c = segment.centre
    first = atan2(segment.start.y - c.y, segment.start.x - c.x)
    return _Arc(c, segment.radius_mm, first, segment.sweep, segment.start, segment.end, segment.bulge)


def _half_circles(circle: Circle) -> list[_Arc]:
    centre, r = Point(float(circle.centre[0]), float(circle.centre[1])), float(circle.radius_mm)
    if r == 0.0:
        return [_Arc(centre, 0.0, 0.0, 0.0, centre, centre, 0.0)]
    left, right = Point(centre.x - r, centre.y), Point(centre.x + r, centre.y)
    return [_Arc(centre, r, pi, pi, left, right, 1.0), _Arc(centre, r, 0.0, pi, right, left, 1.0)]


# ------------------------------------------------------------------ which part of an arc is on the hull
def _visible_parts(i: int, arcs: list[_Arc], points: list[Point]) -> list[_Arc]:
    arc = arcs[i]
    hidden: list[_Interval] = []
    for p in points:
        if p not in (arc.start, arc.end):
            hidden += _beaten(arc, p, 0.0, 0.0, _TURN, first_wins=True)
    for j, rival in enumerate(arcs):
        if j != i:
            hidden += _beaten(arc, rival.centre, rival.radius, rival.first, rival.width, first_wins=i < j)
    return [_part(arc, low, high) for low, high in _gaps(hidden, arc.width) if high - low > _SLIVER_RAD]


def _beaten(
    arc: _Arc, centre: Point, radius: float, first: float, width: float, *, first_wins: bool
) -> list[_Interval]:
    """Return the intervals of ``arc`` (radians from its start) where a rival reaches farther out.

    The rival is an arc about ``centre`` whose directions run from ``first`` over ``width``.
    """
    dx, dy = centre.x - arc.centre.x, centre.y - arc.centre.y
    d = hypot(dx, dy)
    lead = arc.radius - radius
    scale = max(abs(centre.x), abs(centre.y), arc.radius, radius)
    if d <= 1e-14 * scale:
        if lead > 0.0 or (abs(lead) <= 1e-14 * scale and first_wins):
            return []
        low, wide = 0.0, _TURN
    elif lead >= d:
        return []
    else:
        half = acos(max(-1.0, lead / d))
        low, wide = atan2(dy, dx) - half - arc.first, 2.0 * half
    offset = (first - arc.first) % _TURN
    return [
        (max(a, c), min(b, e))
        for a, b in _within(low, wide)
        for c, e in _within(offset, width)
        if min(b, e) > max(a, c)
    ]


def _within(low: float, wide: float) -> list[_Interval]:
    """Return an interval of angles as one or two intervals within [0, 2π]."""
    low %= _TURN
    high = low + min(wide, _TURN)
    return [(low, high)] if high <= _TURN else [(low, _TURN), (0.0, high - _TURN)]


def _gaps(hidden: list[_Interval], width: float) -> list[_Interval]:
    """Return what is left of [0, width]."""
    left, reached = [], 0.0
    for low, high in sorted(hidden):
        if low > reached:
            left.append((reached, min(low, width)))
        reached = max(reached, high)
        if reached >= width:
            return left
    return [*left, (reached, width)]


def _is_deep(arc: _Arc, polygon: list[Point]) -> bool:
    """Return True when the arc's whole circle lies inside a convex polygon, so that it cannot show."""
    for a, b in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        if _cross(a, b, arc.centre) <= arc.radius * hypot(b.x - a.x, b.y - a.y):
            return False
    return True


def _is_under(p: Point, part: _Arc) -> bool:
    """Return True when p lies between a part and its chord, where the polygon must not go."""
    if hypot(p.x - part.centre.x, p.y - part.centre.y) >= part.radius or p in (part.start, part.end):
        return False
    return _cross(part.start, part.end, p) < 0.0


def _part(arc: _Arc, low: float, high: float) -> _Arc:
    """Return a part of the arc; ends that are the arc's own stay as they are to the last digit."""

    def at(angle: float) -> Point:
        a = arc.first + angle
        return Point(arc.centre.x + arc.radius * cos(a), arc.centre.y + arc.radius * sin(a))

    start = arc.start if low <= _SLIVER_RAD else at(low)
    end = arc.end if high >= arc.width - _SLIVER_RAD else at(high)
    whole = start is arc.start and end is arc.end
    bulge = arc.bulge if whole else tan((high - low) / 4.0)
    return _Arc(arc.centre, arc.radius, arc.first + low, high - low, start, end, bulge)


# ------------------------------------------------------------------ the polygon round it all
def _polygon_hull(points: list[Point]) -> list[Point]:
    """Return the convex hull of points, counter-clockwise from the smallest (monotone chain, Andrew 1979)."""
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return ordered
    size = max(abs(c) for p in (ordered[0], ordered[-1]) for c in p) or 1.0
    flat = 1e-14 * size * max(ordered[-1].x - ordered[0].x, *(abs(p.y - ordered[0].y) for p in ordered))

    def chain(run: Iterable[Point]) -> list[Point]:
        out: list[Point] = []
        for p in run:
            while len(out) > 1 and _cross(out[-2], out[-1], p) <= flat:
                out.pop()
            out.append(p)
        return out[:-1]

    return chain(ordered) + chain(reversed(ordered))


def _cross(a: Point, b: Point, c: Point) -> float:
    return (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x)
