"""Checks of cutters: what is left where the original is, and remedies that keep the original as it was measured."""

from __future__ import annotations

import re
from dataclasses import replace
from math import sqrt

import pytest
from cases_cutting import BARE, sharp, with_mill
from harness import FORBIDS, NOTES, found
from part_samples import box

from generator.recipe.model import Recipe
from generator.recipe.model_bolts import Bolts


def far_out(mill: float) -> Recipe:
    return with_mill(sharp(0.3), mill)


@pytest.mark.parametrize("mill", [2.0, 3.0, 6.0])
def test_a_cover_that_metal_in_corners_keeps_off_is_forbidden_and_its_clearance_is_the_smallest(mill):
    (blocks,) = [f for f in found(far_out(mill), "cutter-reach") if f.code == "blocks-original"] or [None]
    least = mill / 2.0 * (1.0 - 1.0 / sqrt(2.0))
    if least < 0.3:
        assert blocks is None
        return
    assert blocks.severity is FORBIDS
    assert len(found(far_out(mill), "cutter-reach")) == 1  # what is left there is not told twice
    said = float(re.match(r"set clearance.around to at least ([\d.]+) mm", blocks.remedy)[1])
    assert least <= said <= least + 0.012
    mended = found(with_mill(sharp(said), mill), "cutter-reach")
    assert [f.code for f in mended] == ["uncut"]
    assert mended[0].severity is NOTES


def test_no_remedy_rounds_the_measured_original():
    deep = replace(BARE, original=replace(BARE.original, footprint=box(60.0, 30.0), height=9.0))
    for recipe in (far_out(6.0), far_out(3.0), with_mill(deep, 1.0)):
        for check in ("cutter-reach", "corner-to-depth", "depth-to-diameter"):
            for finding in found(recipe, check):
                assert "footprint" not in finding.remedy, finding.remedy


def drilled_through(metal: float, thread: str = "M1.6") -> Recipe:
    """Holes through so much metal above the bottom pocket."""
    made = replace(BARE, original=replace(BARE.original, bolts=(Bolts(thread=thread, at=((0.0, 0.0),)),)))
    plate = replace(BARE.cover.stock, thickness=metal + 3.4)
    return replace(made, cover=replace(BARE.cover, seats="none", stock=plate))


def test_what_the_pocket_has_taken_away_is_not_drilled_and_no_hole_grows_beyond_medium():
    assert not found(drilled_through(17.9), "hole-size")
    (deep,) = found(drilled_through(19.0), "hole-size")
    assert deep.figure == pytest.approx(19.0 / 1.8)
    assert ".hole to" not in deep.remedy
    thickness = float(re.match(r"set cover.stock.thickness to at most ([\d.]+) mm", deep.remedy)[1])
    assert thickness == pytest.approx(18.0 + 3.4)
    fine = drilled_through(17.5)
    narrow = replace(fine.original.bolts[0], hole=1.7)
    fine = replace(fine, original=replace(fine.original, bolts=(narrow,)))
    (told,) = found(fine, "hole-size")
    assert "hole to at least 1.75 mm" in told.remedy
