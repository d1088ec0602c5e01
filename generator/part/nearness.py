"""What lies how near to what: walls between a feature and the outline, webs between features, what sticks out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import hypot

from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.combine import intersection
from generator.outline.contour import Point
from generator.outline.distance import points_distance
from generator.outline.intersect import point_at
from generator.outline.measure import area, bounds
from generator.outline.offset import offset_region
from generator.outline.region import Region
from generator.part.part import Feature
from generator.part.relation import box_of, covers, gap_between, meets
from generator.part.section import feature_at

__all__ = [
    "Near",
    "growth_to_cover",
    "near_features",
    "shared_mm2",
    "sticks_out_at",
    "thin_walls",
    "wall_mm",
    "web_mm",
    "widest",
]


@frozen_record
class Near:
    """Two things that are too near.

    Attributes:
        first: the feature that is judged.
        second: name of the other feature; empty for the outline.
        gap_mm: what is left between them; 0 where they meet.
        at: the middle of the gap, mm.
        meets: whether they overlap (or, for the outline, whether the feature reaches over it).
    """

    first: Feature
    second: str
    gap_mm: float
    at: Point
    meets: bool


def widest(feature: Feature) -> Region:
    """Return a feature's region at its upper height, where a countersink is widest."""
    return feature_at(feature, feature.z_to_mm)


def wall_mm(outer: Region, inner: Region) -> tuple[float, Point, bool]:
    """Return the thinnest wall (mm) from a region to the outline round it, its middle, whether it reaches over."""
    gap = gap_between(outer, inner)
    at = _between(gap.on_a, gap.on_b)
    if not covers(outer, inner):
        return 0.0, at, True
    return gap.distance_mm, at, False


def web_mm(a: Region, b: Region) -> tuple[float, Point, bool]:
    """Return the thinnest web (mm) between two regions, its middle, and whether they overlap."""
    if meets(a, b):
        common = intersection(a, b)
        return 0.0, bounds(common or (b if covers(a, b) else a)).centre, True
    gap = gap_between(a, b)
    return gap.distance_mm, _between(gap.on_a, gap.on_b), False


def shared_mm2(a: Region, b: Region) -> float:
    """Return the area that two regions share, mm²."""
    common = intersection(a, b)
    return area(common) if common else 0.0


def thin_walls(outline: Region, features: Sequence[Feature], limit_mm: float) -> Iterator[Near]:
    """Yield every feature that leaves less than ``limit_mm`` to the outline or reaches over it."""
    for f in features:
        gap, at, over = wall_mm(outline, widest(f))
        if over or gap < limit_mm - MODEL.same_mm:
            yield Near(f, "", gap, at, over)


def near_features(features: Iterable[Feature], others: Sequence[Feature], limit_mm: float) -> Iterator[Near]:
    """Yield every pair that leaves a web of less than ``limit_mm``, the overlapping ones included; no pair twice."""
    done: set[frozenset[str]] = set()
    for f in features:
        for o in others:
            pair = frozenset((f.name, o.name))
            if o.name == f.name or pair in done or _box_gap_mm(widest(f), widest(o)) >= limit_mm:
                continue
            done.add(pair)
            gap, at, over = web_mm(widest(f), widest(o))
            if over or gap < limit_mm - MODEL.same_mm:
                yield Near(f, o.name, gap, at, over)


def growth_to_cover(outer: Region, inner: Region, *, steps: int = 14) -> float:
    """Return by how much the outer region must grow all round to hold the inner one, mm; from above, by bisection.

    Right to ``1 / 2**steps`` of the distance across both.
    """
    a, b = bounds(outer), bounds(inner)
    low, high = 0.0, hypot(max(a.xmax, b.xmax) - min(a.xmin, b.xmin), max(a.ymax, b.ymax) - min(a.ymin, b.ymin))
    for _ in range(steps):
        middle = (low + high) / 2.0
        low, high = (low, middle) if covers(offset_region(outer, middle), inner) else (middle, high)
    return high


def sticks_out_at(outer: Region, outside: Region) -> Point:
    """Return the place of ``outside`` (what of a region lies outside ``outer``) that is farthest from ``outer``."""
    points = [point_at(s, k / 4.0) for c in outside for s in c.segments() for k in range(4)]
    distances = points_distance(outer, points)
    return points[max(range(len(points)), key=lambda i: distances[i])]


def _box_gap_mm(a: Region, b: Region) -> float:
    """Return how far apart the boxes of two regions lie, mm: no gap between the regions is smaller."""
    p, q = box_of(a), box_of(b)
    dx = max(p.xmin - q.xmax, q.xmin - p.xmax, 0.0)
    dy = max(p.ymin - q.ymax, q.ymin - p.ymax, 0.0)
    return hypot(dx, dy)


def _between(a: Point, b: Point) -> Point:
    return Point((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
