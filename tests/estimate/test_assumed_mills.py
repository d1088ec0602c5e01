"""Where no end mill is named, those are assumed that a shop would take: no small one goes where a large one does."""

from __future__ import annotations

from dataclasses import replace

import pytest
from part_samples import RECIPE, box, cover, crest, disc, plan_of

from generator.estimate.assumed_mills import MILLS, corner_mill
from generator.estimate.making import estimate
from generator.estimate.operations import CLEARED, ROUND, operations
from generator.recipe.model import Recipe
from generator.recipe.model_inlay import Artwork
from generator.recipe.model_tools import Tool

NAMED = {"rougher": Tool(kind="end mill", diameter=8.0), "finisher": Tool(kind="end mill", diameter=4.0)}
NAMED |= {f"drill-{d}": Tool(kind="drill", diameter=d) for d in (5.8, 6.6, 7.0)}


def minutes(recipe: Recipe) -> float:
    return sum(s.minutes.most for s in estimate(recipe, plan_of(recipe)).steps if s.operation.kind == "end mill")


def mills(recipe: Recipe, what: str) -> list[tuple[str, float, float]]:
    found = operations(recipe, plan_of(recipe))
    return [(o.done, o.diameter_mm, o.travel_mm) for o in found if o.what == what]


@pytest.mark.parametrize("corner", [0.0, 2.0, 8.0])
def test_as_long_as_with_mills_that_a_shop_has(corner):
    without = cover(outer=box(80.0, 50.0, round_mm=corner))
    bare = replace(without, tools={})
    assert minutes(bare) == pytest.approx(minutes(replace(without, tools=NAMED)), rel=0.2)


def test_an_outside_is_cut_by_the_largest():
    assert mills(replace(RECIPE, tools={}), "outer-profile")[0][:2] == (ROUND, 8.0)


def test_corners_of_a_pocket_are_left_to_a_small_one():
    # an inlay pocket of 16 x 8 mm with corners of 2 mm: cleared and finished by 4 mm, which makes them
    found = mills(replace(RECIPE, tools={}), "inlay-pocket-crest")
    assert {d for _, d, _ in found} <= {4.0}
    sharp = mills(replace(crest(outline=box(30.0, 20.0)), tools={}), "inlay-pocket-crest")
    assert sharp[0][:2] == (CLEARED, 8.0)
    small = [travel for _, d, travel in sharp if d < 8.0]
    # four corners, each left by 4 mm: two edges of 4 mm and an arc of 2 pi mm
    assert small == [pytest.approx(4.0 * (8.0 + 6.283), rel=0.02)]


def test_fine_artwork_still_has_its_fine_mill():
    art = crest(artwork={"dot": Artwork(outline=box(1.2, 5.0, round_mm=0.55), done="engraved")})
    found = mills(replace(art, tools={}), "engraving-dot")
    assert {d for _, d, _ in found} == {1.0}


MILL_OF = [(6.2, 4.0, 6.0), (0.0, 4.0, 1.0), (0.0, 1.5, 0.5), (0.0, 90.0, 8.0), (1e9, 4.0, 8.0), (0.6, 10.0, 0.5)]


@pytest.mark.parametrize(("largest", "depth", "mill"), MILL_OF)
def test_the_mill_of_the_corners(largest, depth, mill):
    assert corner_mill(largest, depth, 4.0) == mill
    assert mill in MILLS


def test_round_pockets_and_discs_need_no_corner_mill():
    recipe = replace(RECIPE, original=replace(RECIPE.original, footprint=disc(20.0)), tools={})
    assert len(mills(recipe, "bottom-pocket")) == 1
