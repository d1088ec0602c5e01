"""Contours as rings of straight edges on one grid, made so that contours that run along each other share their edges.

The grid is a power of two of a millimetre: what lies on it within a metre is a single-precision number as well, so that
a mesh loses nothing in a file that holds no more.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.mesh.mesh import Floats, Ints
from generator.outline.carriers import find_carriers
from generator.outline.contour import Contour
from generator.outline.facets import Grid, facet
from generator.outline.pieces import pieces_of
from generator.part.part import Slab

__all__ = ["Rings", "rings_of"]

FINEST_PER_MM = 2.0**14
"""Lines of the grid a millimetre: 0.06 µm apart, far below the model's accuracy."""
SINGLE = 2.0**24
"""Whole numbers up to here are single-precision numbers."""


@frozen_record(eq=False)
class Rings:
    """The rings of a part's contours.

    Attributes:
        per_mm: lines of the grid a millimetre.
        ring: (n, 2) whole numbers of every contour, in its direction of travel, no two neighbours equal.
    """

    per_mm: float
    ring: dict[Contour, Ints]

    def height(self, z_mm: float) -> int:
        """Return a height in lines of the grid."""
        return round(z_mm * self.per_mm)

    def on_grid(self, x_mm: float, y_mm: float) -> tuple[int, int]:
        """Return a point in lines of the grid."""
        return round(x_mm * self.per_mm), round(y_mm * self.per_mm)


def rings_of(slabs: Sequence[Slab], chord_mm: float) -> Rings:
    """Return the rings of every contour of the slabs; arcs become chords that leave them by at most ``chord_mm``."""
    contours = list(dict.fromkeys(c for s in slabs for w in s.walls for c in (w.lower, w.upper)))
    pieces = pieces_of(*contours)
    reach = max(float(np.abs(pieces.start).max(initial=1.0)), max((s.z_to_mm for s in slabs), default=1.0))
    per_mm = FINEST_PER_MM
    while 2.0 * reach * per_mm > SINGLE:
        per_mm /= 2.0
    grid = Grid(np.zeros(2), per_mm)
    facets = facet(pieces, find_carriers(pieces, grid.origin), grid, chord_mm)
    return Rings(per_mm, dict(zip(contours, map(_distinct, facets.polygons()), strict=True)))


def _distinct(polygon: Floats) -> Ints:
    """Return a ring without points that are equal to the one before."""
    points = polygon.astype(np.int64)
    return np.asarray(points[(points != np.roll(points, 1, axis=0)).any(axis=1)])


def edges(rings: Iterable[Ints]) -> Ints:
    """Return (n, 2, 2): start and end of every edge of the rings."""
    parts = [np.stack([r, np.roll(r, -1, axis=0)], axis=1) for r in rings]
    return np.concatenate(parts) if parts else np.zeros((0, 2, 2), np.int64)
