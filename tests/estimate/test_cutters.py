"""What is cut how deep by which end mill, against depths and radii worked by hand."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import hypot, inf
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[1] / "part"))

from part_samples import COVER, RECIPE, box, disc, original, plan_of

from generator.checks import cutting, flip
from generator.checks.run import judge
from generator.estimate.cutters import deep_cuts
from generator.estimate.flip import flip_of, play_mm
from generator.estimate.holding import bears_n, pull_of
from generator.outline.distance import boundary_points
from generator.part.layers import layers
from generator.recipe.model import Opening
from generator.recipe.model_dowels import Dowels
from generator.recipe.model_holding import HOLDING_WORDS, Holding
from generator.recipe.model_tools import Tool


def mills(*tools: tuple[float, float | None]):
    return {f"m{i}": Tool(kind="end mill", diameter=d, flute_length=f) for i, (d, f) in enumerate(tools)}


def cuts_of(recipe):
    return {d.feature: d for d in deep_cuts(recipe, plan_of(recipe))}


def test_depths_are_what_is_left_to_cut():
    """Plate 12 mm, pocket 3.4 mm, seats of ISO 4762 M6 6.4 mm deep: the bolt hole is what is between them."""
    found = cuts_of(RECIPE)
    assert found["outer-profile"].depth_mm == 12.0
    assert found["bottom-pocket"].depth_mm == pytest.approx(3.4)
    seat = found["seat-bolt-1"].depth_mm
    assert found["hole-bolt-1"].depth_mm == pytest.approx(12.0 - 3.4 - seat)
    assert found["opening-cable"].depth_mm == pytest.approx(12.0 - 3.4)
    assert found["inlay-pocket-crest"].depth_mm == 1.5
    assert "hole-bolt-2" not in found  # equal to the first


def test_an_opening_that_reaches_over_the_pocket_is_cut_through_the_whole_plate():
    opening = original(openings={"cable": Opening(outline=disc(4.0, (0.0, -15.0)))})
    assert cuts_of(opening)["opening-cable"].depth_mm == 12.0


def test_the_stiffest_that_gets_in_and_reaches_the_floor_is_used():
    recipe = replace(RECIPE, tools=mills((20.0, 4.0), (10.0, 4.0), (6.0, 20.0), (2.0, 20.0)))
    found = cuts_of(recipe)
    assert found["bottom-pocket"].used[1].diameter == 10.0  # corners of 5.3 mm
    assert found["outer-profile"].used[1].diameter == 6.0  # 20 mm would get round, but not down
    assert found["opening-cable"].used[1].diameter == 6.0  # of 7 mm: at most 6.3
    assert [t.diameter for _, t in found["seat-bolt-1"].mills] == [6.0, 2.0]  # 11 mm: at most 9.9


def test_a_drill_of_its_size_takes_a_hole_away_from_the_end_mills():
    drilled = replace(RECIPE, tools={**RECIPE.tools, "drill": Tool(kind="drill", diameter=6.6)})
    assert "hole-bolt-1" in cuts_of(RECIPE)
    assert "hole-bolt-1" not in cuts_of(drilled)


def test_corners_are_told_as_drawn_and_as_the_cutter_leaves_them():
    sharp = original(footprint=box(60.0, 30.0), height=5.0)
    found = cuts_of(replace(sharp, clearance=replace(sharp.clearance, around=0.5)))["bottom-pocket"]
    assert (found.drawn_mm, found.radius_mm) == (pytest.approx(0.5), 1.5)
    assert cuts_of(RECIPE)["outer-profile"].radius_mm == inf


# ------------------------------------------------------------------ flip
def test_the_worst_place_is_no_better_than_any_point_of_a_fine_walk():
    flip_at = flip_of(RECIPE, plan := plan_of(RECIPE))
    worst, at = flip_at.worst(plan.cover.profile)
    every = max(flip_at.offset_at((float(x), float(y))) for x, y in boundary_points(plan.cover.profile, 0.05))
    assert every <= worst * 1.002
    assert flip_at.offset_at(at) == worst


def test_what_is_stated_holds_the_play_unless_the_play_is_more():
    fine = replace(RECIPE, tolerances=replace(RECIPE.tolerances, flip=0.001))
    assert flip_of(fine, plan_of(fine)).each_mm == pytest.approx(0.004)  # H7/m6 of 6 mm: 8 µm
    assert flip_of(RECIPE, plan_of(RECIPE)).each_mm == RECIPE.tolerances.flip
    assert play_mm(Dowels(diameter=60.0)) is None


def test_the_other_axis_has_the_dowels_as_far_beyond_the_ends():
    plan = plan_of(RECIPE)
    now = flip_of(RECIPE, plan)
    assert now.turned_axis(plan.cover.profile).span_mm == pytest.approx(now.span_mm + 80.0 - 50.0)


# ------------------------------------------------------------------ holding
def test_what_lies_on_a_vacuum_table_is_the_rim():
    recipe = replace(original(bolts=(), openings={}), inlays={}, holding=Holding(by="vacuum"))
    plan = plan_of(recipe)
    pull = pull_of(recipe, plan)
    cover = 80.0 * 50.0 - (4.0 - 3.14159265) * 8.0**2
    pocket = 60.6 * 30.6 - (4.0 - 3.14159265) * 5.3**2
    assert bears_n(recipe, plan, recipe.holding, pull) == pytest.approx(0.015 * (cover - pocket), rel=1e-6)


def test_tabs_share_the_pull():
    plan = plan_of(RECIPE)
    pull = pull_of(RECIPE, plan)
    four, eight = (bears_n(RECIPE, plan, Holding(by="tabs", count=n), pull) for n in (4, 8))
    assert eight == pytest.approx(2.0 * four)


TOOLS = st.dictionaries(
    st.sampled_from(["a", "b", "c"]),
    st.builds(
        Tool,
        kind=st.sampled_from(["end mill", "end mill", "drill", "chamfer cutter", "reamer"]),
        diameter=st.sampled_from([0.5, 2.0, 3.0, 6.0, 20.0]),
        flute_length=st.sampled_from([None, 1.0, 8.0, 30.0]),
        stick_out=st.sampled_from([None, 5.0, 40.0]),
    ),
)
POINTS = st.tuples(st.floats(-90.0, 90.0), st.floats(-90.0, 90.0))
HELD = st.none() | st.builds(
    Holding,
    by=st.sampled_from(HOLDING_WORDS),
    count=st.integers(1, 9),
    width=st.floats(0.1, 20.0),
    thickness=st.floats(0.05, 5.0),
    at=st.lists(st.floats(-7.0, 7.0), max_size=4).map(tuple),
    clamps=st.lists(POINTS, max_size=3).map(tuple),
)
DOWELS = st.just("none") | st.builds(
    Dowels,
    diameter=st.sampled_from([3.0, 6.0, 6.1, 12.0]),
    fit=st.sampled_from(["H7", "H11", "loose"]),
    pins=st.sampled_from(["m6", "h8"]),
    axis=st.sampled_from(["x", "y"]),
)


@settings(max_examples=60, deadline=None)
@given(TOOLS, HELD, DOWELS, st.sampled_from([3.8, 6.0, 12.0, 30.0]), st.sampled_from(["own face", "bottom face"]))
def test_no_tools_dowels_or_holding_crash_a_check(tools, held, dowels, thickness, depths_from):
    stock = replace(COVER.stock, thickness=thickness, depths_from=depths_from)
    recipe = replace(
        original(openings={"cable": Opening(outline=box(9.0, 4.0, (0.0, -9.0)))}),
        cover=replace(COVER, stock=stock, seats="none"),
        inlays={}, tools=tools, holding=held, dowels=dowels,
    )  # fmt: skip
    outcomes = judge((*cutting.CHECKS, *flip.CHECKS), recipe, plan_of(recipe))
    assert not [(o.check, o.crash) for o in outcomes if o.crash]
    for outcome in outcomes:
        for f in outcome.findings:
            assert f.remedy
            assert f.point_mm is None or hypot(*f.point_mm) < 1e4


@pytest.mark.parametrize(
    ("held", "said"),
    [
        (Holding(by="tabs", count=5, width=6.0), "Leave 5 tabs, 6 mm wide and 1 mm thick."),
        (Holding(by="tabs", at=(0.5,)), "Leave 1 tab, 4 mm wide and 1 mm thick."),
        (Holding(by="onion skin", thickness=0.3), "Leave a skin of 0.3 mm."),
        (Holding(by="bolt holes"), "Screw it down through its own bolt holes before."),
        (Holding(by="clamps"), "on the outside."),
        (None, "on the outside."),
    ],
)
def test_the_outline_says_what_holds_the_part(held, said):
    notes = {la.name: la.note for la in layers(plan_of(replace(RECIPE, holding=held)))}
    assert notes["outer-profile"].endswith(said)
    assert "tab" not in notes["insert-profile-crest"]


def test_a_hole_as_wide_as_an_end_mill_is_plunged():
    dots = original(openings={"cable": Opening(outline=disc(1.5, (0.0, -9.0)))})
    assert [t.diameter for _, t in cuts_of(dots)["opening-cable"].mills] == [3.0]
    (outcome,) = judge((cutting.tools_at_hand.CHECK,), dots, plan_of(dots))
    assert not outcome.findings
