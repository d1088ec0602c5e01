"""Tips and hollows in turn round a centre: what rosettes and stars are made of.

All tips are arcs of one radius, all hollows arcs of another; between them runs a straight line tangent to both, or
nothing where they touch. One junction is worked out, the others are its mirror image and copies turned about the
centre, so that the outline is as symmetric as numbers can be.
"""

from __future__ import annotations

from math import atan2, cos, hypot, pi, sin

from generator.base.errors import GeometryError
from generator.outline.carrier import Circle
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.tangent import Hand, crossing_tangent, swept_arc

_TOUCHING = 1e-9


def tip_radius(reach: float, bottom: float, hollow: float, count: int) -> float:
    """Return the radius of tips that touch hollows of a given radius, mm.

    Args:
        reach: from the centre to the tips.
        bottom: from the centre to the bottoms of the hollows.
        hollow: radius of the hollows.
        count: number of tips.

    Source: centres (reach - a) and (bottom + hollow) away from the middle, half a step apart, are a + hollow apart
        (law of cosines; the squares of a cancel).

    Raises: GeometryError: no such tips.
    """
    c, away = cos(pi / count), bottom + hollow
    above, below = reach * reach + away * away - 2.0 * reach * away * c - hollow * hollow, reach + hollow - away * c
    if above <= 0.0 or below <= 0.0:
        raise GeometryError("hollows of this radius are wider than the lobes allow")
    return above / below / 2.0


def hollow_radius(reach: float, bottom: float, tip: float, count: int) -> float:
    """Return the radius of hollows that touch tips of a given radius, mm; see :func:`tip_radius`.

    Raises: GeometryError: no such hollows.
    """
    c, away = cos(pi / count), reach - tip
    above, below = bottom * bottom + away * away - 2.0 * bottom * away * c - tip * tip, tip + away * c - bottom
    if above <= 0.0 or below <= 0.0:
        raise GeometryError("the hollows are too shallow to be hollow, or the tips too wide for them")
    return above / below / 2.0


def tips_and_hollows(count: int, tip: tuple[float, float], hollow: tuple[float, float]) -> Contour:
    """Return the outline, its first tip on the x axis.

    Args:
        count: number of tips, at least 2.
        tip: distance of the tips' centres from the middle, and radius, mm.
        hollow: the same of the hollows.

    Raises: GeometryError: tips and hollows overlap, or a tip's side passes the middle of its neighbour.
    """
    half = pi / count
    a = Circle(Point(tip[0], 0.0), tip[1])
    b = Circle(Point(hollow[0] * cos(half), hollow[0] * sin(half)), hollow[1])
    gap = hypot(b.centre.x - a.centre.x, b.centre.y - a.centre.y) - tip[1] - hollow[1]
    if gap < -_TOUCHING * hollow[0]:
        raise GeometryError("tips and hollows of these radii overlap")
    if gap <= _TOUCHING * hollow[0]:
        k = tip[1] / (tip[1] + hollow[1])
        leave = Point(a.centre.x + k * (b.centre.x - a.centre.x), a.centre.y + k * (b.centre.y - a.centre.y))
        meet = leave
    else:
        join = crossing_tangent(a, b, Hand.RIGHT)
        leave, meet = join.start, join.end
    # the hollow is symmetric about the ray at half a step; its outward direction at the bottom points to the middle
    opened = (atan2(b.centre.y - meet.y, b.centre.x - meet.x) - half + pi) % (2.0 * pi) - pi
    swept = atan2(leave.y - a.centre.y, leave.x - a.centre.x)
    if swept <= 0.0 or opened <= 0.0:
        raise GeometryError("the sides between tips and hollows run the wrong way: the hollows are too shallow")
    step = _step(leave, meet, swept, opened, half)
    return Contour(tuple(v for k in range(count) for v in _turned(step, 2.0 * half * k)))


def _step(leave: Point, meet: Point, swept: float, opened: float, half: float) -> list[Vertex]:
    """Return the vertices of one tip and the hollow after it."""
    away = 2.0 * half
    back = Point(
        meet.x * cos(away) + meet.y * sin(away), meet.x * sin(away) - meet.y * cos(away)
    )  # the mirror image in the ray at half a step
    out = [*swept_arc(Point(leave.x, -leave.y), leave, 2.0 * swept)]
    if leave != meet:
        out.append(Vertex(*leave))
    out += swept_arc(meet, back, -2.0 * opened)
    if leave != meet:
        out.append(Vertex(*back))
    return out


def _turned(vertices: list[Vertex], angle: float) -> list[Vertex]:
    c, s = cos(angle), sin(angle)
    return [Vertex(v.x * c - v.y * s, v.x * s + v.y * c, v.bulge) for v in vertices]
