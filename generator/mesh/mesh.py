"""A closed mesh of triangles, and what can be asked of one."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record

__all__ = ["Floats", "Ints", "Mesh", "welded"]

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.int64]


@frozen_record(eq=False)
class Mesh:
    """Triangles over numbered corners.

    Attributes:
        points: (n, 3) corners, mm; no two are equal.
        triangles: (m, 3) numbers of corners, counter-clockwise as seen from outside.
    """

    points: Floats
    triangles: Ints

    @property
    def volume_mm3(self) -> float:
        """Return the volume by the divergence theorem, mm³; negative if the triangles face inwards."""
        if not len(self.triangles):
            return 0.0
        # about a point near by, so that a part far from the origin costs no digits
        a, b, c = (self.points[self.triangles[:, k]] - self.points[0] for k in range(3))
        return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0)

    @property
    def area_mm2(self) -> float:
        """Return the area of the surface, mm²."""
        a, b, c = (self.points[self.triangles[:, k]] for k in range(3))
        return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2.0)

    @property
    def box_mm(self) -> tuple[float, float, float, float, float, float]:
        """Return xmin, ymin, zmin, xmax, ymax, zmax, mm; there must be a corner."""
        low, high = self.points.min(axis=0).tolist(), self.points.max(axis=0).tolist()
        return (low[0], low[1], low[2], high[0], high[1], high[2])

    def open_edges(self) -> int:
        """Return how many edges do not run once one way for every time they run the other way; 0 if it is closed."""
        t = self.triangles
        start = np.concatenate([t[:, 0], t[:, 1], t[:, 2]])
        end = np.concatenate([t[:, 1], t[:, 2], t[:, 0]])
        key = np.minimum(start, end) * len(self.points) + np.maximum(start, end)
        _, number = np.unique(key, return_inverse=True)
        balance = np.bincount(number, weights=np.where(start < end, 1.0, -1.0))
        return int(np.count_nonzero(balance))


def welded(corners: Ints, unit_mm: float) -> Mesh:
    """Return the mesh of triangles given by whole numbers: equal corners become one, triangles without area go.

    Args:
        corners: (m, 3, 3): triangle, corner, x y z as multiples of ``unit_mm``.
        unit_mm: length of one.
    """
    flat = corners.reshape(-1, 3)
    order = np.lexsort((flat[:, 2], flat[:, 1], flat[:, 0]))
    ranked = flat[order]
    is_new = np.ones(len(ranked), dtype=bool)
    is_new[1:] = (ranked[1:] != ranked[:-1]).any(axis=1)
    number = np.empty(len(flat), dtype=np.int64)
    number[order] = np.cumsum(is_new) - 1
    t = number.reshape(-1, 3)
    whole = (t[:, 0] != t[:, 1]) & (t[:, 1] != t[:, 2]) & (t[:, 2] != t[:, 0])
    return Mesh(np.asarray(ranked[is_new] * unit_mm), t[whole])
