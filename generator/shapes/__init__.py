"""The registry of shapes. A new shape is one file and one word, here or in ``outer``, ``drawn`` or ``emblems``."""

from __future__ import annotations

from generator.base.fields import Kinds
from generator.shapes.drawn import DRAWN_SHAPES
from generator.shapes.emblems import EMBLEM_SHAPES
from generator.shapes.outer import OUTER_SHAPES
from generator.shapes.registry import Registered, registered
from generator.shapes.shape import OUTER, OUTLINE

PLAIN_SHAPES = registered(
    "shapes",
    "disc rectangle polygon regular_polygon ellipse ring slot curved_slot sector keyhole band joined path "
    "hull union difference intersection repeated rounded",
)

SHAPES: tuple[Registered, ...] = PLAIN_SHAPES + DRAWN_SHAPES + EMBLEM_SHAPES + OUTER_SHAPES
"""Every registered shape, in the order of the reference page."""

KINDS: Kinds = {OUTLINE: tuple(s for s in SHAPES if s.family == OUTLINE), OUTER: SHAPES}
"""What the reader must know of them: anywhere, and as a cover's outer shape."""
