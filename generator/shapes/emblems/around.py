"""Figures that repeat round the origin."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil, cos, pi, sin, tan

from generator.outline.contour import Contour, Vertex


def polar(radius_mm: float, angle_rad: float, bulge: float = 0.0) -> Vertex:
    """Return the vertex at a distance and direction from the origin."""
    return Vertex(radius_mm * cos(angle_rad), radius_mm * sin(angle_rad), bulge)


def turned_chain(chain: Iterable[Vertex], angle_rad: float) -> list[Vertex]:
    """Return the vertices turned about the origin."""
    c, s = cos(angle_rad), sin(angle_rad)
    return [Vertex(c * v.x - s * v.y, s * v.x + c * v.y, v.bulge) for v in chain]


def all_round(chain: Sequence[Vertex], times: int) -> Contour:
    """Return the closed contour of one period of it, counter-clockwise, repeated round the origin."""
    return Contour(tuple(v for k in range(times) for v in turned_chain(chain, 2.0 * pi * k / times)))


def each_turned(chain: Iterable[Vertex], times: int, first_rad: float = 0.0) -> list[Contour]:
    """Return copies of the closed chain, evenly round the origin, the first one turned by ``first_rad``."""
    chain = tuple(chain)
    return [Contour(tuple(turned_chain(chain, first_rad + 2.0 * pi * k / times))) for k in range(times)]


def arc(radius_mm: float, start_rad: float, end_rad: float) -> list[Vertex]:
    """Return the vertices of an arc round the origin, its end without a bulge; as many pieces as it takes."""
    pieces = max(1, ceil(abs(end_rad - start_rad) / (0.99 * pi)))
    step = (end_rad - start_rad) / pieces
    return [polar(radius_mm, start_rad + k * step, tan(step / 4.0) if k < pieces else 0.0) for k in range(pieces + 1)]
