"""Does an end mill get about in a pocket? A large one gets nowhere in narrow letters, however large their box is."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from itertools import takewhile
from typing import Final

from generator.base.errors import GeometryError
from generator.outline.measure import area
from generator.outline.offset import offset_region
from generator.outline.region import Region
from generator.outline.remembered import remembered

__all__ = ["CLEARED_SHARE", "clears", "largest_that_clears"]

CLEARED_SHARE: Final = 0.5
"""A pocket is roughed only by a cutter that clears this share of it at least (chosen)."""


def largest_that_clears(region: Region, mills_mm: Iterable[float]) -> float | None:
    """Return the diameter of the largest end mill that clears a pocket, mm; None where none does.

    Where one does not, no larger one does.
    """
    cleared = list(takewhile(partial(clears, region), sorted(mills_mm)))
    return cleared[-1] if cleared else None


@remembered
def clears(region: Region, mill_mm: float) -> bool:
    """Return True if an end mill (diameter, mm), kept inside a pocket, sweeps at least ``CLEARED_SHARE`` of it."""
    try:
        middles = offset_region(region, -mill_mm / 2.0)
        return area(offset_region(middles, mill_mm / 2.0)) >= CLEARED_SHARE * area(region)
    except GeometryError:
        return False
