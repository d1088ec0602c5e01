"""A blank that goes back turned: what two pins allow, what a third keeps off; tabs all round the part."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import pytest
from cases_flip import square
from harness import found
from part_samples import RECIPE, box, original, plan_of

from generator.outline.measure import bounds
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels
from generator.recipe.model_holding import Holding

ASIDE = original(footprint=box(56.0, 30.0, (2.0, 0.0), 5.0))


def pinned(*at: float, recipe: Recipe = ASIDE, diameter: float = 6.0) -> Recipe:
    return replace(recipe, dowels=Dowels(diameter=diameter, at=at))


def turnable(recipe: Recipe) -> list[str]:
    return [f.code for f in found(recipe, "dowels") if f.code == "turnable"]


def test_two_pins_let_a_turned_blank_on_and_are_judged_by_how_far_off_it_lies():
    (finding,) = found(pinned(-40.0, 42.0), "dowels")
    assert finding.figure == pytest.approx(2.0)
    assert "goes onto the pins as well" in finding.message
    assert not turnable(pinned(-40.0, 43.5))


def test_a_third_pin_off_the_middle_keeps_it_off_and_one_in_the_middle_does_not():
    assert not turnable(pinned(-42.0, 32.0 + 2.0, 42.0, recipe=ASIDE))
    inside = replace(ASIDE, dowels=Dowels(diameter=6.0, place="inside", at=(-19.5, 0.0, 19.5)))
    assert turnable(inside)


def test_a_bottom_face_that_is_the_same_after_half_a_turn_does_not_care():
    assert not turnable(pinned(-40.0, 40.0, recipe=RECIPE))


@pytest.mark.parametrize("diameter", [2.0, 3.0, 6.0, 10.0])
def test_dowels_without_positions_lie_clearly_uneven(diameter):
    recipe = pinned(diameter=diameter)
    assert not turnable(recipe)
    ys = [bounds(c).centre.y for c in plan_of(recipe).blank.dowel_holes]
    off = abs(sum(ys)) - 2.0 * bounds(plan_of(recipe).blank.region).centre.y
    assert off >= 1.4 * recipe.limits.flip.dowel_asymmetry.value


def test_a_quarter_turn_of_a_square_blank_is_told_until_its_sides_differ():
    assert len(found(square(0.0), "wrong-flip")) == 1
    assert len(found(square(2.9), "wrong-flip")) == 1
    assert not found(square(3.1), "wrong-flip")


def test_two_tabs_in_one_place_are_not_one_sided_if_others_lie_opposite():
    def told(*degrees: float) -> list[str]:
        held = Holding(by="tabs", at=tuple(radians(d) for d in degrees))
        return [f.code for f in found(replace(RECIPE, holding=held), "holding") if f.code == "one-sided"]

    assert not told(0.0, 0.0, 120.0, 240.0)
    assert not told(-90.0, 90.0, 180.0)
    assert told(0.0, 0.0, 120.0)
    assert told(350.0, 10.0, 30.0)
