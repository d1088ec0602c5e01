"""Slabs to a closed mesh: walls between the heights, faces at them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from generator.base.errors import GeometryError
from generator.mesh.floors import Level, make_level
from generator.mesh.mesh import Ints, Mesh, welded
from generator.mesh.rings import Rings, rings_of
from generator.mesh.slopes import sloping_wall
from generator.mesh.walls import upright_wall
from generator.outline.contour import Contour
from generator.part.part import Slab

__all__ = ["CHORD_MM", "mesh_of"]

CHORD_MM: Final = 0.01
"""How far a chord may leave its arc: a fifth of the finest layers that plastic is printed in; common practice."""


def mesh_of(slabs: Sequence[Slab], *, chord_mm: float = CHORD_MM) -> Mesh:
    """Return the closed mesh of a stack of slabs, its faces towards the outside.

    Corners lie on the contours themselves; arcs are chords that leave them by at most ``chord_mm``. Contours that go
    straight on from slab to slab give one wall.

    Args:
        slabs: bottom to top.
        chord_mm: see above, mm.

    Raises:
        GeometryError: there is no material, or a sloping wall cannot be made.
    """
    if not slabs:
        raise GeometryError("the slabs leave no material")
    rings = rings_of(slabs, chord_mm)
    heights = sorted({z for s in slabs for z in (s.z_from_mm, s.z_to_mm)})
    levels = {z: _level(z, slabs, rings) for z in heights}
    parts = [_at_height(levels[z].triangles, rings.height(z)) for z in heights]
    for contour, low, high in _upright(slabs):
        bounds = (rings.height(low), rings.height(high))
        parts.append(upright_wall(rings.ring[contour], *bounds, levels[low], levels[high]))
    for slab in slabs:
        bottom, top = levels[slab.z_from_mm], levels[slab.z_to_mm]
        parts += [sloping_wall(w, slab, rings, bottom, top, chord_mm) for w in slab.walls if not w.is_straight]
    return welded(np.concatenate(parts), 1.0 / rings.per_mm)


def _level(z_mm: float, slabs: Sequence[Slab], rings: Rings) -> Level:
    """Return the faces at one height."""
    below, above = _ending(z_mm, slabs), _beginning(z_mm, slabs)
    return make_level(
        [rings.ring[c] for c in (below - above).elements()], [rings.ring[c] for c in (above - below).elements()]
    )


def _ending(z_mm: float, slabs: Sequence[Slab]) -> Counter[Contour]:
    return Counter(w.upper for s in slabs if s.z_to_mm == z_mm for w in s.walls)


def _beginning(z_mm: float, slabs: Sequence[Slab]) -> Counter[Contour]:
    return Counter(w.lower for s in slabs if s.z_from_mm == z_mm for w in s.walls)


def _upright(slabs: Sequence[Slab]) -> Iterator[tuple[Contour, float, float]]:
    """Yield contour, lower and upper height of every upright wall, those that go straight on as one."""
    standing: dict[Contour, tuple[float, float]] = {}
    for slab in slabs:
        now = {w.lower for w in slab.walls if w.is_straight}
        for contour, (low, high) in list(standing.items()):
            if contour not in now or high != slab.z_from_mm:
                yield contour, low, high
                del standing[contour]
        for contour in now:
            low, _ = standing.get(contour, (slab.z_from_mm, 0.0))
            standing[contour] = (low, slab.z_to_mm)
    for contour, (low, high) in standing.items():
        yield contour, low, high


def _at_height(triangles: Ints, z: int) -> Ints:
    """Return triangles of the plane (m, 3, 2) at a height."""
    return np.concatenate([triangles, np.full((*triangles.shape[:2], 1), z, dtype=np.int64)], axis=2)
