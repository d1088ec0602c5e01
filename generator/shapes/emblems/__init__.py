"""Emblems: figures drawn by rule from a few numbers. A new one is one file and one word here."""

from __future__ import annotations

from generator.shapes.registry import registered

EMBLEM_SHAPES = registered(
    "shapes.emblems",
    "compass_rose star sun snowflake gear leaf laurel monogram_ring interlaced_rings wave_band peaks",
)
"""In the order of the reference page."""
