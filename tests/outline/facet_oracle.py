"""Outlines as fine polygons of an independent library, with the area that the facets miss at most."""

from __future__ import annotations

from math import atan2, cos, hypot, sin

import shapely

from generator.outline.contour import Contour, Segment
from generator.outline.measure import contours_of

PER_ARC = 256


def facet_segment(segment: Segment, count: int = PER_ARC) -> list[tuple[float, float]]:
    if not segment.is_arc:
        return [segment.start]
    c, r = segment.centre, segment.radius_mm
    first = atan2(segment.start.y - c.y, segment.start.x - c.x)
    turns = (first + segment.sweep * k / count for k in range(1, count))
    return [segment.start, *((c.x + r * cos(a), c.y + r * sin(a)) for a in turns)]


def facet_polygon(contour: Contour, count: int = PER_ARC) -> shapely.Polygon:
    return shapely.Polygon([p for s in contour.segments() for p in facet_segment(s, count)])


def facet_region(outline) -> shapely.Geometry:
    """Return outer contours less holes, nested ones included: what lies inside an odd number of contours."""
    total = shapely.Polygon()
    for contour in contours_of(outline):
        total = total.symmetric_difference(facet_polygon(contour))
    return total


def missed_area(outline, count: int = PER_ARC) -> float:
    """Return the area between arcs and facets, mm², by the handbook's formula of the circular segment."""
    out = 0.0
    for contour in contours_of(outline):
        for s in contour.segments():
            if s.is_arc:
                step = abs(s.sweep) / count
                out += count * s.radius_mm**2 / 2.0 * (step - sin(step))
    return out + 1e-9


def sagitta(outline, count: int = PER_ARC) -> float:
    """Return how far the facets lie from the arcs at most, mm."""
    arcs = [s for c in contours_of(outline) for s in c.segments() if s.is_arc]
    return max((s.radius_mm * (1.0 - cos(s.sweep / count / 2.0)) for s in arcs), default=0.0) + 1e-9


def turn_residue(contour: Contour) -> float:
    """Return the largest sine of the angle between neighbouring segments, by their centres alone."""
    segments = list(contour.segments())
    worst = 0.0
    for before, after in zip(segments, segments[1:] + segments[:1], strict=True):
        u, v = direction(before, before.end), direction(after, after.start)
        worst = max(worst, abs(u[0] * v[1] - u[1] * v[0]) if u[0] * v[0] + u[1] * v[1] > 0.0 else 1.0)
    return worst


def direction(segment: Segment, p) -> tuple[float, float]:
    if not segment.is_arc:
        dx, dy = segment.end.x - segment.start.x, segment.end.y - segment.start.y
    else:
        c, sign = segment.centre, 1.0 if segment.bulge > 0.0 else -1.0
        dx, dy = -sign * (p.y - c.y), sign * (p.x - c.x)
    d = hypot(dx, dy)
    return dx / d, dy / d
