"""Limits of walls, floors, ribs and webs."""

from __future__ import annotations

from dataclasses import replace

from generator.base import fields as f
from generator.base.figures import Figure
from generator.base.frozen_record import frozen_record
from generator.base.practice import CUSTOM, OWN, PRINTED

_MILLED = f"{PRINTED} (thinnest milled metal wall 0.5 to 0.8 mm)"


@frozen_record(kw_only=True)
class WallLimits:
    """How much metal must be left."""

    thinnest: Figure = f.limit(
        Figure(0.5, "mm", _MILLED, "cross-checked"),
        "A wall or floor thinner than this cannot be relied on to survive milling.",
        at_most=20,
    )
    sound: Figure = f.limit(
        Figure(0.8, "mm", _MILLED, "cross-checked"),
        "Walls and floors below this are risky, and worth a warning.",
        at_most=20,
    )
    rib: Figure = f.limit(
        Figure(0.5, "x height", CUSTOM, "memory"),
        "A low rib, such as between engraved strokes, may be thinner than a wall; its thickness in heights.",
        at_most=10,
    )
    hole_to_edge: Figure = f.limit(
        Figure(1.2, "x d", "EN 1993-1-8:2005 table 3.3, smallest end distance", "memory"),
        "Centre of a hole to the edge, in hole diameters.",
        at_most=10,
    )
    rim_land: Figure = f.limit(
        Figure(0.2, "mm", OWN, ""),
        "Flat land left between the edge break and a feature of the top face.",
        at_most=20,
    )

    def standing(self, height_mm: float) -> Figure:
        """Return how thin what stands this high may be, mm: a low rib may be thinner than a wall."""
        rib = replace(self.rib, value=self.rib.value * height_mm, unit="mm")
        return min(self.thinnest, rib, key=lambda x: x.value)
