"""How dowel holes are made: bored, and reamed where their class asks for it."""

from __future__ import annotations

import re
from math import floor
from typing import Final

from generator.base.units import MODEL
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels

__all__ = ["REAMED", "is_reamed", "predrill_mm"]

REAMED: Final = re.compile(r"H[5-8]")
"""Classes of holes that neither drill nor end mill holds: reamed (common practice, no source)."""
LEFT_MM: Final = 0.2
"""A hole is drilled so much smaller than it is reamed (common practice for 5 to 20 mm, no source)."""
LEFT_MOST_MM: Final = 0.5
"""A drill at hand that leaves no more than this to the reamer does as well (common practice, no source)."""
TENTH_MM: Final = 0.1
"""Drills are stocked by tenths."""


def is_reamed(recipe: Recipe) -> bool:
    """Return whether the dowel holes of a recipe are reamed."""
    dowels = recipe.dowels
    return isinstance(dowels, Dowels) and REAMED.fullmatch(dowels.fit.strip()) is not None


def predrill_mm(recipe: Recipe, diameter_mm: float) -> float:
    """Return the diameter of the drill before the reamer, mm: the largest at hand that will do, else the usual one."""
    drills = [t.diameter for t in recipe.tools.values() if t.kind == "drill"]
    least, most = diameter_mm - LEFT_MOST_MM, diameter_mm - LEFT_MM / 2.0
    usable = [d for d in drills if least - MODEL.same_mm <= d <= most + MODEL.same_mm]
    return max(usable, default=max(floor((diameter_mm - LEFT_MM) / TENTH_MM + MODEL.model_mm) * TENTH_MM, TENTH_MM))
