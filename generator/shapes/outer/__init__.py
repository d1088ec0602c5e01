"""Outer shapes: outlines that go round an original's pocket. A new one is one file and one line here."""

from __future__ import annotations

from generator.shapes.outer import (
    arched,
    drop,
    even_margin,
    hollow_hull,
    notched,
    pointed,
    rosette,
    rounded_polygon,
    rounded_star,
    scalloped,
    shield,
    stadium,
    superellipse,
)
from generator.shapes.shape import Shape

OUTER_SHAPES: tuple[Shape, ...] = tuple(
    module.SHAPE
    for module in (
        superellipse,
        even_margin,
        hollow_hull,
        rounded_polygon,
        stadium,
        notched,
        arched,
        shield,
        pointed,
        drop,
        rosette,
        scalloped,
        rounded_star,
    )
)
"""In the order of the reference page."""
