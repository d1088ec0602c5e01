"""Where an opening notches the edge, it is named: a larger outer shape would not move it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from harness import found
from part_samples import COVER, ORIGINAL, RECIPE, box

from generator.recipe.model import Opening, Recipe
from generator.recipe.model_bolts import Bolts


def notched(top: float, seats: object = COVER.seats) -> Recipe:
    """An opening from below the cover up to a height, under a bolt at (-20, 0)."""
    slot = {"slot": Opening(outline=box(10.0, 40.0, (-20.0, top - 20.0)))}
    bolts = (Bolts(thread="M6", at=((-20.0, 0.0),)),)
    return replace(
        RECIPE,
        original=replace(ORIGINAL, openings=slot, bolts=bolts),
        inlays={},
        cover=replace(COVER, seats=seats),  # type: ignore[arg-type]
    )


@pytest.mark.parametrize(
    ("check", "code", "recipe"),
    [
        ("seat-wall", "breaks-out", notched(-4.0)),
        ("seat-wall", "thin-wall", notched(-5.9)),
        ("bolt-in-cover", "outside", notched(-2.0, "none")),
        ("bolt-in-cover", "near-edge", notched(-5.0, "none")),
        ("head-on-cover", "over-edge", notched(-4.0, "none")),
    ],
)
def test_the_opening_is_named_and_no_growth_offered(check, code, recipe):
    told = [f for f in found(recipe, check) if f.code == code]
    assert told
    for finding in told:
        assert "original.openings.slot" in finding.remedy
        assert "cover.outer.grow" not in finding.remedy
        grown = replace(recipe, cover=replace(recipe.cover, outer=replace(recipe.cover.outer, grow_mm=9.0)))
        left = [f.figure for f in found(grown, check) if f.code == code]
        if finding.figure is None:
            assert left == [None]
        else:
            assert left == pytest.approx([finding.figure], abs=0.01)  # growth is found by halving


def test_without_a_notch_the_outer_shape_is_what_grows():
    bare = replace(notched(-4.0), original=replace(ORIGINAL, openings={}, bolts=(Bolts(thread="M6", at=((36, 0),)),)))
    assert "set cover.outer.grow" in found(bare, "seat-wall")[0].remedy
