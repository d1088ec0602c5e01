"""Edges of the checks of the place and pattern of dowels: pins of 6 mm, a part of 80 x 50 mm, the flip axis upright."""

from __future__ import annotations

from dataclasses import replace
from math import pi

from harness import Edge
from part_samples import RECIPE, box, original, plan_of

from generator.checks.flip import clamps
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels
from generator.recipe.model_holding import Holding
from generator.recipe.model_tools import Tool

END, RADIUS = -25.0, 3.0
OPENING = -9.0 - 3.5
"""Lower end of the opening on the axis, mm."""


def dowels(**changes: object) -> Recipe:
    return replace(RECIPE, dowels=Dowels(diameter=6.0, **changes))  # type: ignore[arg-type]


def outside(y: float) -> Recipe:
    return dowels(at=(y, 40.0))


def bare(y: float) -> Recipe:
    """Without tools nothing is known of the cutter that goes round."""
    return replace(outside(y), tools={})


def two_mills(y: float) -> Recipe:
    return replace(outside(y), tools={**RECIPE.tools, "rougher": Tool(kind="end mill", diameter=6.0)})


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
    """Dowels of a blank whose bottom pocket does not lie in the middle."""
    return replace(original(footprint=box(56.0, 30.0, (2.0, 0.0), 5.0)), dowels=dowels(at=(-40.0, 40.0 + by)).dowels)


def tab(angle: float) -> Recipe:
    """A tab beside the lower dowel, in this direction from the middle."""
    return replace(RECIPE, holding=Holding(by="tabs", at=(0.0, 2.0, angle)))


def clear() -> float:
    """Return the direction in which the root of a tab just clears the dowel by 0.8 mm, by bisection."""
    near, far = 1.5 * pi, 1.5 * pi + 0.5
    for _ in range(16):
        middle = (near + far) / 2.0
        recipe = tab(middle)
        told = any(f.code == "tab-at-dowel" for f in clamps.CHECK.run(recipe, plan_of(recipe)))
        near, far = (middle, far) if told else (near, middle)
    return far


CLEAR = clear()

EDGES = (
    Edge("dowel-pins", "odd-size", lambda d: replace(RECIPE, dowels=Dowels(diameter=d)), 6.0, 6.05),
    Edge("clamps", "tab-at-dowel", tab, CLEAR + 0.0002, CLEAR - 0.0002),
    Edge("dowels", "in-part", outside, END - RADIUS - 0.005, END - RADIUS + 0.005),
    Edge("dowels", "near-part", bare, END - RADIUS - 0.8 - 0.005, END - RADIUS - 0.8 + 0.005),
    Edge("dowels", "in-the-way", outside, END - RADIUS - 3.5 - 0.005, END - RADIUS - 3.5 + 0.005),
    Edge("dowels", "needs-smaller", two_mills, END - RADIUS - 6.5 - 0.005, END - RADIUS - 6.5 + 0.005),
    Edge("dowels", "out-of-part", inside, -END - RADIUS - 0.005, -END - RADIUS + 0.005),
    Edge("dowels", "overlap", third, 40.005, 39.995),
    Edge("dowels", "meets-feature", below, OPENING - RADIUS - 0.005, OPENING - RADIUS + 0.005),
    Edge("dowels", "near-feature", below, OPENING - RADIUS - 0.8 - 0.005, OPENING - RADIUS - 0.8 + 0.005),
    Edge("dowels", "too-close", apart, 40.0, 39.9),
    Edge("dowels", "turnable", uneven, 3.005, 2.995),
)
