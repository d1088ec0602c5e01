"""Closed contours of lines and arcs from primitives and their joints."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, cos, pi, sin, tan

from generator.outline.contour import Contour, Point, Segment, Vertex
from generator.trace.primitives import LINE, Primitive, meeting
from generator.trace.reading_equations import Joint


def contour_of(primitives: Sequence[Primitive], joints: Sequence[Joint]) -> Contour:
    """Return the closed contour through a loop's joints, counter-clockwise, mm.

    Arcs of more than half a turn are cut in two: no segment of a contour sweeps more.
    """
    vertices: list[Vertex] = []
    whole = segments_of(primitives, joints)
    for start, end in zip(whole, [*whole[1:], whole[0]], strict=True):
        vertices += halved(start, end)
    return Contour(tuple(vertices))


def segments_of(primitives: Sequence[Primitive], joints: Sequence[Joint]) -> list[Vertex]:
    """Return one vertex for each primitive of a loop: where it starts, and the bulge of the whole of it."""
    corners = [meeting(primitives[j.before], primitives[j.after], j.near, j.touching) for j in joints]
    vertices: list[Vertex] = []
    for i, j in enumerate(joints):
        p, start, end = primitives[j.after], corners[i], corners[(i + 1) % len(joints)]
        vertices.append(Vertex(*start, 0.0 if p.kind == LINE else _bulge(p, start, end)))
    return vertices


def circle_of(p: Primitive) -> Contour:
    """Return a full circle as a contour of two half arcs, counter-clockwise."""
    x, y, r = p.values
    return Contour((Vertex(x + r, y, 1.0), Vertex(x - r, y, 1.0)))


def _bulge(p: Primitive, start: tuple[float, float], end: tuple[float, float]) -> float:
    """Return the bulge of an arc from start to end.

    A loop runs counter-clockwise round its area: round what is solid an arc turns left where material lies within it;
    round what is open the sides are the other way round.
    """
    x, y, _ = p.values
    a, b = atan2(start[1] - y, start[0] - x), atan2(end[1] - y, end[0] - x)
    left = (p.side > 0) == (p.loop == 0)
    return tan(((b - a) % (2.0 * pi) if left else -((a - b) % (2.0 * pi))) / 4.0)


def halved(start: Vertex, end: Vertex) -> list[Vertex]:
    """Return the vertices of a segment, cut in two where it sweeps more than half a turn."""
    if abs(start.bulge) <= 1.0:
        return [start]
    arc = Segment(Point(start.x, start.y), Point(end.x, end.y), start.bulge)
    c, r = arc.centre, arc.radius_mm
    middle = atan2(start.y - c.y, start.x - c.x) + arc.sweep / 2.0
    half = tan(arc.sweep / 8.0)
    return [Vertex(start.x, start.y, half), Vertex(c.x + r * cos(middle), c.y + r * sin(middle), half)]
