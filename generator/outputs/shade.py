"""Cast shadows: which part of a floor lies in the shadow of what stands above it. For pictures only: faceted."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import pyclipr

from generator.outline.contour import Contour
from generator.outputs.colour import LIGHT
from generator.outputs.projection import Floats, facets
from generator.part.part import Slab

__all__ = ["DIFFERENCE", "INTERSECTION", "clipped", "shadow_on"]

INTERSECTION = pyclipr.Intersection
DIFFERENCE = pyclipr.Difference
_GRID_PER_MM = 1000.0


def shadow_on(
    floor: Iterable[Contour], above: Sequence[Slab], z: float, *, reach: float, chord_mm: float
) -> list[Floats]:
    """Return the shadow that slabs cast on a floor, as polygons in the plane (mm), not counting what they stand on.

    Args:
        floor: contours of the floor.
        above: the slabs above it, the lowest first.
        z: height of the floor, mm.
        reach: length of a shadow for each millimetre of height, as a share of the light's slope.
        chord_mm: chord error of the facets.
    """
    cast: list[Floats] = []
    for slab in above:
        shift = -np.array(LIGHT[:2]) * reach * (slab.z_to_mm - z)
        cast += [facets(w.upper, chord_mm) + shift for w in slab.walls]
    lit = clipped([facets(c, chord_mm) for c in floor], cast, INTERSECTION)
    standing = [facets(w.lower, chord_mm) for w in above[0].walls]
    return clipped(lit, standing, DIFFERENCE)


def clipped(subject: list[Floats], clip: list[Floats], operation: object) -> list[Floats]:
    """Return the polygons (mm) of a boolean operation; outer contours run counter-clockwise, holes clockwise."""
    if not subject or not clip:
        return []
    engine = pyclipr.Clipper()
    engine.scaleFactor = _GRID_PER_MM
    engine.addPaths(subject, pyclipr.Subject)
    engine.addPaths(clip, pyclipr.Clip)
    answer = engine.execute(operation, pyclipr.FillRule.Positive)
    return [np.asarray(p, dtype=np.float64) for p in answer if len(p) > 2]
