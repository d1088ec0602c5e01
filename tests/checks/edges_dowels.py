"""Edges of the checks of the place and pattern of dowels: pins of 6 mm, a part of 80 x 50 mm, the flip axis upright."""

from __future__ import annotations

from dataclasses import replace

from harness import Edge
from part_samples import RECIPE

from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels

END, RADIUS = -25.0, 3.0
OPENING = -9.0 - 3.5
"""Lower end of the opening on the axis, mm."""


def dowels(**changes: object) -> Recipe:
    return replace(RECIPE, dowels=Dowels(diameter=6.0, **changes))  # type: ignore[arg-type]


def outside(y: float) -> Recipe:
    return dowels(at=(y, 40.0))


def inside(y: float) -> Recipe:
    return dowels(place="inside", at=(-18.0, y))


def below(y: float) -> Recipe:
    return dowels(place="inside", at=(y, 20.0))


def third(y: float) -> Recipe:
    return dowels(at=(-40.0, 34.0, y))


def apart(span: float) -> Recipe:
    """Dowels beside the part, along a flip axis that lies; half of its 80 mm are wanted."""
    return dowels(axis="x", through=(0.0, 40.0), at=(-15.0, span - 15.0))


def uneven(by: float) -> Recipe:
    return dowels(at=(-40.0, 40.0 + by))


EDGES = (
    Edge("dowels", "in-part", outside, END - RADIUS - 0.005, END - RADIUS + 0.005),
    Edge("dowels", "near-part", outside, END - RADIUS - 0.8 - 0.005, END - RADIUS - 0.8 + 0.005),
    Edge("dowels", "out-of-part", inside, -END - RADIUS - 0.005, -END - RADIUS + 0.005),
    Edge("dowels", "overlap", third, 40.005, 39.995),
    Edge("dowels", "meets-feature", below, OPENING - RADIUS - 0.005, OPENING - RADIUS + 0.005),
    Edge("dowels", "near-feature", below, OPENING - RADIUS - 0.8 - 0.005, OPENING - RADIUS - 0.8 + 0.005),
    Edge("dowels", "too-close", apart, 40.0, 39.9),
    Edge("dowels", "turnable", uneven, 1.005, 0.995),
)
