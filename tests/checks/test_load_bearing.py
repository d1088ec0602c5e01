"""A joint that bears load is left alone: openings that really clear heads, and screws of the cover's own, as edits."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from cases_bolts import m6
from harness import found
from part_samples import disc
from test_bolts_remedies import sets_of, told, written
from test_remedies_followed import warned

from generator.base.remedy import ways
from generator.base.standards import counterbore
from generator.recipe.model import Opening, Recipe

RECIPES = Path(__file__).parents[2] / "recipes"
IN_THE_JOINT = ("load-bearing", "in-the-joint")
WIDE = ["cover.outer={rectangle: {size: [100, 60], radius: 8}}"]


def with_opening(radius: float, at: tuple[float, float] = (0.0, 0.0)) -> Recipe:
    recipe = m6(load=True, holds="cover only")
    return replace(recipe, original=replace(recipe.original, openings={"head": Opening(outline=disc(radius, at))}))


@pytest.mark.parametrize("path", [RECIPES / "gate-latch.yaml", RECIPES / "telescope-pier.yaml"])
def test_both_other_ways_are_edits_that_can_be_followed(path):
    heads, own = ways(told(str(path))[IN_THE_JOINT].remedy)
    assert ("load-bearing", "on-original") in told(str(path), sets_of(heads))
    after = told(str(path), sets_of(own))
    assert ("load-bearing", "own-screws") in after
    assert warned(str(path), sets_of(own)) < warned(str(path))


@pytest.mark.parametrize("bolts", [{}, {"at": [[-25, 5], [0, -5], [25, 5]]}, {"thread": "M8"}])
def test_own_screws_where_the_rim_is_wide(tmp_path, bolts):
    path = written(tmp_path, bolts, True, seats="none")
    _, own = ways(told(path, WIDE)[IN_THE_JOINT].remedy)
    assert {e.key for e in own if e.key.startswith("original.openings.head-")}
    assert ("load-bearing", "own-screws") in told(path, [*WIDE, *sets_of(own)])
    assert warned(path, [*WIDE, *sets_of(own)]) <= warned(path, WIDE) - {"load-bearing"}


def test_where_the_rim_is_narrow_its_width_is_told(tmp_path):
    path = written(tmp_path, {}, True, seats="none", outer={"even_margin": {"margin": 3}})
    finding = told(path)[IN_THE_JOINT]
    assert len(ways(finding.remedy)) == 1
    # 1.2 holes of 4.5 mm to the edge; half a button head of 7.6 mm with 1 mm of play, and 0.8 mm of wall
    assert "where the rim is 10.5 mm wide" in finding.remedy
    width = ["cover.outer={even_margin: {margin: 12.5}}", "cover.edge_break=0"]
    assert len(ways(told(path, width)[IN_THE_JOINT].remedy)) == 2


def test_in_inches_the_edits_are_read_as_well():
    assert ways("set cover.seats.depth to 7.94 mm (0.3126 in) and set original.bolts[0].seat.screw to ISO 4762")


@pytest.mark.parametrize(
    ("opening", "code"),
    [
        (with_opening(1.25), "unheld"),
        (with_opening(counterbore("M6").diameter_mm / 2.0 - 0.05), "unheld"),
        (with_opening(counterbore("M6").diameter_mm / 2.0 + 0.05), "own-screws"),
        (with_opening(8.0, (38.0, 0.0)), "unheld"),  # most of it beside the original
    ],
)
def test_only_an_opening_that_clears_a_head_leaves_the_originals_bolts_their_place(opening, code):
    assert [f.code for f in found(opening, "load-bearing")] == [code]
