"""Nearest points among some hundreds, by trying all: a library that grows trees takes longer to load."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_AT_ONCE: Final = 500_000
"""Distances that are reckoned at once, so that they stay in the processor's cache."""


def nearest(points: Floats, among: Floats) -> tuple[Floats, NDArray[np.int64]]:
    """Return how far the nearest of some points is from each point, and its number.

    Args:
        points: shape (n, 2).
        among: shape (m, 2), not empty.
    """
    away, at = np.empty(len(points)), np.empty(len(points), dtype=np.int64)
    step = max(1, _AT_ONCE // len(among))
    middle = among.mean(axis=0)
    there = among - middle
    squares = (there**2).sum(axis=1)
    for first in range(0, len(points), step):
        here = points[first : first + step] - middle
        best = np.argmin(squares - 2.0 * (here @ there.T), axis=1)
        at[first : first + step] = best
        away[first : first + step] = np.hypot(*(here - there[best]).T)
    return away, at
