"""Outlines that somebody else drew: files, letters, pictures. A new one is one file and one word here."""

from __future__ import annotations

from generator.shapes.registry import registered

DRAWN_SHAPES = registered("shapes.drawn", "outline_file picture text")
"""In the order of the reference page."""
