"""The vertices of one edge or wall of a body, for contours that are put together from them."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, sin, tan

from generator.outline.contour import Vertex

__all__ = ["stretch"]


def stretch(at: Sequence[float], sweep: float, centre: Sequence[float]) -> list[Vertex]:
    """Return the vertices of an edge as it is travelled, without its end; an arc of more than a half circle is parted.

    Unlike ``tangent.swept_arc``, which has the end, it goes by the centre: so it takes whole circles, and those that
    lack little are as exact as others.

    Args:
        at: where it begins, mm.
        sweep: signed angle of an arc, radians, counter-clockwise positive; 0 of a line.
        centre: of the arc, mm.
    """
    x, y = at
    if sweep == 0.0:
        return [Vertex(x, y)]
    if abs(sweep) <= pi:
        return [Vertex(x, y, tan(sweep / 4.0))]
    bulge, half = tan(sweep / 8.0), sweep / 2.0
    dx, dy = x - centre[0], y - centre[1]
    middle = (centre[0] + dx * cos(half) - dy * sin(half), centre[1] + dx * sin(half) + dy * cos(half))
    return [Vertex(x, y, bulge), Vertex(*middle, bulge)]
