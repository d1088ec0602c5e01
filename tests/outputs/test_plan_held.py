"""Tabs and clamps: where they lie, and that the plan shows them."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import cos, hypot, pi, sin
from pathlib import Path

import pytest
import sample_plans
from hypothesis import given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[1] / "part"))

from part_samples import COVER, RECIPE, disc, original, plan_of

from generator.outputs.plan_svg import OUTPUT
from generator.recipe.model_holding import Holding

ROUND = replace(
    original(bolts=(), openings={}), inlays={}, cover=replace(COVER, outer=disc(45.0, (3.0, -2.0)), seats="none")
)


@settings(max_examples=60, deadline=None)
@given(st.floats(-pi, pi))
def test_a_tab_stands_square_on_the_outline_where_it_is_said(angle):
    (tab,) = plan_of(replace(ROUND, holding=Holding(by="tabs", at=(angle,)))).tabs
    assert hypot(tab.foot.x - 3.0, tab.foot.y + 2.0) == pytest.approx(45.0, abs=1e-6)
    assert hypot(tab.root.x - 3.0, tab.root.y + 2.0) == pytest.approx(48.0, abs=1e-5)  # an end mill of 3 mm
    beside = (tab.foot.y + 2.0) * cos(angle) - (tab.foot.x - 3.0) * sin(angle)
    assert abs(beside) < 0.6


def test_a_tab_in_a_hollow_side_has_its_foot_on_the_outline():
    (tab,) = plan_of(replace(RECIPE, holding=Holding(by="tabs", at=(0.0,)))).tabs
    assert tab.foot == pytest.approx((40.0, 0.0), abs=1e-6)
    assert tab.root == pytest.approx((43.0, 0.0), abs=1e-6)


def test_the_plan_shows_clamps_and_tabs_with_their_words():
    held = Holding(by="tabs", at=(0.0, 2.0, 4.0), clamps=((-60.0, 0.0),))
    work = replace(sample_plans.work(), plan=plan_of(replace(RECIPE, holding=held)), recipe=RECIPE)
    (svg,) = [data.decode() for path, data in OUTPUT.write(work) if str(path).endswith(".svg")]
    assert "clamp: the cutter keeps clear" in svg
    assert "tab that holds the part" in svg
    assert svg.count('fill="#8a6d1f"') == 3
    assert svg.count("<circle") >= 1
    plain = replace(work, plan=plan_of(replace(RECIPE, holding=None)))
    (bare,) = [data.decode() for path, data in OUTPUT.write(plain) if str(path).endswith(".svg")]
    assert "clamp" not in bare
    assert "tab that" not in bare


def test_a_tab_of_no_length_is_not_drawn_and_stops_nothing():
    made = plan_of(replace(RECIPE, holding=Holding(by="tabs", at=(0.0, 2.0, 4.0))))
    flat = replace(made, tabs=(replace(made.tabs[0], root=made.tabs[0].foot), *made.tabs[1:]))
    work = replace(sample_plans.work(), plan=flat, recipe=RECIPE)
    (svg,) = [data.decode() for path, data in OUTPUT.write(work) if str(path).endswith(".svg")]
    assert svg.count('fill="#8a6d1f"') == 2
