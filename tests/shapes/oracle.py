"""Regions as fine facets of an independent library: an oracle with a stated error, never a micrometre one.

Every arc is cut so finely that chord and arc are at most SAG_MM apart. Areas are compared within that distance along
the whole boundary. Buffers of the library are coarser still (it simplifies its input): their cases state a slack of
their own.
"""

from __future__ import annotations

from math import atan2, ceil, cos, pi, sin, sqrt

from shapely import Polygon
from shapely.geometry import Point as Spot
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from generator.outline.contour import Contour
from generator.outline.measure import signed_area
from generator.outline.region import Region

SAG_MM = 1e-4


def quadrant(radius: float) -> int:
    """How many chords a quarter circle takes."""
    return ceil(pi / 2 / sqrt(8 * SAG_MM / radius))


def facets(contour: Contour) -> list[tuple[float, float]]:
    points = []
    for s in contour.segments():
        points.append((s.start.x, s.start.y))
        if s.is_arc:
            c, r = s.centre, s.radius_mm
            n = ceil(abs(s.sweep) / (pi / 2) * quadrant(r))
            first = atan2(s.start.y - c.y, s.start.x - c.x)
            points += [
                (c.x + r * cos(first + s.sweep * k / n), c.y + r * sin(first + s.sweep * k / n)) for k in range(1, n)
            ]
    return points


def polygon_of(region: Region) -> BaseGeometry:
    """The region as facets; holes taken out by subtraction, so nothing rests on nesting order."""
    outers = unary_union([Polygon(facets(c)) for c in region if signed_area(c) > 0])
    holes = unary_union([Polygon(facets(c)) for c in region if signed_area(c) < 0])
    return outers.difference(holes)


def disc(x: float, y: float, r: float) -> BaseGeometry:
    return Spot(x, y).buffer(r, quad_segs=quadrant(r))


def grown(shape: BaseGeometry, by: float) -> BaseGeometry:
    return shape.buffer(by, quad_segs=quadrant(abs(by)))


def facet_error(expected: BaseGeometry) -> float:
    """Area by which facets may be wrong, mm²."""
    return 2 * SAG_MM * expected.length


def disagreement(region: Region, expected: BaseGeometry) -> float:
    """Area that lies in one and not in the other, mm²."""
    return polygon_of(region).symmetric_difference(expected).area
