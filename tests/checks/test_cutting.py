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
