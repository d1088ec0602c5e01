"""How well one primitive explains points of a row, points of chips and burrs aside."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from generator.trace.primitives import Primitive, distance, fitted
from generator.trace.segmenting import DAMAGE_POINT, DAMAGE_PRICE

if TYPE_CHECKING:
    from generator.trace.runs import Row

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SLACK: Final = 1.5
"""Neighbouring points err alike: their noise counts this much more for cuts."""
MOSTLY: Final = 0.7
ROUNDS: Final = 4


def fitted_to(row: Row, kind: str, at: Ints) -> Primitive:
    """Return the primitive of a kind that fits some points of a row best."""
    return fitted(kind, row.points[at], row.normals[at], 1.0 / row.sigma[at] ** 2, row.loop)


def robust_fit(row: Row, kind: str, at: Ints) -> tuple[Primitive, Floats] | None:
    """Return the primitive of a kind through most of some points of a row, and their deviations; None without one.

    Those far off count less (Tukey's biweight).
    """
    weights = 1.0 / row.sigma[at] ** 2
    p: Primitive | None = None
    for _ in range(ROUNDS):
        try:
            p = fitted(kind, row.points[at], row.normals[at], weights, row.loop, p)
        except (ValueError, np.linalg.LinAlgError):
            return None
        off = deviations(p, row, at)
        weights = np.maximum(1.0 - (off / 6.0) ** 2, 1e-6) ** 2 / row.sigma[at] ** 2
    assert p is not None
    return p, off


def deviations(p: Primitive, row: Row, at: Ints) -> Floats:
    """Return how far some points of a row lie off a primitive, in their standard deviations."""
    return np.abs(distance(p, row.points[at])) / (SLACK * row.sigma[at])


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
    found = robust_fit(row, kind, at)
    if found is None:
        return 1e18
    _, ratio = found
    off = ratio**2 > DAMAGE_POINT
    if first and max(off[:first].mean(), off[first:].mean()) > MOSTLY:
        return 1e18
    return float(np.minimum(ratio**2, DAMAGE_POINT).sum()) + (DAMAGE_PRICE if off.sum() > 1 else 0.0)
