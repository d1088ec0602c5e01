"""The end mills that a shop would take where a recipe names none: large ones, and a small one in corners alone."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from generator.base.practice import STANDARD_END_MILLS_MM
from generator.estimate.clears import largest_that_clears
from generator.outline.measure import bounds, length
from generator.part.part import Plan
from generator.part.reach import Cut, cuts

__all__ = ["LARGEST_ASSUMED_MM", "ROUGH_SHARE", "assumed_cuts", "corner_mill", "corners_mm", "rough_mill"]

LARGEST_ASSUMED_MM: Final = 8.0
"""The largest end mill that is assumed where none is at hand (chosen)."""
ROUGH_SHARE: Final = 0.6
"""A pocket is roughed by a cutter of at most this share of its narrower side (chosen)."""
MILLS: Final = tuple(d for d in STANDARD_END_MILLS_MM if d <= LARGEST_ASSUMED_MM)
"""Diameters, mm, the largest first."""


def assumed_cuts(plan: Plan) -> tuple[Cut, ...]:
    """Return what end mills cut, whether the recipe names any or not."""
    return tuple(cuts(plan if plan.tool_diameters else replace(plan, tool_diameters=(("", LARGEST_ASSUMED_MM),))))


def corner_mill(largest_mm: float, depth_mm: float, good: float) -> float:
    """Return the stocked end mill that makes corners as they are drawn, mm: the largest that loses nothing.

    Where the corners are too sharp for any, the smallest that cuts so deep without more ado (``good`` diameters).
    """
    does = [d for d in MILLS if d <= largest_mm + 1e-9]
    reaches = [d for d in MILLS if good * d >= depth_mm]
    return does[0] if does else reaches[-1] if reaches else MILLS[0]


def rough_mill(cut: Cut, corner_mm: float) -> float:
    """Return the end mill for all but the corners, mm: the largest that has room, no smaller than that of the corners.

    Round the cover there is room for any; inserts are cut from thin sheet by one mill.
    """
    if cut.outline:
        return MILLS[0] if cut.part == "cover" else corner_mm
    box = bounds(cut.region)
    room = ROUGH_SHARE * min(box.width_mm, box.height_mm)
    return largest_that_clears(cut.region, (d for d in MILLS if corner_mm < d <= room)) or corner_mm


def corners_mm(cut: Cut, rough_mm: float) -> float:
    """Return how long the edges are of what a larger end mill leaves, mm: a smaller one goes along them."""
    return sum(length(x.region) for x in replace(cut, cutter_mm=rough_mm).lost)
