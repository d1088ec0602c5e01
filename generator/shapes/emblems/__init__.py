"""Emblems: figures drawn by rule from a few numbers. A new one is one file and one line here."""

from __future__ import annotations

from generator.shapes.emblems import (
    compass_rose,
    gear,
    interlaced_rings,
    laurel,
    leaf,
    monogram_ring,
    peaks,
    snowflake,
    star,
    sun,
    wave_band,
)
from generator.shapes.shape import Shape

EMBLEM_SHAPES: tuple[Shape, ...] = tuple(
    module.SHAPE
    for module in (
        compass_rose, star, sun, snowflake, gear, leaf, laurel,
        monogram_ring, interlaced_rings, wave_band, peaks,
    )
)  # fmt: skip
"""In the order of the reference page."""
