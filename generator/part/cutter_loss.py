"""What corners for a cutter made of a drawing: how much of it was lost, and whether it is still the same pieces."""

from __future__ import annotations

from generator.base.frozen_record import frozen_record
from generator.outline.chords import inner_point
from generator.outline.combine import difference
from generator.outline.measure import area, signed_area
from generator.outline.predicates import Side, contains_points
from generator.outline.region import Region
from generator.outline.separate import separated

__all__ = ["CutterLoss", "cutter_loss", "is_torn"]


@frozen_record
class CutterLoss:
    """What corners for the cutter made of a drawn region.

    Attributes:
        share, filled: shares of its area that were lost, and that were filled.
        torn: whether pieces or holes vanished, split or ran together.
        changed: the area that was lost, or what was filled where nothing was.
    """

    share: float
    filled: float
    torn: bool
    changed: Region


def cutter_loss(asked: Region, made: Region) -> CutterLoss:
    """Return what was lost of the region that was asked for; it must not be empty."""
    whole = area(asked)
    lost, filled = difference(asked, made), difference(made, asked)
    share, more = area(lost) / whole, area(filled) / whole
    return CutterLoss(share, more, is_torn(asked, made), lost if lost and share >= more else filled or lost)


def is_torn(asked: Region, made: Region) -> bool:
    """Return True if pieces or holes went, fell apart or ran together.

    Numbers alone do not tell: a letter may fall in two where a dot goes. So no two pieces may have been one.
    """
    outers = sorted((c for c in asked if signed_area(c) > 0.0), key=signed_area)
    pieces = separated(made)
    if len(asked) != len(made) or len(outers) != len(pieces):
        return True
    points = [p for piece in pieces if (p := inner_point(piece)) is not None] if len(outers) > 1 else []
    sides = [contains_points(c, points) for c in outers] if points else []
    homes = [next((k for k, at in enumerate(sides) if at[i] is Side.INSIDE), None) for i in range(len(points))]
    return None not in homes and len(set(homes)) < len(homes)
