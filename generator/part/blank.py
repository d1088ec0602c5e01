"""The blank, its flip axis and the dowel holes on it."""

from __future__ import annotations

from generator.base.errors import Mistake
from generator.base.practice import CUTTER_WITHOUT_TOOLS, DOWEL_OFFSET, DOWEL_TO_BLANK_EDGE, DOWEL_TO_CUT
from generator.outline.contour import Point
from generator.outline.create import circle, rectangle
from generator.outline.measure import Bounds, bounds
from generator.outline.region import Region
from generator.part.bolts import mistake
from generator.part.part import Blank, FlipAxis
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels

__all__ = ["blank_of", "dowel_points", "flip_axis", "largest_end_mill_mm"]

CLEARLY = 1.5
"""So many times what is just seen is seen without fail (our own choice)."""


def flip_axis(recipe: Recipe, outer: Region) -> FlipAxis:
    """Return the line about which the blank is turned over; without dowels, upright through the middle of the part."""
    middle = bounds(outer).centre
    if not isinstance(recipe.dowels, Dowels):
        return FlipAxis("y", middle.x)
    x, y = recipe.dowels.through or middle
    return FlipAxis(recipe.dowels.axis, x if recipe.dowels.axis == "y" else y)


def largest_end_mill_mm(recipe: Recipe) -> float:
    """Return the diameter of the largest end mill at hand, mm, or a customary one where none is named."""
    mills = [t.diameter for t in recipe.tools.values() if t.kind == "end mill"]
    return max(mills, default=CUTTER_WITHOUT_TOOLS.value)


def dowel_points(recipe: Recipe, outer: Region, flip: FlipAxis, mistakes: list[Mistake]) -> tuple[Point, ...]:
    """Return the centres of the dowel holes, all on the flip axis.

    Without positions one lies beyond each end of the part, clear of the cutter that goes round it, the second further
    from the middle than the first so that a blank laid in turned end for end is seen to lie off.
    """
    dowels = recipe.dowels
    if not isinstance(dowels, Dowels):
        return ()
    if dowels.place == "inside" and not dowels.at:
        mistakes.append(
            mistake("dowels.at", "no positions for dowels inside the part", "positions", "add `dowels.at: [-20, 24]`")
        )
        return ()
    least = recipe.limits.flip.dowel_asymmetry.value
    along = dowels.at or _beyond_the_ends(dowels, bounds(outer), flip, largest_end_mill_mm(recipe), least)
    return tuple(Point(flip.at_mm, s) if flip.direction == "y" else Point(s, flip.at_mm) for s in along)


def _beyond_the_ends(
    dowels: Dowels, box: Bounds, flip: FlipAxis, cutter_mm: float, least_mm: float
) -> tuple[float, float]:
    """Return a position beyond each end of the box along the flip axis, at unequal distances from its middle.

    A blank laid in turned is then off by half as much again as ``least_mm``, at which it is just seen.
    """
    low, high = (box.ymin, box.ymax) if flip.direction == "y" else (box.xmin, box.xmax)
    clear = dowels.diameter / 2.0 + cutter_mm + DOWEL_TO_CUT.value
    uneven = max(DOWEL_OFFSET.value * dowels.diameter, CLEARLY * least_mm)
    return round(low - clear, 3), round(high + clear + uneven, 3)


def blank_of(recipe: Recipe, outer: Region, thickness_mm: float, dowels: tuple[Point, ...]) -> Blank:
    """Return the smallest upright rectangle centred on the part that holds outer shape and dowels with their margins.

    It is centred so that dowels at unequal distances from its middle show a blank laid in the wrong way.
    """
    box = bounds(outer)
    margin = recipe.cover.stock.margin
    diameter = recipe.dowels.diameter if isinstance(recipe.dowels, Dowels) else 0.0
    reach = DOWEL_TO_BLANK_EDGE.value * diameter
    x, y = box.centre
    half_x = max(box.width_mm / 2.0 + margin, *(abs(p.x - x) + reach for p in dowels), 0.0)
    half_y = max(box.height_mm / 2.0 + margin, *(abs(p.y - y) + reach for p in dowels), 0.0)
    plate = rectangle(x - half_x, y - half_y, x + half_x, y + half_y)
    holes = Region.of(circle(p, diameter / 2.0) for p in dowels)
    return Blank(Region((plate,)), thickness_mm, holes, diameter)
