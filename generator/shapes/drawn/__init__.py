"""Outlines that somebody else drew: files, letters, pictures. A new one is one file and one line here."""

from __future__ import annotations

from generator.shapes.drawn import outline_file, text
from generator.shapes.shape import Shape

DRAWN_SHAPES: tuple[Shape, ...] = tuple(
    module.SHAPE
    for module in (
        outline_file,
        text,
    )
)  # fmt: skip
"""In the order of the reference page."""
