"""What corners for a cutter made of a drawing: how much of it was lost, and whether it is still the same pieces."""

from __future__ import annotations

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.chords import inner_point
from generator.outline.clusters import clustered
from generator.outline.combine import difference
from generator.outline.measure import area, signed_area
from generator.outline.region import Region
from generator.outline.separate import separated
from generator.outline.winding import INSIDE, sides_of_each
from generator.part.corners import cut_by

__all__ = ["CutterLoss", "cutter_loss", "is_torn", "share_cut"]

PLAINLY_LESS = 0.5
"""What was filled needs no drawing where it is less than this share of what was lost."""


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
    whole, torn = area(asked), is_torn(asked, made)
    lost = difference(asked, made)
    share = area(lost) / whole
    more = share - (whole - area(made)) / whole  # what was filled is what the sizes leave to it
    if lost and more < PLAINLY_LESS * share:
        return CutterLoss(share, max(more, 0.0), torn, lost)
    filled = difference(made, asked)
    more = area(filled) / whole
    return CutterLoss(share, more, torn, lost if lost and share >= more else filled or lost)


def share_cut(asked: Region, radius_mm: float) -> float | None:
    """Return the share of a region's area that a plain cut loses; None where it is torn. It must not be empty.

    A plain cut only takes away, so that sizes tell; and the first piece that is torn answers for all.

    Raises: OffsetError: no result passed its checks.
    """
    lost = 0.0
    for part in clustered(asked):
        made = cut_by(part, radius_mm)
        if made is not part:
            if not made or is_torn(part, made):
                return None
            lost += area(part) - area(made)
    return lost / area(asked)


def is_torn(asked: Region, made: Region) -> bool:
    """Return True if pieces or holes went, fell apart or ran together.

    Numbers alone do not tell: a letter may fall in two where a dot goes. So no two pieces may have been one.
    """
    outers = sorted((c for c in asked if signed_area(c) > 0.0), key=signed_area)
    pieces = separated(made)
    if len(asked) != len(made) or len(outers) != len(pieces):
        return True
    points = [p for piece in pieces if (p := inner_point(piece)) is not None] if len(outers) > 1 else []
    inside = sides_of_each(outers, points, MODEL.same_mm) == INSIDE
    homes = inside.argmax(axis=0) if points else np.zeros(0)  # the smallest outline round each
    return bool(inside.any(axis=0).all()) and len(np.unique(homes)) < len(homes)
