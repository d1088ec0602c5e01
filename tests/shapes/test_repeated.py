"""Copies of an outline: how many a recipe may ask for, told before the work is done."""

from __future__ import annotations

from math import pi

import pytest

from generator.base.errors import GeometryError
from generator.outline.measure import area
from generator.shapes.budget import MOST_IN_ALL, MOST_SEGMENTS, copies_in
from generator.shapes.shape import Context
from tests.shapes.recipe_form import drawn, outline

DISC = {"disc": {"radius": 1}}


def row(count: int, of: dict, step: float = 3.0) -> dict:
    return {"repeated": {"outline": of, "count": count, "step": [step, 0.3]}}


def test_as_many_as_may_be_are_drawn():
    assert area(drawn(row(1000, DISC))) == pytest.approx(1000 * pi)


def test_copies_of_copies_are_counted_before_anything_is_drawn():
    endless = row(1000, row(1000, row(1000, DISC)))
    assert copies_in(outline(endless)) == 10**9
    context = Context()
    with pytest.raises(
        GeometryError, match="1000 copies of 1000000 copies are 1000000000, more than 2000: repeat less"
    ):
        drawn(endless, context)
    assert context.budget.used == 0


def test_copies_hidden_in_other_outlines_count():
    many = {"union": {"outlines": [row(40, DISC), {**DISC, "add": [row(30, DISC)], "cut": [row(20, DISC)]}]}}
    assert copies_in(outline(many)) == 40 + 50
    with pytest.raises(GeometryError, match=r"1000 copies of 90 copies are 90000, more than 2000: .* at most 22"):
        drawn(row(1000, many))


def test_what_is_refused_says_how_many_would_do():
    square = {"rectangle": {"size": [1, 1]}}
    with pytest.raises(GeometryError, match=r"501 copies have 2004 lines and arcs, more than 2000: .*at most 500"):
        drawn(row(501, square))
    assert area(drawn(row(500, square))) == pytest.approx(500)


def test_all_repetitions_of_a_recipe_count_together():
    context = Context()
    for _ in range(MOST_IN_ALL // MOST_SEGMENTS):
        drawn(row(1000, DISC), context)
    with pytest.raises(GeometryError, match="with the other repetitions of the recipe 4020, more than 4000"):
        drawn(row(10, DISC), context)
    assert drawn(DISC, context)
    assert drawn(row(10, DISC), Context())
