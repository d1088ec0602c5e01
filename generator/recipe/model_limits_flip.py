"""Limits of work on two faces."""

from __future__ import annotations

from dataclasses import dataclass

from generator.base import fields as f
from generator.base.figures import Figure
from generator.base.practice import OWN


@dataclass(frozen=True, kw_only=True)
class FlipLimits:
    """What registers the blank when it is turned over."""

    dowel_span: Figure = f.limit(
        Figure(0.5, "x length", OWN, ""),
        "Least distance of the outermost dowels, as a share of the part's length along the flip axis.",
        at_most=10,
    )
    dowel_asymmetry: Figure = f.limit(
        Figure(1.0, "mm", OWN, ""),
        "Dowel patterns that fit this closely when turned end for end let the blank go in the wrong way round.",
        at_most=100,
    )
