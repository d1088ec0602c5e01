"""Cases of the checks of work on two faces and of holding the work."""

from __future__ import annotations

from dataclasses import replace
from math import pi

from harness import FORBIDS, NOTES, WARNS, Case
from part_samples import COVER, CREST, RECIPE, box, cover, crest, original, stock

from generator.recipe.model import Recipe
from generator.recipe.model_bolts import Bolts
from generator.recipe.model_dowels import Dowels
from generator.recipe.model_holding import Holding
from generator.recipe.model_inlay import Engraving
from generator.recipe.model_tools import Tool

PLAIN = replace(original(bolts=(), openings={}), inlays={})
"""A bottom pocket and an outline, dowels and tools."""


def flip_tolerance(mm: float, recipe: Recipe = RECIPE) -> Recipe:
    return replace(recipe, tolerances=replace(recipe.tolerances, flip=mm))


def wide(width: float) -> Recipe:
    """A cover so wide and 40 mm high, with its dowels above and below."""
    flat = replace(PLAIN, original=replace(PLAIN.original, footprint=box(30.0, 20.0, round_mm=4.0)))
    return replace(flat, cover=replace(COVER, outer=box(width, 40.0, round_mm=5.0), seats="none"))


def rim(wall: float) -> Recipe:
    """A wall of this width left and right of the bottom pocket."""
    outer = box(60.6 + 2.0 * wall, 50.0, round_mm=5.0)
    return replace(PLAIN, cover=replace(COVER, outer=outer, edge_break=0.1, seats="none"))


def dowels(**changes: object) -> Recipe:
    return replace(RECIPE, dowels=Dowels(**{"diameter": 6.0, **changes}))  # type: ignore[arg-type]


def inside_at(diameter: float) -> Recipe:
    """Two dowels over the bottom pocket, 3.4 mm deep in a plate of 12 mm."""
    bare = replace(PLAIN, dowels=Dowels(diameter=diameter, place="inside", at=(-9.0, 9.0)))
    return replace(bare, cover=replace(COVER, seats="none"))


def held(**changes: object) -> Recipe:
    return replace(RECIPE, holding=Holding(**{"by": "tabs", **changes}))  # type: ignore[arg-type]


def floor_of(mm: float, tolerance: float = 0.4) -> Recipe:
    """An inlay pocket with so much floor under it, in a plate of this tolerance."""
    made = crest(stock=replace(CREST.stock, thickness=12.0 - 3.4 - mm))
    return replace(made, cover=replace(COVER, stock=replace(COVER.stock, tolerance=tolerance)))


def rough(recipe: Recipe, **plate: object) -> Recipe:
    """Depths that may be off by 0.21 mm, and another plate."""
    made = replace(recipe.cover, stock=replace(recipe.cover.stock, **plate))  # type: ignore[arg-type]
    return replace(recipe, cover=made, tolerances=replace(recipe.tolerances, depth=0.21))


def shallow(depth: float) -> Recipe:
    """An engraving so deep, heights held from the bottom face."""
    plate = replace(COVER.stock, depths_from="bottom face")
    return cover(stock=plate, engravings={"mark": Engraving(outline=box(6.0, 5.0, (0.0, 18.0), 2.0), depth=depth)})


def margin(mm: float) -> Recipe:
    return stock(margin=mm)


def lop_sided() -> Recipe:
    """Without dowels, and with a bottom pocket that is not in the middle."""
    return replace(original(footprint=box(56.0, 30.0, (2.0, 0.0), 5.0)), dowels="none")


def square(longer: float) -> Recipe:
    """Without dowels, a blank that is nearly square, and a bottom pocket that is not."""
    outer = box(60.0 + longer, 60.0, round_mm=5.0)
    flat = replace(PLAIN, original=replace(PLAIN.original, footprint=box(40.0, 20.0, round_mm=5.0)))
    return replace(flat, cover=replace(COVER, outer=outer, seats="none"), dowels="none")


def off_centre() -> Recipe:
    return replace(RECIPE, dowels="none")


def beside(x: float) -> Recipe:
    """A bolt hole beside the bottom pocket, whose wall is at 30.3 mm."""
    made = replace(original(bolts=(Bolts(thread="M6", at=((x, 0.0),)),), openings={}), inlays={})
    return flip_tolerance(0.08, replace(made, cover=replace(COVER, seats="none")))


ONE_BOLT = original(bolts=(Bolts(thread="M6", at=((20.0, 0.0),)),))
SOFT = replace(RECIPE, tools={**RECIPE.tools, "rougher": Tool(kind="end mill", diameter=8.0)})

CASES: tuple[Case, ...] = (
    ("flip-error", "crooked", WARNS, wide(200.0)),
    ("flip-error", "crooked", WARNS, flip_tolerance(0.1)),
    ("flip-error", "eats-wall", WARNS, flip_tolerance(0.07, rim(0.55))),
    ("flip-error", "eats-wall", WARNS, beside(34.15)),
    ("dowel-pins", "odd-size", NOTES, dowels(diameter=6.2)),
    ("dowel-pins", "short-hold", WARNS, dowels(diameter=16.0)),
    ("dowel-pins", "short-hold", WARNS, inside_at(9.0)),
    ("dowel-pins", "loose", WARNS, flip_tolerance(0.002)),
    ("dowel-pins", "unknown-fit", NOTES, dowels(fit="snug")),
    ("dowel-pins", "loose", WARNS, flip_tolerance(0.02, dowels(fit="H11", pins="h8"))),
    ("dowel-seen", "seen", NOTES, dowels(place="inside", at=(-18.0, 20.0))),
    ("wrong-flip", "unnoticed", NOTES, lop_sided()),
    ("wrong-flip", "unnoticed", NOTES, square(1.0)),
    ("stock-thickness", "thin-floor", WARNS, floor_of(0.9)),
    ("stock-thickness", "thin-floor", WARNS, floor_of(1.5, 3.0)),
    ("stock-thickness", "thin-floor", WARNS, rough(floor_of(0.9))),
    ("stock-thickness", "thin-floor", WARNS, rough(floor_of(0.9, 0.0))),
    ("stock-thickness", "thin-floor", WARNS, rough(floor_of(0.8), measured=12.0)),
    ("stock-thickness", "thin-floor", WARNS, rough(floor_of(0.85), depths_from="bottom face")),
    ("stock-thickness", "may-vanish", WARNS, shallow(0.2)),
    ("stock-thickness", "not-the-plate", WARNS, stock(measured=4.0)),
    ("stock-thickness", "not-the-plate", WARNS, stock(measured=12.5, tolerance=0.3)),
    ("stock-thickness", "may-vanish", WARNS, rough(shallow(0.2), depths_from="bottom face", measured=12.0)),
    ("blank-frame", "thin-frame", WARNS, margin(5.0)),
    ("blank-frame", "no-frame", WARNS, margin(2.0)),
    ("holding", "not-said", NOTES, replace(RECIPE, holding=None)),
    ("holding", "comes-loose", WARNS, held(by="clamps")),
    ("holding", "too-few", WARNS, held(count=2)),
    ("holding", "too-few", WARNS, held(at=(0.3, 0.3 + pi))),
    ("holding", "too-few", WARNS, replace(ONE_BOLT, holding=Holding(by="bolt holes"))),
    ("holding", "not-cut", FORBIDS, held(thickness=12.0)),
    ("holding", "not-cut", FORBIDS, held(by="onion skin", thickness=13.0)),
    ("holding", "tabs-meet", FORBIDS, held(count=50, width=10.0)),
    ("holding", "one-sided", WARNS, held(at=(0.0, 0.1, 0.2))),
    ("holding", "one-sided", WARNS, held(at=(1.5, 1.5, 1.5))),
    ("holding", "thin-skin", WARNS, held(by="onion skin", thickness=0.12)),
    ("holding", "leaks", WARNS, held(by="vacuum")),
    ("holding", "weak", WARNS, held(width=1.0, thickness=0.5)),
    ("holding", "weak", WARNS, replace(SOFT, holding=Holding(by="vacuum"))),
    ("clamps", "in-the-way", FORBIDS, held(clamps=((52.0, 0.0),))),
    ("clamps", "on-dowel", WARNS, held(clamps=((0.0, 42.0),))),
    ("clamps", "off-blank", WARNS, held(clamps=((90.0, 0.0),))),
    ("clamps", "tab-at-dowel", WARNS, held(at=(0.0, 2.0, 1.5 * pi))),
)
