"""Outer shapes: outlines that go round an original's pocket. A new one is one file and one word here."""

from __future__ import annotations

from generator.shapes.registry import registered
from generator.shapes.shape import OUTER

OUTER_SHAPES = registered("shapes.outer", "superellipse") + registered(
    "shapes.outer",
    "even_margin hollow_hull rounded_polygon stadium notched arched shield pointed drop rosette scalloped rounded_star",
    OUTER,
)
"""In the order of the reference page; the superellipse may stand anywhere."""
