"""How well one primitive explains points of a row, points of chips and burrs aside."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from generator.trace.primitives import Primitive, distance, fitted
from generator.trace.segmenting import DAMAGE_POINT, DAMAGE_PRICE

if TYPE_CHECKING:
    from generator.trace.runs import Row

Ints = NDArray[np.int64]

SLACK: Final = 1.5
"""Points of neighbouring stretches are not quite independent: their noise counts this much more for cuts."""
MOSTLY: Final = 0.7


def fitted_to(row: Row, kind: str, at: Ints) -> Primitive:
    """Return the primitive of a kind that fits some points of a row best."""
    return fitted(kind, row.points[at], row.normals[at], 1.0 / row.sigma[at] ** 2, row.loop)


class Misfits:
    """Misfits of stretches of a row, each reckoned once: neighbours are tried again after every joining."""

    def __init__(self, row: Row) -> None:
        self._row = row
        self._known: dict[tuple[str, bytes, int], float] = {}
        self._fits: dict[tuple[str, bytes], Primitive] = {}

    def of(self, kind: str, at: Ints, first: int = 0) -> float:
        """Return chi-square of the best primitive of a kind through some points, the first ones from one stretch."""
        key = (kind, at.tobytes(), first)
        if key not in self._known:
            self._known[key] = _misfit(self._row, kind, at, first)
        return self._known[key]

    def fit(self, kind: str, at: Ints) -> Primitive:
        """Return the primitive of a kind through some points."""
        key = (kind, at.tobytes())
        if key not in self._fits:
            self._fits[key] = fitted_to(self._row, kind, at)
        return self._fits[key]


def _misfit(row: Row, kind: str, at: Ints, first: int) -> float:
    """Return chi-square of the best primitive of a kind, points of chips counted as damage; no stretch is all chip."""
    sigma = row.sigma[at] * SLACK
    weights = 1.0 / row.sigma[at] ** 2
    p: Primitive | None = None
    for _ in range(4):
        try:
            p = fitted(kind, row.points[at], row.normals[at], weights, row.loop, p)
        except (ValueError, np.linalg.LinAlgError):
            return 1e18
        ratio = np.abs(distance(p, row.points[at])) / sigma
        weights = np.maximum(1.0 - (ratio / 6.0) ** 2, 1e-6) ** 2 / row.sigma[at] ** 2
    off = ratio**2 > DAMAGE_POINT
    if first and max(off[:first].mean(), off[first:].mean()) > MOSTLY:
        return 1e18
    return float(np.minimum(ratio**2, DAMAGE_POINT).sum()) + (DAMAGE_PRICE if off.sum() > 1 else 0.0)
