"""Outer shapes: outlines that go round an original's pocket. A new one is one file and one line here."""

from __future__ import annotations

from generator.shapes.outer import even_margin, pointed, superellipse
from generator.shapes.shape import Shape

OUTER_SHAPES: tuple[Shape, ...] = tuple(
    module.SHAPE
    for module in (
        superellipse,
        even_margin,
        pointed,
    )
)
"""In the order of the reference page."""
