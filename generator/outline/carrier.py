"""Carriers: the whole line or circle that a segment lies on, and where carriers meet.

Directions are unit vectors, lengths mm. Left of a direction ``(x, y)`` is ``(-y, x)``.
"""

from __future__ import annotations

from math import hypot, sqrt
from typing import NamedTuple

from generator.outline.contour import Point, Segment

__all__ = [
    "ALMOST_STRAIGHT",
    "Carrier",
    "Circle",
    "Line",
    "bends",
    "carrier_of",
    "line_through",
    "meet",
    "meet_circles",
    "meet_line_circle",
    "meet_lines",
    "tangents",
    "towards",
]


ALMOST_STRAIGHT = 1e-8
"""An arc with less bulge rises by less than 5e-9 of its chord; its centre, far away, would cost as many digits."""


class Circle(NamedTuple):
    """A full circle: centre and radius, mm. Radius 0 is a point."""

    centre: Point
    radius_mm: float


class Line(NamedTuple):
    """An endless line through ``point`` along the unit vector ``direction``."""

    point: Point
    direction: Point


Carrier = Line | Circle


def towards(start: Point, end: Point) -> Point:
    """Return the unit vector from start to end; raises ZeroDivisionError when they coincide."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    d = hypot(dx, dy)
    return Point(dx / d, dy / d)


def line_through(start: Point, end: Point) -> Line:
    """Return the line through two different points."""
    return Line(start, towards(start, end))


def bends(segment: Segment) -> bool:
    """Return True when the segment is an arc that should be treated by its centre."""
    return abs(segment.bulge) >= ALMOST_STRAIGHT


def carrier_of(segment: Segment) -> Carrier:
    """Return the line or circle that the segment lies on; the chord's line for an arc that is almost straight."""
    if bends(segment):
        return Circle(segment.centre, segment.radius_mm)
    return line_through(segment.start, segment.end)


def tangents(segment: Segment) -> tuple[Point, Point]:
    """Return the unit directions of travel at the start and at the end of the segment."""
    u = towards(segment.start, segment.end)
    b = segment.bulge
    if b == 0.0:
        return u, u
    cos, sin = (1.0 - b * b) / (1.0 + b * b), 2.0 * b / (1.0 + b * b)  # of half the sweep
    return (
        Point(u.x * cos + u.y * sin, u.y * cos - u.x * sin),
        Point(u.x * cos - u.y * sin, u.y * cos + u.x * sin),
    )


def meet(a: Carrier, b: Carrier) -> list[Point]:
    """Return the points that two carriers share: none, one (touching) or two. Equal carriers share none here."""
    if isinstance(a, Line):
        return meet_lines(a, b) if isinstance(b, Line) else meet_line_circle(a, b)
    return meet_line_circle(b, a) if isinstance(b, Line) else meet_circles(a, b)


def meet_lines(a: Line, b: Line) -> list[Point]:
    """Return the crossing of two lines; none when they are parallel."""
    cross = a.direction.x * b.direction.y - a.direction.y * b.direction.x
    if cross == 0.0:
        return []
    dx, dy = b.point.x - a.point.x, b.point.y - a.point.y
    s = (dx * b.direction.y - dy * b.direction.x) / cross
    return [Point(a.point.x + s * a.direction.x, a.point.y + s * a.direction.y)]


def meet_line_circle(line: Line, circle: Circle) -> list[Point]:
    """Return the crossings of a line and a circle in order along the line."""
    (px, py), (ux, uy) = line
    (cx, cy), r = circle
    off = (cx - px) * uy - (cy - py) * ux  # signed distance of the centre to the right of the line
    square = (r - off) * (r + off)
    if square < 0.0:
        return []
    fx, fy = cx - off * uy, cy + off * ux
    if square == 0.0:
        return [Point(fx, fy)]
    h = sqrt(square)
    return [Point(fx - h * ux, fy - h * uy), Point(fx + h * ux, fy + h * uy)]


def meet_circles(a: Circle, b: Circle) -> list[Point]:
    """Return the crossings of two circles, first the one to the left of the way from a to b."""
    dx, dy = b.centre.x - a.centre.x, b.centre.y - a.centre.y
    d = hypot(dx, dy)
    if d == 0.0:
        return []
    ux, uy = dx / d, dy / d
    r, s = a.radius_mm, b.radius_mm
    # Heron's product: h² = (r+s+d)(r+s-d)(d+r-s)(d-r+s) / 4d², which keeps its digits when they almost touch
    product = (r + s + d) * (r + s - d) * (d + (r - s)) * (d - (r - s))
    if product < 0.0:
        return []
    along = (d + (r - s) * (r + s) / d) / 2.0
    fx, fy = a.centre.x + along * ux, a.centre.y + along * uy
    if product == 0.0:
        return [Point(fx, fy)]
    h = sqrt(product) / (2.0 * d)
    return [Point(fx - h * uy, fy + h * ux), Point(fx + h * uy, fy - h * ux)]
