"""Opening and closing: what a round tool of a given radius can reach, and what it leaves."""

from __future__ import annotations

from generator.base.units import MODEL, Tolerance
from generator.outline.combine import difference
from generator.outline.offset import offset_region
from generator.outline.region import Region

__all__ = ["closing", "opening", "residue"]


def opening(region: Region, radius_mm: float, *, tol: Tolerance = MODEL) -> Region:
    """Return what a disc of ``radius_mm`` sweeps when it moves everywhere inside ``region``.

    Raises:
        OffsetError: no result passed its checks.
    """
    return offset_region(offset_region(region, -radius_mm, tol=tol), radius_mm, tol=tol)


def closing(region: Region, radius_mm: float, *, tol: Tolerance = MODEL) -> Region:
    """Return ``region`` with everything added that a disc of ``radius_mm`` outside it cannot reach.

    Raises:
        OffsetError: no result passed its checks.
    """
    return offset_region(offset_region(region, radius_mm, tol=tol), -radius_mm, tol=tol)


def residue(region: Region, radius_mm: float, *, tol: Tolerance = MODEL) -> Region:
    """Return what a disc of ``radius_mm`` inside ``region`` leaves: the region less its opening.

    Raises:
        OffsetError: no result passed its checks.
    """
    return difference(region, opening(region, radius_mm, tol=tol), tol=tol)
