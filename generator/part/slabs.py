"""A part as slabs: between two neighbouring heights nothing changes level."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from generator.base.units import MODEL, Tolerance
from generator.outline.remembered import remembered
from generator.part.part import Feature, Part, Slab
from generator.part.section import Taken, feature_at, profile_at, section_walls

__all__ = ["levels", "slabs"]


def slabs(part: Part, *, tol: Tolerance = MODEL, also: Iterable[float] = ()) -> tuple[Slab, ...]:
    """Return the material of a part from the bottom to the top.

    Contours that nothing changes are equal from slab to slab. A slab that is cut away altogether has no walls and is
    left out.

    Args:
        part: cover or insert.
        tol: heights nearer than ``tol.same_mm`` are one height.
        also: further heights at which slabs end, mm, though nothing changes level there.

    Raises: GeometryError: the edge break or a countersink runs into something else.
    """
    return _slabs(part, tol, tuple(also))


@remembered
def _slabs(part: Part, tol: Tolerance, also: tuple[float, ...]) -> tuple[Slab, ...]:
    out = []
    for low, high in pairwise(levels(part, tol=tol, also=also)):
        walls = section_walls(
            profile_at(part, low),
            profile_at(part, high),
            [
                Taken(feature_at(f, max(low, f.z_from_mm)), feature_at(f, min(high, f.z_to_mm)), f.name)
                for f in part.features
                if _reaches(f, low, high)
            ],
        )
        if walls:
            out.append(Slab(low, high, walls))
    return tuple(out)


def levels(part: Part, *, tol: Tolerance = MODEL, also: Iterable[float] = ()) -> tuple[float, ...]:
    """Return the heights at which something begins or ends, from 0 to the part's thickness, mm."""
    top = part.thickness_mm
    wanted = {z for z in also if 0.0 < z < top}
    wanted |= {z for f in part.features for z in (f.z_from_mm, f.z_to_mm) if 0.0 < z < top}
    if part.rim_break_mm > 0.0:
        wanted.add(max(0.0, top - part.rim_break_mm))
    out = [0.0]
    for z in sorted(wanted):
        if z - out[-1] > tol.same_mm and top - z > tol.same_mm:
            out.append(z)
    return (*out, top)


def _reaches(feature: Feature, low: float, high: float) -> bool:
    """Return True if the feature takes material away between the two heights."""
    middle = (low + high) / 2.0
    return feature.z_from_mm < middle < feature.z_to_mm
