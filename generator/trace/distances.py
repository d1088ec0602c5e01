"""Distances that a drawing would show: between holes, across parallel edges; each with its uncertainty."""

from __future__ import annotations

from itertools import combinations
from math import cos, hypot, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.trace.doubts import COVERAGE
from generator.trace.footprint import Footprint
from generator.trace.primitives import LINE
from generator.trace.relating import Solved

Floats = NDArray[np.float64]

PARALLEL_RAD: Final = 1e-5
"""Edges that differ by more are not parallel by any relation."""


@frozen_record
class Distance:
    """A distance of two features.

    Attributes:
        numbers: of the features.
        edges: between parallel edges; else between the centres of holes.
        value: mm.
        doubt: 95 % uncertainty, mm.
        apart: the edges face away from each other, or it is between holes.
    """

    numbers: tuple[int, int]
    edges: bool
    value: float
    doubt: float
    apart: bool = True


def distances(solved: Solved, footprint: Footprint) -> list[Distance]:
    """Return distances between the centres of holes and across parallel edges, holes first."""
    model, x, covariance = solved.layout.model, solved.found.x, solved.found.covariance
    places, primitives = model.places(), solved.primitives
    out = []
    for a, b in combinations(footprint.holes, 2):
        p, q = primitives[a - 1].values, primitives[b - 1].values
        far = hypot(q[0] - p[0], q[1] - p[1])
        if far < 1e-3:
            continue
        u, v = (q[0] - p[0]) / far, (q[1] - p[1]) / far
        row = np.zeros(len(x))
        i, k = places[a - 1], places[b - 1]
        row[i], row[i + 1], row[k], row[k + 1] = -u, -v, u, v
        out.append(Distance((a, b), False, far, _half(row, covariance)))
    lines = [n for n in footprint.outline if primitives[n - 1].kind == LINE]
    for a, b in combinations(lines, 2):
        p, q = primitives[a - 1].values, primitives[b - 1].values
        if abs(sin(p[0] - q[0])) > PARALLEL_RAD:
            continue
        sign = 1.0 if cos(p[0] - q[0]) < 0.0 else -1.0
        row = np.zeros(len(x))
        row[places[a - 1] + 1], row[places[b - 1] + 1] = 1.0, sign
        out.append(Distance((a, b), True, abs(p[1] + sign * q[1]), _half(row, covariance), sign > 0.0))
    return out


def _half(row: Floats, covariance: Floats) -> float:
    return float(COVERAGE * np.sqrt(max(float(row @ covariance @ row), 0.0)))
