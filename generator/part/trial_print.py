"""The plan's parts as a plastic printer is to be given them."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from generator.outline.offset import offset_region
from generator.part.part import Feature, Part

__all__ = ["is_widened", "with_wider_holes"]

_RECEIVING: Final = ("bottom-pocket", "bolt-holes", "seats", "openings", "inlay-pocket", "dowel-holes")
"""Beginnings of the layers in whose features something else sits."""


def is_widened(feature: Feature) -> bool:
    """Return True if something else sits in the feature, so that the print's allowance for holes widens it."""
    return feature.layer.startswith(_RECEIVING)


def with_wider_holes(part: Part, by_mm: float) -> Part:
    """Return a part whose holes are larger in diameter by ``by_mm``, and whose pockets are wider by it.

    Engravings, outlines and what is cut out of an insert stay as they are: nothing goes into them.

    Raises:
        OffsetError: an outline cannot be grown.
    """
    if by_mm == 0.0:
        return part
    features = (replace(f, region=offset_region(f.region, by_mm / 2.0)) if is_widened(f) else f for f in part.features)
    return replace(part, features=tuple(features))
