"""Heights at which countersinks that a plane cuts beside their axis are cut once more: there the cut is a hyperbola."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot, sqrt
from typing import Final

from generator.paper.drawing.section import Plane
from generator.part.part import Feature, Part
from generator.part.relation import disc_of

__all__ = ["cone_heights"]

PIECES: Final = 8
"""Straight pieces of each branch of the hyperbola (chosen)."""
SAME_MM: Final = 1e-6
UNDER_MM: Final = 1e-4
"""The first height lies so far under the tip of the hyperbola, where the plane only touches the cone."""


def cone_heights(part: Part, plane: Plane) -> tuple[float, ...]:
    """Return the heights, mm; none where every cone that the plane meets is cut through its axis."""
    return tuple(sorted({z for f in part.features if f.flare_mm for z in _of_cone(f, plane)}))


def _of_cone(f: Feature, plane: Plane) -> Iterator[float]:
    """Yield heights between which the half chord grows evenly: squared, the radius squared less ``off``²."""
    disc = disc_of(f.region)
    if disc is None:
        return
    s, level = plane.coordinates(disc.centre)
    wide = disc.radius_mm + f.flare_mm
    for run in plane.runs:
        off = abs(run.level - level)
        if SAME_MM < off < wide and run.start - wide < s < run.end + wide:
            least = sqrt(max(0.0, disc.radius_mm**2 - off**2))
            most = sqrt(wide**2 - off**2)
            for k in range(PIECES):
                radius = hypot(off, least + (most - least) * k / PIECES)
                under = 0.0 if k or least else UNDER_MM
                yield f.z_from_mm + f.depth_mm * (radius - disc.radius_mm) / f.flare_mm - under
