"""How far the points of a boundary lie from a source, in closed form: the check behind every offset.

Only what lies within reach is measured: the source is cut into blocks of neighbouring segments, and a block whose
box is further away than asked for is left out.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from generator.outline.contour import Contour, next_rows
from generator.outline.pieces import Floats, Frames, Ints, cyclic_next, frames

_BLOCK = 6
"""Segments of a block: few, so that a block near a point is near with most of them."""
_CHUNK = 2_000_000
_TOGETHER = 512
"""So many points are asked for at once: as a rule neighbours, so that most blocks are far from all of them."""


class Nearness:
    """Measures distances to a fixed set of contours."""

    def __init__(self, contours: Sequence[Contour]) -> None:
        self._f, first = frames(contours)
        self._end = self._f.start[cyclic_next(first)]
        self._each_low, self._each_high = _boxes(self._f, self._end)
        self._first = np.arange(0, len(self._end), _BLOCK)
        self._low = np.minimum.reduceat(self._each_low, self._first, axis=0)
        self._high = np.maximum.reduceat(self._each_high, self._first, axis=0)

    def within(self, points: Floats, reach_mm: float) -> Floats:
        """Return the distance of each point to the contours, mm; infinite where it is more than ``reach_mm``."""
        nearest = np.full(len(points), np.inf)
        rows = max(1, min(_TOGETHER, _CHUNK // max(len(self._low), 1)))
        for at in range(0, len(points), rows):
            some = points[at : at + rows]
            low, high = some.min(axis=0) - reach_mm, some.max(axis=0) + reach_mm
            there = np.flatnonzero(((self._low <= high) & (self._high >= low)).all(axis=1))
            x, y = some[:, 0, None], some[:, 1, None]
            gap_x = np.maximum(np.maximum(self._low[there, 0] - x, x - self._high[there, 0]), 0.0)
            gap_y = np.maximum(np.maximum(self._low[there, 1] - y, y - self._high[there, 1]), 0.0)
            point, block = np.nonzero(gap_x * gap_x + gap_y * gap_y <= reach_mm * reach_mm)
            self._measure(some[point], point + at, there[block], reach_mm, nearest)
        return np.where(nearest <= reach_mm, nearest, np.inf)

    def _measure(self, points: Floats, rows: Ints, block: Ints, reach_mm: float, nearest: Floats) -> None:
        """Put distances of points to the segments of blocks into ``nearest``; segments out of reach are left out."""
        segment = self._first[block][:, None] + np.arange(_BLOCK)[None, :]
        inside = segment < len(self._end)
        segment = np.where(inside, segment, 0)
        low, high = self._each_low[segment], self._each_high[segment]
        x, y = points[:, 0, None], points[:, 1, None]
        inside &= (low[..., 0] <= x + reach_mm) & (low[..., 1] <= y + reach_mm)
        inside &= (high[..., 0] >= x - reach_mm) & (high[..., 1] >= y - reach_mm)
        pair, _ = np.nonzero(inside)
        found = _distances(points[pair], self._f, self._end, segment[inside])
        np.minimum.at(nearest, rows[pair], found)

    def off_distance(self, contours: Sequence[Contour], distance_mm: float, slack_mm: float) -> float:
        """Return how far, mm, the worst point of ``contours`` is from lying at ``distance_mm``.

        Vertices and middles of segments are asked; what lies further off than by ``slack_mm`` counts as infinitely far.
        """
        near = self.within(boundary_points(contours), distance_mm + slack_mm)
        return float(np.abs(near - distance_mm).max(initial=0.0))


def boundary_points(contours: Sequence[Contour]) -> Floats:
    """Return all vertices and the middles of all segments."""
    parts = []
    for contour in contours:
        a = contour.array
        step = next_rows(a[:, :2]) - a[:, :2]
        middle = a[:, :2] + step / 2.0 + np.stack([step[:, 1], -step[:, 0]], axis=1) * a[:, 2:] / 2.0
        parts += [a[:, :2], middle]
    return np.concatenate(parts)


def _boxes(f: Frames, end: Floats) -> tuple[Floats, Floats]:
    """Return boxes that hold the segments; those of arcs are a little large."""
    half = f.chord / 2.0
    bulge = np.abs(f.bulge)
    wide = np.where(bulge > 1.0, f.radius * 2.0, half * bulge)[:, None]
    return np.minimum(f.start, end) - wide, np.maximum(f.start, end) + wide


def _distances(p: Floats, f: Frames, end: Floats, k: Ints) -> Floats:
    """Return the distances of points ``p`` to segments ``k``, row by row."""
    a, b = f.start[k], end[k]
    away = p - a
    u = f.unit[k]
    along = np.clip((away * u).sum(axis=1), 0.0, f.chord[k])
    rest = away - along[:, None] * u
    line = np.hypot(rest[:, 0], rest[:, 1])
    circle = f.circle[k]
    if not circle.any():
        return np.asarray(line)
    ends = np.minimum(np.hypot(away[:, 0], away[:, 1]), np.hypot(p[:, 0] - b[:, 0], p[:, 1] - b[:, 1]))
    v = p - f.centre[k]
    # the point faces the arc if it lies within half the sweep of the middle radius
    sign = np.sign(f.sweep[k])
    mx, my = sign * u[:, 1], -sign * u[:, 0]
    angle = np.abs(np.arctan2(v[:, 0] * my - v[:, 1] * mx, v[:, 0] * mx + v[:, 1] * my))
    facing = angle <= np.abs(f.sweep[k]) / 2.0
    ring = np.where(facing, np.minimum(np.abs(np.hypot(v[:, 0], v[:, 1]) - f.radius[k]), ends), ends)
    return np.asarray(np.where(circle, ring, line))
