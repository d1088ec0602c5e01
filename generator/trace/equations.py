"""Relations as equations: their derivatives, the step that keeps them, and what they cost together."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.trace.unknowns import Equation

Floats = NDArray[np.float64]

RANK: Final = 1e-3
"""Equations whose derivatives differ by less than this share say the same thing twice."""


def linearised(equations: Sequence[Equation], x: Floats) -> tuple[Floats, Floats]:
    """Return values of equations and their derivatives by every unknown, shapes (m,) and (m, k)."""
    values, rows = np.zeros(len(equations)), np.zeros((len(equations), len(x)))
    h = 1e-30
    for i, (of, function) in enumerate(equations):
        here = x[list(of)].astype(np.complex128)
        values[i] = complex(function(here)).real
        for k, at in enumerate(of):
            stepped = here.copy()
            stepped[k] += 1j * h
            rows[i, at] += complex(function(stepped)).imag / h
    return values, rows


def constrained_step(
    j: Floats, r: Floats, equations: Sequence[Equation], x: Floats, unit: Floats
) -> tuple[Floats, Floats]:
    """Return the step that makes the residuals least while the equations hold, and what leaves the equations alone."""
    k = len(x)
    if not equations:
        null = np.eye(k)
        base = np.zeros(k)
    else:
        values, rows = linearised(equations, x)
        scale = np.maximum(np.linalg.norm(rows, axis=1), 1e-12)
        rows = rows * unit
        scale = np.maximum(np.linalg.norm(rows, axis=1), 1e-12)
        # directions from the smaller of both square matrices: quicker than all singular vectors
        squares, vectors = np.linalg.eigh((rows / scale[:, None]).T @ (rows / scale[:, None]))
        held = squares > (RANK * RANK) * squares[-1]
        right, size = vectors[:, held], squares[held]
        base = -(right @ ((right.T @ ((rows / scale[:, None]).T @ (values / scale))) / size)) * unit
        null = vectors[:, ~held] * unit[:, None]
    jn = j @ null
    size = np.maximum(np.sqrt(np.einsum("ij,ij->j", jn, jn)), 1e-9)
    jn /= size
    y = np.linalg.solve(jn.T @ jn + 1e-11 * np.eye(len(size)), -jn.T @ (r + j @ base)) / size
    return base + null @ y, null


def quadratic(spread: Floats, off: Floats) -> float:
    """Return ``off' spread⁻¹ off`` where rows may say the same thing twice."""
    if not len(off):
        return 0.0
    scale = np.sqrt(np.maximum(np.diag(spread), 1e-30))
    values, vectors = np.linalg.eigh(spread / np.outer(scale, scale))
    parts = vectors.T @ (off / scale)
    good = values > 1e-6
    return float((parts[good] ** 2 / values[good]).sum())
