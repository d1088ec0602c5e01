"""Walls beside the bottom pocket: figures, what runs into it on purpose, remedies followed to the end."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cases_pocket import BARE, CUTS, TOP, WIDE, inlay_beside, notch_beside, screw
from harness import found
from part_samples import ORIGINAL, box

from generator.recipe.model import Clearance, Opening
from generator.recipe.model_bolts import Bolts, Seat


@pytest.mark.parametrize("wall", [0.01, 0.1, 0.3, 0.75])
@pytest.mark.parametrize("cut", CUTS)
def test_the_figure_is_the_wall_as_drawn(cut, wall):
    told = found(CUTS[cut](wall), "pocket-wall")
    assert [f.figure for f in told] == pytest.approx([wall], abs=1e-6)
    assert told[0].point_mm is not None
    x, y = told[0].point_mm
    assert max(abs(x), abs(y)) == pytest.approx(TOP + wall / 2.0, abs=1e-6) or abs(y) == pytest.approx(
        TOP + wall / 2.0, abs=1e-6
    )


@pytest.mark.parametrize("cut", CUTS)
def test_a_sound_wall_is_passed_over(cut):
    assert not found(CUTS[cut](0.81), "pocket-wall")


def test_an_inlay_that_is_deeper_than_the_pockets_edge_is_high():
    (told,) = found(inlay_beside(0.3), "pocket-wall")
    assert (told.code, told.feature) == ("wall-too-thin", "inlay-pocket-crest")


def test_what_runs_into_the_pocket_on_purpose_has_no_wall():
    through = replace(BARE, cover=replace(WIDE, seats=Seat(screw="ISO 4762", depth=12.0)))
    assert not found(through, "pocket-wall")
    over = {"cable": Opening(outline=box(6.0, 8.0, (0.0, TOP)))}
    assert not found(replace(BARE, original=replace(BARE.original, openings=over)), "pocket-wall")
    within = Bolts(thread="M4", at=((0.0, 11.0),), holds="cover only", seat="none")
    assert not found(replace(BARE, original=replace(BARE.original, bolts=(*ORIGINAL.bolts, within))), "pocket-wall")
    out = {"slot": Opening(outline=box(10.0, 40.0, (0.0, TOP + 15.0)))}
    assert not found(replace(BARE, original=replace(BARE.original, openings=out)), "pocket-wall")


def test_a_notch_over_the_pocket_hides_no_other_wall():
    """The wall at the pocket's right side is told, though an opening runs out over the edge elsewhere."""
    out = {"slot": Opening(outline=box(10.0, 40.0, (0.0, TOP + 15.0)))}
    near = replace(BARE, cover=replace(WIDE, outer=box(61.8, 70.0)))
    both = replace(near, original=replace(near.original, openings=out))
    assert {f.code for f in found(both, "pocket-in-outer")} == {"thin-wall"}
    assert [f.figure for f in found(both, "pocket-in-outer")] == pytest.approx([0.6], abs=1e-6)


def test_a_smaller_clearance_is_offered_where_the_cover_still_goes_on():
    roomy = replace(screw(0.0), clearance=Clearance(around=1.0))
    moved = replace(roomy.original.bolts[1], at=((0.0, 15.0 + 1.0 + 0.5 + 2.25),))
    recipe = replace(roomy, original=replace(roomy.original, bolts=(ORIGINAL.bolts[0], moved)))
    (told,) = found(recipe, "pocket-wall")
    assert "set clearance.around to at most 0.7 mm" in told.remedy
    assert not found(replace(recipe, clearance=Clearance(around=0.7)), "pocket-wall")
    close = replace(recipe, clearance=Clearance(around=0.3), original=replace(recipe.original, bolts=(
        ORIGINAL.bolts[0], replace(moved, at=((0.0, 15.3 + 0.1 + 2.25),)))))  # fmt: skip
    assert "clearance" not in found(close, "pocket-wall")[0].remedy


@pytest.mark.parametrize(
    ("recipe", "remedy"),
    [
        (screw(0.1), "set original.bolts[1].at to `[[0 mm, 18.35 mm]]`"),
        (notch_beside(0.1), "set original.openings.slot.outline.at to [0 mm, 31.1 mm]"),
        (CUTS["deep engraving"](0.1), "set cover.engravings.line.outline.at to [0 mm, 18.1 mm], "
         "or set cover.engravings.line.depth to at most 7.8 mm"),
    ],
    ids=["screw", "notch", "engraving"],
)  # fmt: skip
def test_the_remedy_is_the_smallest_that_was_tried(recipe, remedy):
    (told,) = found(recipe, "pocket-wall")
    assert told.remedy == remedy
