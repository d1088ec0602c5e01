"""Emblems: figures drawn by rule from a few numbers. A new one is one file and one line here."""

from __future__ import annotations

from generator.shapes.shape import Shape

EMBLEM_SHAPES: tuple[Shape, ...] = ()
"""In the order of the reference page."""
