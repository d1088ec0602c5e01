"""What a gap leaves of the pieces of an insert, and the widest that leaves them all whole."""

from __future__ import annotations

from math import floor

from generator.base.errors import GeometryError
from generator.base.remedy import STEP
from generator.base.units import MODEL
from generator.outline.measure import signed_area
from generator.outline.offset import offset_region
from generator.outline.region import Region
from generator.outline.separate import separated
from generator.outline.winding import OUTSIDE, sides_of_each
from generator.part.clearing import halved
from generator.part.corners import mated
from generator.part.part import Feature

__all__ = ["is_whole", "pieces_left", "widest_gap"]

HALVINGS = 9
"""Right to a hundredth of a millimetre for gaps up to some millimetres."""
SHARES = (1.0, 0.9, 0.8)
"""What was found on the pocket as it is, and less, is tried on the pocket as it would be made."""


def pieces_left(pocket: Region, insert: Region) -> list[int]:
    """Return into how many pieces the insert of each piece of the pocket falls; 0 where the gap swallows it."""
    made = [c for c in insert if signed_area(c) > 0.0]
    starts = [next(c.segments()).start for c in made]
    codes = sides_of_each(separated(pocket), starts, MODEL.same_mm)
    return [int(n) for n in (codes != OUTSIDE).sum(axis=1)]


def is_whole(pocket: Region, insert: Region) -> bool:
    """Return True if every piece of a pocket has its insert in one piece."""
    return set(pieces_left(pocket, insert)) == {1}


def widest_gap(pocket: Feature, gap_mm: float) -> float:
    """Return the widest gap, in hundredths of a mm, that leaves every piece of the insert whole; 0 if none is found.

    Args:
        pocket: an inlay pocket.
        gap_mm: its gap, which does not.
    """

    def leaves(by: float, region: Region) -> bool:
        try:
            return is_whole(region, offset_region(region, -by))
        except GeometryError:
            return False

    drawn = pocket.asked or pocket.region
    reckoned = halved(0.0, gap_mm, lambda by: leaves(by, pocket.region), HALVINGS)
    for share in SHARES:
        gap = floor(reckoned * share * STEP) / STEP
        if gap > 0.0 and leaves(gap, mated(drawn, pocket.corners_mm, gap)):
            return gap
    return 0.0
