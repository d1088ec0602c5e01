"""Rectangles on a sheet by best fit into the skyline: the lowest place is filled with what fits it best.

Source of the idea: Burke, Kendall and Whitwell, Operations Research 52 (2004), the best-fit heuristic (from memory).
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record

__all__ = ["Box", "Oblongs", "skyline"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
SLACK_MM: Final = 1e-9
"""Rounding that may not keep a piece out of a gap of its own width."""
LOW, TALLER, SHORTER = 0, 1, 2
"""Which end of a gap a piece is put to: the lower one, beside the taller neighbour, beside the shorter one."""


@frozen_record
class Box:
    """A rectangle laid: which, where its lower left corner lies, and whether it is turned by a quarter."""

    item: int
    x: float
    y: float
    is_turned: bool


@frozen_record
class Oblongs:
    """Sizes of rectangles, both ways round: rows 0 to n - 1 as they are, n to 2 n - 1 turned by a quarter."""

    along: Floats
    across: Floats

    @classmethod
    def of(cls, lengths: Floats, widths: Floats) -> Oblongs:
        """Return both ways round of rectangles of ``lengths`` and ``widths`` (mm)."""
        return cls(np.concatenate([lengths, widths]), np.concatenate([widths, lengths]))

    def __len__(self) -> int:
        return len(self.along) // 2


@frozen_record
class _Step:
    """A step of the skyline: from ``low`` to ``high`` across the sheet, filled up to ``x``."""

    low: float
    high: float
    x: float


def skyline(sheet: tuple[float, float], counts: Ints, *, oblongs: Oblongs, side: int, by_area: bool) -> list[Box]:
    """Return rectangles laid on a sheet of length and width ``sheet``, beginning at x = 0.

    Args:
        sheet: mm.
        counts: how many there are of each size.
        oblongs: the sizes.
        side: one of ``LOW``, ``TALLER``, ``SHORTER``.
        by_area: of what fits a gap the largest is taken, otherwise the one that fills it best.
    """
    length, width = sheet
    left = np.tile(counts, 2)
    rank = oblongs.along * oblongs.across if by_area else oblongs.across + 1e-6 * oblongs.along
    steps = [_Step(0.0, width, 0.0)]
    out: list[Box] = []
    n = len(oblongs)
    while left.any():
        k = min(range(len(steps)), key=lambda i: (steps[i].x, i))
        step = steps[k]
        fits = (left > 0) & (oblongs.across <= step.high - step.low + SLACK_MM)
        fits &= oblongs.along <= length - step.x + SLACK_MM
        if not fits.any():
            if len(steps) == 1:
                break
            steps = _raised(steps, k)
            continue
        row = int(np.where(fits, rank, -1.0).argmax())
        across, along = float(oblongs.across[row]), float(oblongs.along[row])
        low = _low_end(steps, k, across, side)
        out.append(Box(row % n, step.x, low, row >= n))
        left[[row % n, row % n + n]] -= 1
        steps[k : k + 1] = [
            s
            for s in (
                _Step(step.low, low, step.x),
                _Step(low, min(low + across, step.high), step.x + along),
                _Step(low + across, step.high, step.x),
            )
            if s.high - s.low > SLACK_MM
        ]
        steps = _joined(steps)
    return out


def _low_end(steps: list[_Step], k: int, across: float, side: int) -> float:
    step = steps[k]
    below = steps[k - 1].x if k else float("inf")
    above = steps[k + 1].x if k + 1 < len(steps) else float("inf")
    at_top = side != LOW and (above > below if side == TALLER else above < below)
    return step.high - across if at_top else step.low


def _raised(steps: list[_Step], k: int) -> list[_Step]:
    """Return the skyline with the step ``k`` filled up to its lower neighbour: nothing fits there."""
    beside = [steps[i].x for i in (k - 1, k + 1) if 0 <= i < len(steps)]
    step = steps[k]
    return _joined([*steps[:k], _Step(step.low, step.high, min(beside)), *steps[k + 1 :]])


def _joined(steps: list[_Step]) -> list[_Step]:
    out: list[_Step] = []
    for s in steps:
        if out and abs(out[-1].x - s.x) <= SLACK_MM:
            out[-1] = _Step(out[-1].low, s.high, max(out[-1].x, s.x))
        else:
            out.append(s)
    return out
