"""Which points lie inside a set of loops: crossings of a ray, exact for arcs, many points at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil, cos, pi, sin

import numpy as np
from numpy.typing import NDArray

from generator.outline.contour import Point
from generator.part.runs import Loop, Plane, Run

_Row = tuple[float, float, float, float, float, float, float, float]


class Inside:
    """Answers whether points lie inside the loops (even–odd, which is right for outer contours with holes)."""

    def __init__(self, loops: Iterable[Loop], plane: Plane) -> None:
        rows = [row for loop in loops for run in loop for row in _monotone(run, plane)]
        self._rows = np.array(rows, dtype=np.float64).reshape(-1, 8)

    def __call__(self, points: Sequence[Point]) -> list[bool]:
        """Return for each point whether it lies inside; points on a boundary may get either answer."""
        if not len(self._rows) or not points:
            return [False] * len(points)
        p = np.array(points, dtype=np.float64)
        x0, y0, x1, y1, cx, cy, r, side = (column[None, :] for column in self._rows.T)
        px, py = p[:, 0:1], p[:, 1:2]
        crosses = (y0 <= py) != (y1 <= py)
        odd: NDArray[np.int64] = (crosses & (px < _abscissa(py, x0, y0, x1, y1, cx, cy, r, side))).sum(axis=1)
        return [bool(n % 2) for n in odd]


def _abscissa(
    py: NDArray[np.float64],
    x0: NDArray[np.float64],
    y0: NDArray[np.float64],
    x1: NDArray[np.float64],
    y1: NDArray[np.float64],
    cx: NDArray[np.float64],
    cy: NDArray[np.float64],
    r: NDArray[np.float64],
    side: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Return where each piece meets the height ``py``; only right where it does."""
    dy = np.where(y1 == y0, 1.0, y1 - y0)
    straight = x0 + (py - y0) * (x1 - x0) / dy
    round_ = cx + side * np.sqrt(np.maximum(r * r - (py - cy) ** 2, 0.0))
    return np.where(side == 0.0, straight, round_)


def _monotone(run: Run, plane: Plane) -> list[_Row]:
    """Return the run in pieces that only rise or only fall: ends, centre, radius, side (0 for a line)."""
    a, b = plane.corners[run.start], plane.corners[run.end]
    if run.circle is None:
        return [(a.x, a.y, b.x, b.y, 0.0, 0.0, 0.0, 0.0)]
    (cx, cy), r = run.circle
    low, high = sorted((run.angle, run.angle + run.sweep))
    cuts = [low, *_quarter_turns(low, high), high]
    ends = [(cx + r * cos(t), cy + r * sin(t)) for t in cuts]
    first, last = (a, b) if run.sweep > 0 else (b, a)
    ends[0], ends[-1] = (first.x, first.y), (last.x, last.y)
    rows = []
    for (x0, y0), (x1, y1), t, u in zip(ends, ends[1:], cuts, cuts[1:], strict=False):
        side = 1.0 if cos((t + u) / 2.0) > 0.0 else -1.0
        rows.append((x0, y0, x1, y1, cx, cy, r, side))
    return rows


def _quarter_turns(low: float, high: float) -> list[float]:
    """Return the angles of the circle's highest and lowest points strictly between two angles."""
    first = ceil((low - pi / 2.0) / pi)
    angles = []
    while pi / 2.0 + first * pi < high:
        angle = pi / 2.0 + first * pi
        if angle > low:
            angles.append(angle)
        first += 1
    return angles
