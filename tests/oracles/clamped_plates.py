"""Clamped plates of any outline, solved by finite differences on a grid; knows nothing of equivalent discs.

The biharmonic as the square of the five-point Laplacian. Beyond the edge a plate has the deflection that it has as far
within, by the square of the distances (deflection and slope are 0 at the edge), so that the error goes with the square
of the step. Lengths in one unit, stiffness D and load 1.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import numpy as np

Depth = Callable[[np.ndarray, np.ndarray], np.ndarray]
"""How deep points lie within the outline: negative outside."""

STENCIL = {(0, 0): 20.0}
for _s in (1, -1):
    STENCIL |= {(_s, 0): -8.0, (0, _s): -8.0, (2 * _s, 0): 1.0, (0, 2 * _s): 1.0, (_s, 1): 2.0, (_s, -1): 2.0}


def solved(depth: Depth, box: tuple[float, float, float, float], step: float) -> float:
    """The deflection at the weakest place under a load there, on one grid about the middle of the box."""
    x0, y0, x1, y1 = box
    nx, ny = (int(np.ceil(side / 2.0 / step)) + 3 for side in (x1 - x0, y1 - y0))
    x, y = np.meshgrid(
        (x0 + x1) / 2.0 + np.arange(-nx, nx + 1) * step, (y0 + y1) / 2.0 + np.arange(-ny, ny + 1) * step, indexing="ij"
    )
    deep, tiny = depth(x, y), 1e-3 * step
    inwards = np.stack([depth(x + tiny, y) - depth(x - tiny, y), depth(x, y + tiny) - depth(x, y - tiny)])
    inwards /= np.hypot(*inwards) + 1e-30
    inside = deep > 1e-6 * step
    number = np.full(deep.shape, -1)
    number[inside] = np.arange(inside.sum())

    @cache
    def beyond(i: int, j: int, within: float = 1.5) -> list[tuple[int, float]]:
        """The deflection of a node outside as a sum of those of nodes inside, about so many steps within the edge."""
        far = within * step - deep[i, j]
        a, b = (x[i, j] + far * inwards[0, i, j] - x[0, 0]) / step, (y[i, j] + far * inwards[1, i, j] - y[0, 0]) / step
        p, q = int(a), int(b)
        corners = [(p + u, q + v, abs(1 - u - a + p) * abs(1 - v - b + q)) for u in (0, 1) for v in (0, 1)]
        near = [(m, n, share) for m, n, share in corners if deep[m, n] > 0.3 * step]
        whole = sum(share for _, _, share in near)
        if not whole:  # in a sharp corner, where at last nothing moves
            return beyond(i, j, within + 0.5) if within < 3.0 else []
        return [(int(number[m, n]), share / whole * (deep[i, j] / deep[m, n]) ** 2) for m, n, share in near]

    flat = np.zeros((inside.sum(), inside.sum()))
    for k, (i, j) in enumerate(zip(*np.nonzero(inside), strict=True)):
        for (di, dj), weight in STENCIL.items():
            other = number[i + di, j + dj]
            for m, share in [(other, 1.0)] if other >= 0 else beyond(i + di, j + dj):
                flat[k, m] += weight * share
    return float(np.diag(np.linalg.inv(flat)).max() * step**2)


def deflection(depth: Depth, box: tuple[float, float, float, float], width: float, *, cells: int = 18) -> float:
    """The same, carried on from two grids (``cells`` to the width, and two thirds of that) to none."""
    fine, coarse = (solved(depth, box, width / n) for n in (cells, cells * 2 // 3))
    return fine + (fine - coarse) / (1.5**2 - 1.0)
