"""What outer shapes share: what they must enclose, and whether they do."""

from __future__ import annotations

from math import atan2, cos, hypot, sin

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.outline.combine import union
from generator.outline.contour import Contour, Point, Segment
from generator.outline.create import circle
from generator.outline.measure import signed_area
from generator.outline.region import Region
from generator.shapes.shape import Context


def to_enclose(context: Context) -> Region:
    """Return the pocket united with every seat, its holes filled: what an outer shape must go round.

    Raises: GeometryError: there is no pocket here, because the outline is not a cover's outer shape.
    """
    if context.pocket is None:
        raise GeometryError("there is no original to go round here: this shape is for `cover.outer` only")
    seats = [Region.of([circle(centre, radius)]) for centre, radius in context.seats]
    filled = Region.of(c for c in context.pocket if signed_area(c) > 0.0)
    return union(filled, *seats)


def support(contour: Contour, direction: Point) -> float:
    """Return how far the contour reaches in a direction (unit vector), measured from the origin, mm."""
    best = max(v.x * direction.x + v.y * direction.y for v in contour.vertices)
    for s in contour.segments():
        if s.bulge > 0.0:
            far = Point(s.centre.x + s.radius_mm * direction.x, s.centre.y + s.radius_mm * direction.y)
            if on_arc(s, far):
                best = max(best, far.x * direction.x + far.y * direction.y)
    return best


def farthest(region: Region, point: Point) -> float:
    """Return the distance from ``point`` to the farthest point of the region, mm."""
    far = farthest_point(region, point)
    return hypot(far.x - point.x, far.y - point.y)


def on_arc(s: Segment, p: Point) -> bool:
    """Return whether a point of the arc's circle lies on the arc: on the same side of its chord as its middle."""
    side = (s.end.x - s.start.x) * (p.y - s.start.y) - (s.end.y - s.start.y) * (p.x - s.start.x)
    return side * s.bulge <= 1e-12 * s.chord_mm * s.radius_mm  # a rounding error's worth of slack at the ends


def points_along(region: Region, sag_mm: float) -> NDArray[np.float64]:
    """Return points on every contour so close together that no arc bulges more than ``sag_mm`` beyond a chord."""
    rows: list[tuple[float, float]] = []
    for contour in region:
        for s in contour.segments():
            rows.append((s.start.x, s.start.y))
            if s.is_arc:
                pieces = 1 + int(abs(s.sweep) / (8.0 * sag_mm / s.radius_mm) ** 0.5)
                c, r = s.centre, s.radius_mm
                first = atan2(s.start.y - c.y, s.start.x - c.x)
                angles = (first + s.sweep * k / pieces for k in range(1, pieces))
                rows += [(c.x + r * cos(a), c.y + r * sin(a)) for a in angles]
    return np.array(rows, dtype=np.float64).reshape(-1, 2)


def farthest_point(region: Region, point: Point) -> Point:
    """Return the point of the region that is farthest from ``point``."""
    best, where = -1.0, point
    for contour in region:
        for s in contour.segments():
            for p in _far_ends(s, point):
                d = hypot(p.x - point.x, p.y - point.y)
                if d > best:
                    best, where = d, p
    return where


def _far_ends(s: Segment, point: Point) -> list[Point]:
    if not s.is_arc:
        return [s.start]
    c, r = s.centre, s.radius_mm
    d = hypot(c.x - point.x, c.y - point.y)
    far = Point(c.x + r * (c.x - point.x) / d, c.y + r * (c.y - point.y) / d) if d else s.start
    return [s.start, far] if on_arc(s, far) else [s.start]
