"""What of a part is seen from a direction: rays from points to the eye, held against the part's slabs.

The plane is turned so that rays run along its first axis. A ray that rises through a slab covers a stretch of the line
with its second coordinate; it is stopped if material lies in that stretch. Material is a polygon: the line's crossings
with it, in order, are the ends of what lies in it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

__all__ = ["Layer", "Sight"]

Floats = NDArray[np.float64]
ROWS: Final = 1500
"""Strips of the plane by which the polygons' sides are looked up."""
GRAZES: Final = 1e-5
"""Of the part's size: a ray that runs through less material than this only grazes it."""
BESIDE: Final = 1e-7
"""Of the part's size: a point is hidden if it is so on either side of the ray, so that none is by its own corner."""


class Layer:
    """Material between two heights (mm) as closed polygons, points (n, 2), the last one as the first."""

    def __init__(self, z_from_mm: float, z_to_mm: float, polygons: Sequence[Floats]) -> None:
        self.z_from_mm, self.z_to_mm, self.polygons = z_from_mm, z_to_mm, polygons


class Sight:
    """Layers of a part as they stand in the way to the eye.

    Args:
        layers: one or more; together they have a size.
        toward: unit vector of the plane that points to the eye.
        run: how far a ray to the eye goes along the plane while it rises by 1.
    """

    def __init__(self, layers: Sequence[Layer], toward: tuple[float, float], run: float) -> None:
        self._turn = np.array([[toward[0], -toward[1]], [toward[1], toward[0]]])
        self._run = run
        points = np.vstack([p for layer in layers for p in layer.polygons])
        size = float(np.ptp(points, axis=0).max())
        self._grazes, self._beside = GRAZES * size, BESIDE * size
        self._walls = [(layer.z_from_mm, layer.z_to_mm, _Sides(layer.polygons, self._turn)) for layer in layers]

    def sees(self, p: Floats, z: Floats) -> NDArray[np.bool_]:
        """Return which of the points (n, 2) at heights (n,) are seen."""
        at = p @ self._turn
        seen = np.zeros(len(p), dtype=bool)
        for side in (-self._beside, self._beside):
            seen |= ~self._stopped(at[:, 0], at[:, 1] + side, z)
        return seen

    def _stopped(self, u: Floats, v: Floats, z: Floats) -> NDArray[np.bool_]:
        stopped = np.zeros(len(u), dtype=bool)
        for low, high, sides in self._walls:
            rows = np.flatnonzero((high - z > 1e-9) & ~stopped)
            start = u[rows] + np.maximum(0.0, low - z[rows]) * self._run
            stop = u[rows] + (high - z[rows]) * self._run
            stopped[rows] = sides.longest(v[rows], start, stop) > self._grazes
        return stopped


class _Sides:
    """The sides of polygons, sorted into strips of the second coordinate."""

    def __init__(self, polygons: Sequence[Floats], turn: Floats) -> None:
        turned = [p @ turn for p in polygons]
        self._a, self._b = np.vstack([p[:-1] for p in turned]), np.vstack([p[1:] for p in turned])
        low = np.minimum(self._a[:, 1], self._b[:, 1])
        high = np.maximum(self._a[:, 1], self._b[:, 1])
        self._low, self._strip = float(low.min()), max(float(high.max() - low.min()) / ROWS, 1e-9)
        first, last = self._row(low), self._row(high)
        count = last - first + 1
        side = np.repeat(np.arange(len(low)), count)
        row = np.arange(len(side)) - np.repeat(np.cumsum(count) - count, count) + first[side]
        self._listed = side[np.argsort(row, kind="stable")]
        self._ends = np.concatenate(([0], np.cumsum(np.bincount(row, minlength=ROWS + 1))))

    def _row(self, v: Floats) -> NDArray[np.int64]:
        return np.clip(np.floor((v - self._low) / self._strip), 0, ROWS).astype(np.int64)

    def longest(self, v: Floats, start: Floats, stop: Floats) -> Floats:
        """Return for every ray the longest stretch of material between its start and stop."""
        row = self._row(v)
        count = self._ends[row + 1] - self._ends[row]
        ray = np.repeat(np.arange(len(v)), count)
        at = np.arange(len(ray)) - np.repeat(np.cumsum(count) - count, count) + self._ends[row][ray]
        a, b = self._a[self._listed[at]], self._b[self._listed[at]]
        crosses = (a[:, 1] <= v[ray]) != (b[:, 1] <= v[ray])
        a, b, ray = a[crosses], b[crosses], ray[crosses]
        u = a[:, 0] + (v[ray] - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0])
        order = np.lexsort((u, ray))
        into, out = u[order[0::2]], u[order[1::2]]  # closed polygons are crossed an even number of times
        mine = ray[order[0::2]]
        longest = np.zeros(len(v))
        np.maximum.at(longest, mine, np.minimum(out, stop[mine]) - np.maximum(into, start[mine]))
        return longest
