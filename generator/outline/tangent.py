"""Constructions at the drawing board: tangent lines and arcs, arcs from what is known of them.

Ways have a left and a right hand. Whoever walks round a footprint counter-clockwise, from circle to circle, has the
material on the left and wants the tangents on the ``RIGHT`` hand. An arc that may sweep more than a half circle
comes as a tuple of vertices (each the start of a segment with its bulge); the end point is the next vertex
of whoever asked.
"""

from __future__ import annotations

from enum import Enum
from math import asin, atan2, copysign, hypot, isfinite, pi, sqrt, tan
from typing import NamedTuple

from generator.base.errors import GeometryError
from generator.outline.carrier import Circle, towards
from generator.outline.contour import Point, Vertex

__all__ = [
    "Hand",
    "Join",
    "arc_by_radius",
    "arc_from_direction",
    "arc_through",
    "arc_to_direction",
    "bulging_arc",
    "crossing_tangent",
    "hollow_arc",
    "outer_tangent",
    "swept_arc",
    "tangent_from",
    "tangent_to",
]


class Hand(Enum):
    """A side of travel."""

    LEFT = "left"
    RIGHT = "right"

    @property
    def sign(self) -> float:
        """Return +1 for left, -1 for right."""
        return 1.0 if self is Hand.LEFT else -1.0


class Join(NamedTuple):
    """A line or arc that joins two circles: where it leaves the first, where it meets the second, its vertices.

    ``path`` holds the starts of its segments (one, or two when it sweeps more than a half circle).
    """

    start: Point
    end: Point
    path: tuple[Vertex, ...]


# ------------------------------------------------------------------ tangent lines
def _frame(a: Circle, b: Circle, hand: Hand) -> tuple[float, Point, Point]:
    """Return centre distance, direction from a to b and the direction square to it on the given hand."""
    d = hypot(b.centre.x - a.centre.x, b.centre.y - a.centre.y)
    if d == 0.0 or not isfinite(d):
        raise GeometryError("two circles with the same centre have no tangent in common", point_mm=a.centre)
    u = towards(a.centre, b.centre)
    return d, u, Point(-hand.sign * u.y, hand.sign * u.x)


def _out(circle: Circle, distance_mm: float, along: float, u: Point, across: float, n: Point) -> Point:
    return Point(
        circle.centre.x + distance_mm * (along * u.x + across * n.x),
        circle.centre.y + distance_mm * (along * u.y + across * n.y),
    )


def outer_tangent(a: Circle, b: Circle, hand: Hand) -> Join:
    """Return the straight line that touches both circles on the same hand of the way from a to b.

    Radii may be 0 (points).

    Raises:
        GeometryError: one circle lies inside the other.
    """
    d, u, n = _frame(a, b, hand)
    k = (a.radius_mm - b.radius_mm) / d
    if abs(k) > 1.0:
        raise GeometryError(
            f"no outer tangent: the circles of radius {a.radius_mm:g} and {b.radius_mm:g} lie one inside the "
            f"other; their centres must be at least {abs(a.radius_mm - b.radius_mm):g} apart, not {d:g}",
            point_mm=a.centre,
        )
    across = sqrt((1.0 - k) * (1.0 + k))
    start, end = _out(a, a.radius_mm, k, u, across, n), _out(b, b.radius_mm, k, u, across, n)
    return Join(start, end, (Vertex(start.x, start.y),))


def crossing_tangent(a: Circle, b: Circle, hand: Hand) -> Join:
    """Return the straight line that leaves circle a on the given hand and meets circle b on the other one.

    Raises:
        GeometryError: the circles overlap.
    """
    d, u, n = _frame(a, b, hand)
    k = (a.radius_mm + b.radius_mm) / d
    if k > 1.0:
        raise GeometryError(
            f"no crossing tangent: circles of radius {a.radius_mm:g} and {b.radius_mm:g} overlap; "
            f"their centres must be at least {a.radius_mm + b.radius_mm:g} apart, not {d:g}",
            point_mm=a.centre,
        )
    across = sqrt((1.0 - k) * (1.0 + k))
    start, end = _out(a, a.radius_mm, k, u, across, n), _out(b, -b.radius_mm, k, u, across, n)
    return Join(start, end, (Vertex(start.x, start.y),))


def tangent_from(point: Point, circle: Circle, hand: Hand) -> Point:
    """Return where the line from a point touches the circle on the given hand of the way to its centre.

    Raises:
        GeometryError: the point lies inside the circle.
    """
    return outer_tangent(Circle(point, 0.0), circle, hand).end


def tangent_to(circle: Circle, point: Point, hand: Hand) -> Point:
    """Return where the line that ends at the point leaves the circle, on the given hand of the way there.

    Raises:
        GeometryError: the point lies inside the circle.
    """
    return outer_tangent(circle, Circle(point, 0.0), hand).start


# ------------------------------------------------------------------ tangent arcs between circles
def hollow_arc(a: Circle, b: Circle, radius_mm: float, hand: Hand) -> Join:
    """Return the arc, hollow as seen from outside, that touches both circles from without on the given hand.

    Its centre lies on that hand, ``radius_mm`` away from both circles (a waist, a neck).

    Raises:
        GeometryError: the radius is too small to reach both circles, or one circle lies inside the other.
    """
    d, u, n = _frame(a, b, hand)
    _refuse_nested(a, b, d)
    least = (d - a.radius_mm - b.radius_mm) / 2.0
    _refuse_small(radius_mm, least, a)
    centre = _apex(a, d, a.radius_mm + radius_mm, b.radius_mm + radius_mm, u, n)
    ua, ub = towards(a.centre, centre), towards(b.centre, centre)
    start, end = _out(a, a.radius_mm, 1.0, ua, 0.0, ua), _out(b, b.radius_mm, 1.0, ub, 0.0, ub)
    # seen from its own centre the arc runs the other way round: on the right hand clockwise
    return Join(start, end, swept_arc(start, end, hand.sign * _angle(_back(ua), _back(ub), hand.sign)))


def bulging_arc(a: Circle, b: Circle, radius_mm: float, hand: Hand) -> Join:
    """Return the arc that wraps both circles, touching them from without on the given hand (a belly).

    Its centre lies on the other hand, or between the circles for the least radius.

    Raises:
        GeometryError: the radius is too small to wrap both circles, or one circle lies inside the other.
    """
    d, u, n = _frame(a, b, hand)
    _refuse_nested(a, b, d)
    least = (d + a.radius_mm + b.radius_mm) / 2.0
    _refuse_small(radius_mm, least, a)
    to_a, to_b = radius_mm - a.radius_mm, radius_mm - b.radius_mm
    centre = _apex(a, d, to_a, to_b, u, Point(-n.x, -n.y))
    ua, ub = towards(centre, a.centre), towards(centre, b.centre)
    start, end = _out(a, a.radius_mm, 1.0, ua, 0.0, ua), _out(b, b.radius_mm, 1.0, ub, 0.0, ub)
    return Join(start, end, swept_arc(start, end, -hand.sign * _angle(ua, ub, -hand.sign)))


def _refuse_nested(a: Circle, b: Circle, d: float) -> None:
    if d <= abs(a.radius_mm - b.radius_mm):
        raise GeometryError(
            f"no tangent arc: the circles of radius {a.radius_mm:g} and {b.radius_mm:g} lie one inside the "
            f"other; their centres must be more than {abs(a.radius_mm - b.radius_mm):g} apart, not {d:g}",
            point_mm=a.centre,
        )


def _refuse_small(radius_mm: float, least_mm: float, a: Circle) -> None:
    if not isfinite(radius_mm) or radius_mm <= 0.0 or radius_mm < least_mm * (1.0 - 1e-12):
        raise GeometryError(f"radius {radius_mm:g} is too small: at least {max(least_mm, 0.0):.6g}", point_mm=a.centre)


def _apex(a: Circle, d: float, to_a: float, to_b: float, u: Point, n: Point) -> Point:
    """Return the point at ``to_a`` from a's centre and ``to_b`` from b's, on the side of ``n``."""
    along = (d + (to_a - to_b) * (to_a + to_b) / d) / 2.0
    product = (to_a + to_b + d) * (to_a + to_b - d) * (d + (to_a - to_b)) * (d - (to_a - to_b))
    across = sqrt(max(product, 0.0)) / (2.0 * d)
    return Point(a.centre.x + along * u.x + across * n.x, a.centre.y + along * u.y + across * n.y)


def _back(u: Point) -> Point:
    return Point(-u.x, -u.y)


def _angle(u: Point, v: Point, sign: float) -> float:
    """Return the angle from u to v in [0, 2π), counter-clockwise for a positive sign, else clockwise."""
    a = sign * atan2(u.x * v.y - u.y * v.x, u.x * v.x + u.y * v.y)
    return a if a >= 0.0 else a + 2.0 * pi


# ------------------------------------------------------------------ single arcs
def swept_arc(start: Point, end: Point, sweep: float) -> tuple[Vertex, ...]:
    """Return the vertices of the arc from start to end with a signed sweep (radians, |sweep| < 2π).

    One vertex up to a half circle, else two with the second in the middle. A sweep of 0 is a straight line.

    Raises:
        GeometryError: the sweep is a full turn or more, or the ends coincide.
    """
    if not isfinite(sweep) or abs(sweep) >= 2.0 * pi:
        raise GeometryError(f"an arc sweeps less than a full turn, not {sweep:g} rad", point_mm=start)
    dx, dy = end.x - start.x, end.y - start.y
    if dx == 0.0 and dy == 0.0:
        raise GeometryError("an arc needs two different ends", point_mm=start)
    if abs(sweep) <= pi * (1.0 + 1e-14):
        half_circle = abs(abs(sweep) - pi) <= 1e-14
        return (Vertex(start.x, start.y, copysign(1.0, sweep) if half_circle else tan(sweep / 4.0)),)
    k = tan(sweep / 4.0) / 2.0  # rise of the whole arc over its chord
    return (
        Vertex(start.x, start.y, tan(sweep / 8.0)),
        Vertex((start.x + end.x) / 2.0 + k * dy, (start.y + end.y) / 2.0 - k * dx, tan(sweep / 8.0)),
    )


def arc_through(start: Point, middle: Point, end: Point) -> tuple[Vertex, ...]:
    """Return the vertices of the arc from start through a middle point to end.

    Raises:
        GeometryError: two of the points coincide, or the three lie on a line.
    """
    ax, ay, bx, by = start.x - middle.x, start.y - middle.y, end.x - middle.x, end.y - middle.y
    cross, dot = ax * by - ay * bx, ax * bx + ay * by
    if (ax == ay == 0.0) or (bx == by == 0.0) or start == end:
        raise GeometryError("an arc through three points needs three different ones", point_mm=middle)
    if cross == 0.0 and dot > 0.0:
        raise GeometryError("the middle point does not lie between the ends of the arc", point_mm=middle)
    # inscribed angle theorem: the angle at the middle point is half the arc that is *not* travelled
    inscribed = atan2(abs(cross), dot)
    sweep = 2.0 * (pi - inscribed)
    return swept_arc(start, end, -sweep if cross > 0.0 else sweep)


def arc_by_radius(start: Point, end: Point, radius_mm: float, *, ccw: bool, large: bool = False) -> tuple[Vertex, ...]:
    """Return the vertices of the arc from start to end with a radius, one way round, small or large.

    Raises:
        GeometryError: the ends coincide, or the radius is less than half their distance (which is then named).
    """
    chord = hypot(end.x - start.x, end.y - start.y)
    if chord == 0.0:
        raise GeometryError("an arc needs two different ends", point_mm=start)
    if not isfinite(radius_mm) or radius_mm < chord / 2.0 * (1.0 - 1e-12):
        raise GeometryError(f"radius {radius_mm:g} is too small: at least {chord / 2.0:.6g}", point_mm=start)
    small = 2.0 * asin(min(1.0, chord / (2.0 * radius_mm)))
    sweep = 2.0 * pi - small if large else small
    return swept_arc(start, end, sweep if ccw else -sweep)


def arc_from_direction(start: Point, direction_rad: float, end: Point) -> tuple[Vertex, ...]:
    """Return the vertices of the arc that leaves start in a direction (radians from +x) and ends at end.

    It is a straight line when the direction points at the end.

    Raises:
        GeometryError: the ends coincide, or the end lies straight behind.
    """
    return swept_arc(start, end, 2.0 * _turn(direction_rad, start, end))


def arc_to_direction(start: Point, end: Point, direction_rad: float) -> tuple[Vertex, ...]:
    """Return the vertices of the arc from start that arrives at end in a direction (radians from +x).

    Raises:
        GeometryError: the ends coincide, or the direction points straight back.
    """
    return swept_arc(start, end, -2.0 * _turn(direction_rad, start, end))


def _turn(direction_rad: float, start: Point, end: Point) -> float:
    """Return the angle from a direction to the chord, in (-π, π)."""
    if start == end:
        raise GeometryError("an arc needs two different ends", point_mm=start)
    delta = atan2(end.y - start.y, end.x - start.x) - direction_rad
    delta -= 2.0 * pi * round(delta / (2.0 * pi))
    if abs(delta) > pi * (1.0 - 1e-12):
        raise GeometryError("no arc leads to a point straight behind its direction", point_mm=start)
    return delta
