"""How far a size may be off: from the recipe's tolerances, stated fits, and general tolerances where nothing else is.

Where the fit needs it the limit is tighter on the side that matters: a pocket never so small, an insert never so large
that they do not go together at worst.
"""

from __future__ import annotations

from math import floor as rounded_down
from math import inf, sqrt
from typing import Final

from generator.base import sheets
from generator.base.general_edges import EDGES_SOURCE, edge_tolerance
from generator.base.general_tolerances import SOURCE, linear_class, linear_tolerance
from generator.base.limits_and_fits import hole_limits
from generator.base.standards import UnknownStandardError
from generator.estimate.characteristic import Allowed
from generator.estimate.stock import thickness_of
from generator.part.inlays import gap_of
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels

__all__ = [
    "above_original",
    "broken_edge",
    "cone",
    "depth",
    "dowel_hole",
    "faces",
    "floor",
    "general",
    "insert_size",
    "insert_thickness",
    "mating_corner",
    "plate",
    "pocket_size",
    "position",
    "room_of",
    "size",
    "top_depth",
    "wall",
]

USUAL: Final = "m"
"""Class of ISO 2768-1 where the recipe names none (our own choice)."""
UM: Final = 1e-3
HUNDREDTHS: Final = 100.0
_SIZE, _DEPTH, _POSITION = "tolerances.size", "tolerances.depth", "tolerances.position"


def _even(half: float, source: str) -> Allowed:
    return Allowed(-half, half, source)


def size(recipe: Recipe) -> Allowed:
    """Return the limits of a width or diameter that the machine cuts."""
    return _even(recipe.tolerances.size, _SIZE)


def position(recipe: Recipe) -> Allowed:
    """Return the limits of a place against the datum."""
    return _even(recipe.tolerances.position, _POSITION)


def faces(recipe: Recipe, *, turned: bool) -> Allowed:
    """Return the limits of the bottom pocket's place from the bolt holes; ``turned`` where they are cut from the top.

    Never farther than the clearance: with its bolts in the middle of their holes the cover still goes over the
    original.
    """
    t, around = recipe.tolerances, recipe.clearance.around
    off = t.position + (t.flip if turned else 0.0)
    source = "tolerances.flip and tolerances.position" if turned else _POSITION
    if 0.0 < around < off:
        return _even(around, f"{source}; no farther than the original has room: clearance.around")
    return _even(off, source)


def depth(recipe: Recipe) -> Allowed:
    """Return the limits of a depth below its own face."""
    return _even(recipe.tolerances.depth, _DEPTH)


def top_depth(recipe: Recipe) -> Allowed:
    """Return the limits of a depth below the top face; heights held from the bottom face let the plate's error in."""
    off = thickness_of(recipe).top_mm
    source = _DEPTH if off <= recipe.tolerances.depth else f"{_DEPTH} and cover.stock.tolerance: held from the bottom"
    return _even(off, source)


def above_original(recipe: Recipe) -> Allowed:
    """Return the limits of the bottom pocket's depth: never so shallow that the cover lies on the original."""
    off, above = recipe.tolerances.depth, recipe.clearance.above
    if above < off:
        return Allowed(-above, off, f"{_DEPTH}; not shallower than the original is high: clearance.above")
    return _even(off, _DEPTH)


def cone(recipe: Recipe) -> Allowed:
    """Return the limits of a 90° countersink's diameter: it grows by twice what it is too deep."""
    off = thickness_of(recipe).top_mm
    return _even(2.0 * off, "twice the tolerance of its depth: 90° cone")


def general(recipe: Recipe, nominal_mm: float) -> Allowed:
    """Return the limits of a size for which nothing else is stated: ISO 2768-1 table 1 by the recipe's class."""
    letter = linear_class(recipe.tolerances.general)
    off = linear_tolerance(letter or USUAL, nominal_mm)
    if off is None:
        return _even(recipe.tolerances.size, f"{_SIZE}: {SOURCE} has no figure")
    return _even(off, f"ISO 2768-{letter or USUAL}" + ("" if letter else ", as no class is named"))


def broken_edge(recipe: Recipe, nominal_mm: float) -> Allowed:
    """Return the limits of a chamfer or corner radius: ISO 2768-1 table 2 by the recipe's class, not below 0."""
    letter = linear_class(recipe.tolerances.general) or USUAL
    off = edge_tolerance(letter, nominal_mm)
    half = nominal_mm / 2.0 if off is None else off
    source = f"half of it: {EDGES_SOURCE} has no figure" if off is None else f"ISO 2768-{letter}, table 2"
    return Allowed(-min(half, nominal_mm), half, source)


def mating_corner(recipe: Recipe, nominal_mm: float, room_mm: float) -> Allowed:
    """Return the limits of the inside corners of a pocket that something goes into with so much room all round.

    A square corner whose radius is larger by d comes nearer by ``(root 2 - 1) d``: that must not be more than the room.
    """
    usual = broken_edge(recipe, nominal_mm)
    if room_mm == inf:
        return usual
    most = rounded_down(room_mm / (sqrt(2.0) - 1.0) * HUNDREDTHS) / HUNDREDTHS
    if most < usual.upper_mm:
        return Allowed(usual.lower_mm, most, f"{usual.source}; above by no more than the gap lets a corner come nearer")
    return usual


def plate(recipe: Recipe) -> Allowed:
    """Return the limits of the cover's thickness: the plate's own, or general ones for a piece that was measured."""
    stock = recipe.cover.stock
    if stock.measured is None:
        return _even(stock.tolerance, "cover.stock.tolerance")
    return general(recipe, stock.measured)


def insert_thickness(recipe: Recipe, name: str) -> Allowed:
    """Return the limits of an insert's thickness: the sheet's own where stated, else as sheet is rolled."""
    stock = recipe.inlays[name].stock
    if stock.tolerance is not None:
        return _even(stock.tolerance, f"inlays.{name}.stock.tolerance")
    return _even(sheets.sheet_tolerance(stock.thickness), sheets.SOURCE)


def floor(recipe: Recipe, nominal_mm: float) -> Allowed:
    """Return the limits of a floor between the faces; never thinner than sound where it is planned thicker."""
    off, least = thickness_of(recipe).floors_mm, recipe.limits.walls.sound.value
    source = "depths of both faces" + (" and the plate" if off > 2.0 * recipe.tolerances.depth else "")
    if nominal_mm - off < least < nominal_mm:
        return Allowed(least - nominal_mm, off, f"{source}; not below limits.walls.sound")
    return _even(min(off, nominal_mm), source)


def pocket_size(recipe: Recipe, name: str) -> Allowed:
    """Return the limits of an inlay pocket's width: never so small that the largest insert does not go in."""
    off, room = recipe.tolerances.size, room_of(recipe, name)
    if room < off:
        return Allowed(-room, off, f"{_SIZE}; below by no more than the gap: the insert goes in")
    return _even(off, _SIZE)


def insert_size(recipe: Recipe, name: str) -> Allowed:
    """Return the limits of an insert's width: never so large that it does not go into the smallest pocket."""
    off, room = recipe.tolerances.size, room_of(recipe, name)
    if room < off:
        return Allowed(-off, room, f"{_SIZE}; above by no more than the gap: it goes in")
    return _even(off, _SIZE)


def room_of(recipe: Recipe, name: str) -> float:
    """Return what pocket and insert may each be off by towards the other, mm; endless for one that is pressed in.

    Widths differ by two gaps, so each may take one.
    """
    inlay = recipe.inlays[name]
    return inf if inlay.fit == "press" else gap_of(inlay).value


def dowel_hole(recipe: Recipe, dowels: Dowels) -> Allowed:
    """Return the limits of a dowel hole: its class of ISO 286 where the tables hold it."""
    try:
        low, high = hole_limits(dowels.fit, dowels.diameter)
    except UnknownStandardError:
        return size(recipe)
    return Allowed(low * UM, high * UM, f"{dowels.fit}, ISO 286-2")


def wall(recipe: Recipe, across_mm: float) -> Allowed:
    """Return the limits of the wall beside the bottom pocket: flip, both places and half of both sizes, added up."""
    t = recipe.tolerances
    outer = general(recipe, across_mm).upper_mm
    off = t.flip + 2.0 * t.position + (t.size + outer) / 2.0
    return _even(
        rounded_down(off * HUNDREDTHS) / HUNDREDTHS,
        "tolerances.flip, twice tolerances.position, half of the tolerances of both widths",
    )
