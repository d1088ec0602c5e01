"""Where a rim is too narrow for its edge break: two sides of the outline meet under the chamfer."""

from __future__ import annotations

from collections.abc import Iterator
from math import tan
from typing import NamedTuple

from generator.base.units import MODEL
from generator.outline.contour import Contour, Point, Segment
from generator.outline.distance import point_distance, points_distance
from generator.outline.intersect import direction_at, point_at
from generator.outline.predicates import corner_angles
from generator.outline.region import Region

__all__ = ["narrow_places"]

SAMPLES = (0.35, 0.5, 0.65)
FACING = -0.5
"""Cosine between directions of travel below which two pieces of an outline face each other (within 60°)."""
PARALLEL = -0.9999
"""The same for short sides, which often meet at a corner: only sides that never do (within 0.8°)."""


class _Side(NamedTuple):
    """A piece of the outline and the part of it that its neighbours leave at the top."""

    segment: Segment
    low: float
    high: float
    facing: float


class _Moved(NamedTuple):
    """A point of the outline moved inward, and the direction of travel there."""

    at: Point
    direction: Point
    facing: float


def narrow_places(profile: Region, inward_mm: float) -> tuple[Point, ...]:
    """Return points of the top rim that lie nearer than ``inward_mm`` to the outline on the other side.

    Corners shorten their two sides and may vanish with them: that is not meant. Sides are asked away from their ends: a
    point of the outline moved inward must not come nearer to a side that faces it; short sides, to one that is
    parallel.
    """
    reach = inward_mm + 2.0 * MODEL.model_mm  # sides that meet exactly are too near, too
    moved = [m for c in profile for side in _sides(c, reach) for m in _samples(side, reach)]
    if not moved:
        return ()
    distances = points_distance(profile, [m.at for m in moved])
    near = (m for m, d in zip(moved, distances, strict=True) if d < reach - MODEL.model_mm)
    return tuple(m.at for m in near if _faces(profile, m))


def _sides(contour: Contour, inward_mm: float) -> Iterator[_Side]:
    """Yield the pieces of a contour that corners alone do not use up."""
    turns = [float(t) for t in corner_angles(contour)]
    for i, segment in enumerate(contour.segments()):
        length = segment.chord_mm if not segment.is_arc else abs(segment.sweep) * segment.radius_mm
        if length <= 0.0 or (segment.bulge > 0.0 and segment.radius_mm <= inward_mm):
            continue
        cuts = [inward_mm * tan(max(0.0, min(t, 3.0)) / 2.0) for t in (turns[i], turns[(i + 1) % len(turns)])]
        left = length - sum(cuts)
        if left > MODEL.model_mm:
            facing = FACING if left > 2.0 * inward_mm else PARALLEL
            yield _Side(segment, cuts[0] / length, 1.0 - cuts[1] / length, facing)


def _samples(side: _Side, inward_mm: float) -> Iterator[_Moved]:
    """Yield points of one side, moved inward."""
    for share in SAMPLES:
        at = side.low + share * (side.high - side.low)
        p, u = point_at(side.segment, at), direction_at(side.segment, at)
        yield _Moved(Point(p.x - inward_mm * u.y, p.y + inward_mm * u.x), u, side.facing)


def _faces(profile: Region, moved: _Moved) -> bool:
    """Return True if the outline nearest to a moved point runs against its own direction of travel."""
    at = point_distance(profile, moved.at).point
    segments = (s for c in profile for s in c.segments())
    nearest = min(segments, key=lambda s: _distance(s, at))
    share = min((k / 16.0 for k in range(17)), key=lambda t: _apart(point_at(nearest, t), at))
    u = direction_at(nearest, share)
    return u.x * moved.direction.x + u.y * moved.direction.y < moved.facing


def _distance(segment: Segment, at: Point) -> float:
    other = Contour.of([(*segment.start, segment.bulge), (*segment.end, -segment.bulge)])
    return point_distance(other, at).distance_mm


def _apart(a: Point, b: Point) -> float:
    return (a.x - b.x) ** 2 + (a.y - b.y) ** 2
