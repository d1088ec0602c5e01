"""The registry of shapes. A new shape is one file and one line here."""

from __future__ import annotations

from generator.base.fields import Kinds, OutlineKind
from generator.shapes import (
    band,
    curved_slot,
    difference,
    disc,
    ellipse,
    even_margin,
    hull,
    intersection,
    joined,
    keyhole,
    outline_file,
    path,
    pointed,
    polygon,
    rectangle,
    regular_polygon,
    repeated,
    ring,
    rounded,
    sector,
    slot,
    superellipse,
    union,
)
from generator.shapes.shape import OUTER, OUTLINE, Shape

SHAPES: tuple[Shape, ...] = tuple(
    module.SHAPE
    for module in (
        disc, rectangle, polygon, regular_polygon, ellipse, superellipse, ring,
        slot, curved_slot, sector, keyhole, band, joined, path, outline_file,
        hull, union, difference, intersection, repeated, rounded,
        even_margin, pointed,
    )
)  # fmt: skip
"""Every registered shape, in the order of the reference page."""

KINDS: Kinds = {
    OUTLINE: tuple(OutlineKind(s.name, s.params, s.help) for s in SHAPES if s.family == OUTLINE),
    OUTER: tuple(OutlineKind(s.name, s.params, s.help) for s in SHAPES),
}
"""What the reader must know of them: anywhere, and as a cover's outer shape."""
