"""Move, turn, mirror, scale and renumber contours and regions.

Orientation keeps its meaning throughout: what was an outer contour stays counter-clockwise. A mirror image is
therefore travelled the other way round, and its bulges keep their signs.
"""

from __future__ import annotations

from collections.abc import Callable
from math import cos, isfinite, pi, sin
from typing import NamedTuple, TypeVar

from generator.base.errors import GeometryError
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.measure import signed_area
from generator.outline.region import Region

__all__ = [
    "ACROSS_X",
    "ACROSS_Y",
    "ORIGIN",
    "Axis",
    "canonical",
    "mirrored",
    "moved",
    "reoriented",
    "scaled",
    "turned",
]

T = TypeVar("T", Contour, Region)
ORIGIN = Point(0.0, 0.0)


class Axis(NamedTuple):
    """A mirror axis through ``point`` (mm) at ``angle_rad`` from +x."""

    point: Point
    angle_rad: float


ACROSS_X = Axis(ORIGIN, 0.0)
"""The x axis: the mirror image has y negated."""
ACROSS_Y = Axis(ORIGIN, pi / 2.0)
"""The y axis: the mirror image has x negated."""


def _each(outline: T, change: Callable[[Contour], Contour]) -> T:
    if isinstance(outline, Contour):
        return change(outline)
    return Region.of(change(c) for c in outline.contours)


def _unit(angle_rad: float) -> tuple[float, float]:
    """Return cosine and sine, exact at whole quarter turns."""
    quarters = angle_rad / (pi / 2.0)
    if quarters == round(quarters):
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(quarters) % 4]
    return cos(angle_rad), sin(angle_rad)


def moved(outline: T, dx: float, dy: float) -> T:
    """Return the outline moved by ``(dx, dy)`` mm."""
    return _each(outline, lambda c: Contour(tuple(Vertex(v.x + dx, v.y + dy, v.bulge) for v in c.vertices)))


def turned(outline: T, angle_rad: float, about: Point = ORIGIN) -> T:
    """Return the outline turned counter-clockwise about a point; whole quarter turns are exact."""
    c, s = _unit(angle_rad)
    ax, ay = about

    def turn(v: Vertex) -> Vertex:
        x, y = v.x - ax, v.y - ay
        return Vertex(ax + (c * x - s * y), ay + (s * x + c * y), v.bulge)

    return _each(outline, lambda contour: Contour(tuple(turn(v) for v in contour.vertices)))


def mirrored(outline: T, across: Axis = ACROSS_Y) -> T:
    """Return the mirror image, travelled so that outer contours stay counter-clockwise.

    Across the x or y axis or the diagonals through the origin no digit changes, so the mirror image of the
    mirror image is the very same outline; elsewhere within rounding.
    """
    (ax, ay), angle = across
    c, s = _unit(2.0 * angle)

    def image(v: Vertex, bulge: float) -> Vertex:
        x, y = v.x - ax, v.y - ay
        return Vertex(ax + (c * x + s * y), ay + (s * x - c * y), bulge)

    def mirror(contour: Contour) -> Contour:
        vs = contour.vertices
        # one sign change from mirroring, one from travelling back: the bulge stays
        return Contour(tuple(image(vs[i], vs[i - 1].bulge) for i in range(len(vs) - 1, -1, -1)))

    return _each(outline, mirror)


def scaled(outline: T, factor: float, about: Point = ORIGIN) -> T:
    """Return the outline scaled about a point; a negative factor turns it by 180 degrees as well.

    Raises:
        GeometryError: the factor is zero or not finite.
    """
    if factor == 0.0 or not isfinite(factor):
        raise GeometryError(f"scale factor {factor:g} leaves nothing; use a finite one other than 0")
    ax, ay = about
    if factor == 1.0:
        return outline
    return _each(
        outline,
        lambda c: Contour(
            tuple(Vertex(ax + factor * (v.x - ax), ay + factor * (v.y - ay), v.bulge) for v in c.vertices)
        ),
    )


def reoriented(contour: Contour, ccw: bool) -> Contour:
    """Return the contour travelled counter-clockwise (``ccw``) or clockwise; its vertices stay."""
    return contour if (signed_area(contour) > 0.0) == ccw else contour.reversed()


def canonical(contour: Contour) -> Contour:
    """Return the same contour starting at its smallest vertex (by x, then y)."""
    vs = contour.vertices
    if not vs:
        return contour
    first = min(range(len(vs)), key=lambda i: vs[i])
    return Contour(vs[first:] + vs[:first])
