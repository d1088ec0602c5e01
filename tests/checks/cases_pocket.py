"""Cases of walls beside the bottom pocket, 60.6 mm wide and 3.4 mm deep: every kind of cut that can stand beside it."""

from __future__ import annotations

from dataclasses import replace

from harness import FORBIDS, WARNS, Case
from part_samples import COVER, CREST, ORIGINAL, RECIPE, box, disc

from generator.recipe.model import Opening, Recipe
from generator.recipe.model_bolts import Bolts, Seat
from generator.recipe.model_dowels import Dowels
from generator.recipe.model_inlay import Engraving

SIDE, TOP = 30.3, 15.3
"""The pocket's right and upper side, mm."""
HOLE, SEAT = 4.5, 8.0
"""Hole of M4 by ISO 273, medium; counterbore for its head of 7 mm, mm."""
WIDE = replace(COVER, outer=box(110.0, 70.0, round_mm=8.0), edge_break=0.1)
BARE = replace(RECIPE, original=replace(ORIGINAL, openings={}), inlays={}, cover=WIDE)


def screw(wall: float, seat: Seat | str = "none") -> Recipe:
    """A screw of the cover's own, whose hole leaves so much to the pocket's upper side."""
    own = Bolts(thread="M4", at=((0.0, TOP + wall + HOLE / 2.0),), holds="cover only", seat=seat)
    return replace(BARE, original=replace(BARE.original, bolts=(*ORIGINAL.bolts, own)))


def seat_beside(wall: float, depth: float = 10.0) -> Recipe:
    """The same with a seat of 8 mm that leaves so much."""
    return screw(wall + (SEAT - HOLE) / 2.0, Seat(screw="ISO 4762", depth=depth, diameter=SEAT))


def seat_above(over: float) -> Recipe:
    """A seat 0.4 mm beside the pocket, whose floor lies so far above the pocket's edge."""
    return seat_beside(0.4, 12.0 - 3.4 - over)


def cone_beside(wall: float) -> Recipe:
    """A countersink whose 90° side passes the pocket's upper edge at this distance, square to the side."""
    half, depth = 4.0, 10.0  # it begins 1.4 mm below the pocket's edge, and grows by 1 mm a mm
    low = 12.0 - depth
    beside = wall * 2.0**0.5 + (3.4 - low)
    own = Bolts(hole=HOLE, at=((0.0, TOP + beside + HOLE / 2.0),), holds="cover only",
                seat=Seat(screw="ISO 10642", depth=depth, diameter=HOLE + 2.0 * half))  # fmt: skip
    return replace(BARE, original=replace(BARE.original, bolts=(*ORIGINAL.bolts, own)))


def opening_beside(wall: float) -> Recipe:
    """An opening inside the cover, 3 mm in radius."""
    cable = {"cable": Opening(outline=disc(3.0, (0.0, TOP + wall + 3.0)))}
    return replace(BARE, original=replace(BARE.original, openings=cable))


def notch_beside(wall: float) -> Recipe:
    """An opening that runs out over the cover's edge."""
    slot = {"slot": Opening(outline=box(10.0, 30.0, (0.0, TOP + wall + 15.0)))}
    return replace(BARE, original=replace(BARE.original, openings=slot))


def inlay_beside(wall: float) -> Recipe:
    """An inlay in a pocket 9 mm deep, 0.4 mm deeper than to the bottom pocket's edge."""
    deep = replace(CREST, outline=box(16.0, 8.0, (0.0, TOP + wall + 4.0), 2.0), sits="recessed", by=7.5)
    return replace(BARE, inlays={"crest": deep})


def engraving_beside(wall: float) -> Recipe:
    """An engraving 9 mm deep."""
    line = Engraving(outline=box(12.0, 4.0, (0.0, TOP + wall + 2.0), 1.5), depth=9.0)
    return replace(BARE, cover=replace(WIDE, engravings={"line": line}))


def dowel_beside(wall: float) -> Recipe:
    """Dowels of 6 mm within the cover, one of them beside the pocket."""
    return replace(BARE, dowels=Dowels(diameter=6.0, place="inside", at=(-(TOP + wall + 3.0), 26.0)))


CUTS = {
    "own screw": screw,
    "deep seat": seat_beside,
    "opening": opening_beside,
    "notch": notch_beside,
    "deep engraving": engraving_beside,
    "dowel": dowel_beside,
}
"""Recipes by what stands beside the pocket, each of the wall that it leaves."""

CASES: tuple[Case, ...] = (
    ("pocket-wall", "breaks-in", FORBIDS, screw(-0.1)),
    *(("pocket-wall", "wall-too-thin", FORBIDS, make(0.1)) for make in CUTS.values()),
    *(("pocket-wall", "thin-wall", WARNS, make(0.6)) for make in CUTS.values()),
    ("pocket-wall", "thin-wall", WARNS, seat_above(0.4)),
)
