"""Where a clamp can stand: clear of the cutter that goes round the part, off the dowels, on the blank."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil, cos, hypot, pi, sin

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point
from generator.outline.distance import boundary_points, point_distance
from generator.outline.measure import Bounds, bounds
from generator.outline.offset import offset_region
from generator.outline.predicates import Side, contains_point
from generator.outline.region import Region
from generator.part.part import Plan

__all__ = ["ClampPlace", "clamp_places", "free_mm"]

A_LITTLE_MM = 0.1
"""Room beyond what is needed, so that rounding takes nothing of it."""
BEARS = 0.5
"""So much of its radius a clamp's middle may stand beyond the blank's edge: the rest still bears on it (chosen)."""
ALONG_MM = 1.0
"""Places are looked for so far apart along each bound."""
STEP = 100.0
HALVINGS = 20
MOST_DISCS = 8
"""Dowels and clamps, the nearest, beside which places are looked for."""
MOST_MEASURED = 400
"""Places that are measured against the part before the search ends."""


@frozen_record
class ClampPlace:
    """Where a clamp can stand.

    Attributes:
        at: its middle.
        margin_mm: what `cover.stock.margin` has to be for that; 0 where the blank is large enough as it is.
    """

    at: Point
    margin_mm: float = 0.0


def free_mm(plan: Plan, at: Point) -> float:
    """Return how far a point is from the part, mm; negative inside it."""
    away = point_distance(plan.cover.profile, at).distance_mm
    return -away if contains_point(plan.cover.profile, at) is Side.INSIDE else away


def clamp_places(
    plan: Plan, clamps: Sequence[Point], radius_mm: float, cutter_mm: float, bad: Sequence[int]
) -> dict[int, ClampPlace]:
    """Return the nearest place for each clamp that has to move: clear of cutter, dowels and the other clamps.

    Args:
        plan: with part, blank and dowel holes.
        clamps: middles as they are.
        radius_mm: from a clamp's middle everything else keeps as far.
        cutter_mm: diameter of the cutter that goes round the part.
        bad: numbers of the clamps that have to move, from 0.

    Returns:
        On the blank as it is, else where the least larger blank would do; none where there is nothing of either.
    """
    found: dict[int, ClampPlace] = {}
    search = _Search(plan, radius_mm, cutter_mm + radius_mm + A_LITTLE_MM)
    for k in bad:
        others = [c for j, c in enumerate(clamps) if j != k] + [p.at for p in found.values()]
        place = search.nearest(clamps[k], others)
        if place is not None:
            found[k] = place
    return found


class _Search:
    """The places there are round one part, for clamps of one size."""

    def __init__(self, plan: Plan, radius_mm: float, off_part_mm: float) -> None:
        self.plan, self.radius_mm, self.off_part_mm = plan, radius_mm, off_part_mm
        self.box, self.part = bounds(plan.blank.region), bounds(plan.outer or plan.cover.profile)
        self.reach_mm = BEARS * radius_mm
        holes = [bounds(Region((c,))) for c in plan.blank.dowel_holes]
        self.dowels = [(h.centre, h.width_mm / 2.0) for h in holes]
        self.round_part = _boundary(plan, off_part_mm)

    def nearest(self, at: Point, others: Sequence[Point]) -> ClampPlace | None:
        """Return the nearest place on the blank; where there is none, the one that needs the least margin."""
        discs = [(c, r + self.radius_mm + A_LITTLE_MM) for c, r in self.dowels]
        discs += [(c, 2.0 * self.radius_mm) for c in others]
        tried = {_rounded(p) for p in self._candidates(at, discs)}
        on_blank = sorted((_far(p, at), p) for p in tried if _off(self.box, p) <= self.reach_mm)
        for _, p in on_blank[:MOST_MEASURED]:
            if self._is_clear(p, discs):
                return ClampPlace(p)
        beyond = sorted((self._margin(p), _far(p, at), p) for p in tried if _off(self.box, p) > self.reach_mm)
        for margin, _, p in beyond[:MOST_MEASURED]:
            if self._is_clear(p, discs):
                return ClampPlace(p, margin)
        return None

    def _is_clear(self, p: Point, discs: Sequence[tuple[Point, float]]) -> bool:
        """Return True if nothing stands at a place and the cutter passes it."""
        clear = all(hypot(p.x - c.x, p.y - c.y) >= r - 0.01 for c, r in discs)
        return clear and free_mm(self.plan, p) >= self.off_part_mm - A_LITTLE_MM / 2.0

    def _margin(self, p: Point) -> float:
        """Return the margin of stock that a place needs, a tenth rounded up."""
        low, high = 0.0, _off(self.part, p)
        for _ in range(HALVINGS):
            middle = (low + high) / 2.0
            low, high = (low, middle) if _off(self.part, p, middle) <= self.reach_mm else (middle, high)
        return ceil(10.0 * high) / 10.0

    def _candidates(self, at: Point, discs: Sequence[tuple[Point, float]]) -> Iterator[Point]:
        """Yield places on every bound: straight away from the part and from what stands there, then all along."""
        yield from self.round_part
        edge = point_distance(self.plan.cover.profile, at).point
        yield from _straight(edge, at, self.off_part_mm, -1.0 if free_mm(self.plan, at) < 0.0 else 1.0)
        near = sorted(discs, key=lambda d: _far(d[0], at) - d[1])[:MOST_DISCS]
        for c, r in near:
            yield from _straight(c, at, r, 1.0)
            turn = 2.0 * pi / max(12, ceil(2.0 * pi * r / ALONG_MM))
            angles = (k * turn for k in range(round(2.0 * pi / turn)))
            yield from (Point(c.x + r * cos(a), c.y + r * sin(a)) for a in angles)
        yield from _on_box(self.box, self.reach_mm, at)


def _boundary(plan: Plan, by_mm: float) -> list[Point]:
    try:
        grown = offset_region(plan.cover.profile, by_mm)
    except GeometryError:
        return []
    return [Point(float(x), float(y)) for x, y in boundary_points(grown, ALONG_MM)]


def _straight(start: Point, through: Point, far_mm: float, sign: float) -> Iterator[Point]:
    """Yield the place so far from a point in the direction of another."""
    dx, dy = sign * (through.x - start.x), sign * (through.y - start.y)
    far = hypot(dx, dy)
    if far > 0.0:
        yield Point(start.x + dx / far * far_mm, start.y + dy / far * far_mm)


def _on_box(box: Bounds, reach_mm: float, at: Point) -> Iterator[Point]:
    """Yield the nearest place that bears on the blank."""
    edge = Point(min(max(at.x, box.xmin), box.xmax), min(max(at.y, box.ymin), box.ymax))
    far = hypot(at.x - edge.x, at.y - edge.y)
    share = 0.99 * reach_mm / far if far > reach_mm else 1.0
    yield Point(edge.x + share * (at.x - edge.x), edge.y + share * (at.y - edge.y))


def _off(box: Bounds, p: Point, grown_mm: float = 0.0) -> float:
    """Return how far a point is from a box grown on all sides, mm; 0 within."""
    dx = max(box.xmin - p.x, p.x - box.xmax, grown_mm) - grown_mm
    dy = max(box.ymin - p.y, p.y - box.ymax, grown_mm) - grown_mm
    return hypot(dx, dy)


def _far(p: Point, at: Point) -> float:
    return round(hypot(p.x - at.x, p.y - at.y), 6)


def _rounded(p: Point) -> Point:
    return Point(round(p.x, 2) + 0.0, round(p.y, 2) + 0.0)
