"""Upright walls as triangles: a rectangle over every edge of a ring, with the points that its two ends share."""

from __future__ import annotations

import numpy as np

from generator.mesh.floors import Level, Spot
from generator.mesh.mesh import Ints
from generator.mesh.rings import edges

__all__ = ["upright_wall"]


def upright_wall(ring: Ints, low: int, high: int, bottom: Level, top: Level) -> Ints:
    """Return the wall over a ring between two heights as triangles (m, 3, 3); material lies to the left of the ring."""
    sides = edges([ring])
    cut = np.zeros(len(sides), dtype=bool)
    extra: list[list[tuple[int, int, int]]] = []
    if bottom.inserted or top.inserted:
        for i, (a, b) in enumerate(sides.tolist()):
            below, above = bottom.between(a, b), top.between(a, b)
            if below or above:
                cut[i] = True
                extra += _strip([a, *below, b], [a, *above, b], low, high)
    plain = sides[~cut]
    a0, b0 = _lifted(plain[:, 0], low), _lifted(plain[:, 1], low)
    a1, b1 = _lifted(plain[:, 0], high), _lifted(plain[:, 1], high)
    quads = np.stack([np.stack([a0, b0, b1], axis=1), np.stack([a0, b1, a1], axis=1)], axis=1).reshape(-1, 3, 3)
    return np.concatenate([quads, np.array(extra, dtype=np.int64).reshape(-1, 3, 3)])


def _lifted(points: Ints, z: int) -> Ints:
    return np.column_stack([points, np.full(len(points), z, dtype=np.int64)])


def _strip(below: list[Spot], above: list[Spot], low: int, high: int) -> list[list[tuple[int, int, int]]]:
    """Return the triangles between two chains of points on one straight line, one over the other."""
    (ax, ay), (bx, by) = below[0], below[-1]

    def along(p: Spot) -> int:
        return (p[0] - ax) * (bx - ax) + (p[1] - ay) * (by - ay)

    out, i, j = [], 0, 0
    while i + 1 < len(below) or j + 1 < len(above):
        forward = j + 1 == len(above) or (i + 1 < len(below) and along(below[i + 1]) <= along(above[j + 1]))
        p, q = (*below[i], low), (*above[j], high)
        if forward:
            i += 1
            out.append([p, (*below[i], low), q])
        else:
            j += 1
            out.append([p, (*above[j], high), q])
    return out
