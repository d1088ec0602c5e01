"""Does an end mill get about in a pocket? A large one gets nowhere in narrow letters, however large their box is."""

from __future__ import annotations

from collections.abc import Iterable
from math import pi
from typing import Final

from generator.base.errors import GeometryError
from generator.outline.measure import area, length, signed_area
from generator.outline.offset import offset_region
from generator.outline.region import Region
from generator.outline.remembered import remembered

__all__ = ["CLEARED_SHARE", "clears", "largest_that_clears", "swept_at_most_mm2"]

CLEARED_SHARE: Final = 0.5
"""A pocket is roughed only by a cutter that clears this share of it at least (chosen)."""
_PLAINLY: Final = 1.001
"""So much less than is asked for needs no exact answer."""


def largest_that_clears(region: Region, mills_mm: Iterable[float]) -> float | None:
    """Return the diameter of the largest end mill that clears a pocket, mm; None where none does.

    Where one does not, no larger one does.
    """
    cleared: float | None = None
    for mill_mm in sorted(mills_mm):
        if (cleared is not None and not _may_enter(region, cleared, mill_mm)) or not clears(region, mill_mm):
            break
        cleared = mill_mm
    return cleared


@remembered
def clears(region: Region, mill_mm: float) -> bool:
    """Return True if an end mill (diameter, mm), kept inside a pocket, sweeps at least ``CLEARED_SHARE`` of it."""
    wanted = CLEARED_SHARE * area(region)
    try:
        middles = offset_region(region, -mill_mm / 2.0)
        if _PLAINLY * swept_at_most_mm2(middles, mill_mm / 2.0) < wanted:
            return False
        return area(offset_region(middles, mill_mm / 2.0)) >= wanted
    except GeometryError:
        return False


def _may_enter(region: Region, smaller_mm: float, larger_mm: float) -> bool:
    """Return False if a larger mill surely has no place in a pocket that a smaller one clears.

    Where its middle goes, a disc of half the difference would lie in what the smaller one's middle reaches.
    """
    disc_mm2 = pi * ((larger_mm - smaller_mm) / 2.0) ** 2
    return any(_PLAINLY * signed_area(c) >= disc_mm2 for c in offset_region(region, -smaller_mm / 2.0))


def swept_at_most_mm2(middles: Region, radius_mm: float) -> float:
    """Return what a disc sweeps at most whose middle goes everywhere in ``middles``, mm².

    Steiner's formula, exact for a convex piece: area + radius x length + pi radius². Notches and holes only take away
    from it (B. de Sz. Nagy, Über Parallelmengen nichtkonvexer ebener Bereiche, 1959; cited from memory).
    """
    pieces = sum(signed_area(c) > 0.0 for c in middles)
    return area(middles) + radius_mm * length(middles) + pieces * pi * radius_mm**2
