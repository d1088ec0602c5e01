"""The registry of shapes. A new shape is one file and one line, here or in ``outer``, ``drawn`` or ``emblems``."""

from __future__ import annotations

from generator.base.fields import Kinds, OutlineKind
from generator.shapes import (
    band,
    curved_slot,
    difference,
    disc,
    ellipse,
    hull,
    intersection,
    joined,
    keyhole,
    path,
    polygon,
    rectangle,
    regular_polygon,
    repeated,
    ring,
    rounded,
    sector,
    slot,
    union,
)
from generator.shapes.drawn import DRAWN_SHAPES
from generator.shapes.emblems import EMBLEM_SHAPES
from generator.shapes.outer import OUTER_SHAPES
from generator.shapes.shape import OUTER, OUTLINE, Shape

SHAPES: tuple[Shape, ...] = tuple(
    module.SHAPE
    for module in (
        disc, rectangle, polygon, regular_polygon, ellipse, ring,
        slot, curved_slot, sector, keyhole, band, joined, path,
        hull, union, difference, intersection, repeated, rounded,
    )
) + DRAWN_SHAPES + EMBLEM_SHAPES + OUTER_SHAPES  # fmt: skip
"""Every registered shape, in the order of the reference page."""

KINDS: Kinds = {
    OUTLINE: tuple(OutlineKind(s.name, s.params, s.help) for s in SHAPES if s.family == OUTLINE),
    OUTER: tuple(OutlineKind(s.name, s.params, s.help) for s in SHAPES),
}
"""What the reader must know of them: anywhere, and as a cover's outer shape."""
