"""Estimates follow from the formulas, and say how far the charts disagree."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import pi
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "part"))

from part_samples import COVER, RECIPE, plan_of

from generator.base.cutting import ALUMINIUM, BRASS, KINDS_OF_MATERIAL, feed_range, speed_range
from generator.base.materials import material
from generator.checks.cutting import flute_length, tools_at_hand
from generator.estimate.dowel_holes import is_reamed
from generator.estimate.making import estimate
from generator.estimate.operations import CHAMFERED, CLEARED, DRILLED, REAMED, ROUND, Operation
from generator.estimate.times import WITHOUT_CUTTING, cutting_of, kind_of_part, minutes_of
from generator.recipe.model import Recipe
from generator.recipe.model_making import Making
from generator.recipe.model_material import OwnMaterial
from generator.recipe.model_tools import Tool

FAST = Making(spindle=200_000.0, feed=50_000.0)
"""A machine that never is the limit."""


def line(**changes: object) -> Operation:
    made = Operation("cover", "outer-profile", ROUND, "", "end mill", 6.0, 2, 0.0, 300.0, 12.0, width_mm=6.0)
    return replace(made, **changes)  # type: ignore[arg-type]


def test_a_pass_along_a_line_by_hand():
    vc, fz = speed_range(ALUMINIUM)[0], feed_range(ALUMINIUM, 6.0)[0]
    n = 1000 * vc / (pi * 6)
    passes = 8  # 12 mm by a quarter of 6 mm
    by_hand = 300 * passes / (n * 2 * fz) * (1 + WITHOUT_CUTTING[1])
    assert minutes_of(line(), ALUMINIUM, FAST).most == pytest.approx(by_hand)


def test_a_pocket_by_hand():
    op = line(done=CLEARED, volume_mm3=6000.0, travel_mm=0.0, depth_mm=3.0)
    vc, fz = speed_range(BRASS)[1], feed_range(BRASS, 6.0)[1]
    feed = 1000 * vc / (pi * 6) * 2 * fz
    by_hand = 6000 / (1.5 * 0.4 * 6 * feed) * (1 + WITHOUT_CUTTING[0])
    assert minutes_of(op, BRASS, FAST).least == pytest.approx(by_hand)


def test_the_machine_is_the_limit_of_speed_and_feed():
    cutting = cutting_of(line(), ALUMINIUM, Making(spindle=8000.0, feed=200.0), fast=True)
    assert cutting.speed_rpm == 8000
    assert cutting.feed_mm_min == 200
    assert cutting.feed_tooth_mm == pytest.approx(200 / 8000 / 2)


@pytest.mark.parametrize("done", [ROUND, CLEARED, DRILLED, REAMED, CHAMFERED])
def test_deeper_and_more_take_longer(done: str):
    op = line(done=done, volume_mm3=500.0)
    deeper = replace(op, depth_mm=24.0, volume_mm3=1000.0, travel_mm=600.0)
    one, two = (minutes_of(o, ALUMINIUM, Making()) for o in (op, deeper))
    assert 0 < one.least <= one.likely <= one.most
    assert two.least > one.least
    assert two.most > one.most


def test_of_the_sound_recipe():
    found = estimate(RECIPE, plan_of(RECIPE))
    kinds = {s.operation.what: s.operation.done for s in found.steps}
    assert kinds["outer-profile"] == ROUND
    assert kinds["bottom-pocket"] in (ROUND, CLEARED)
    assert kinds["edge-break"] == CHAMFERED
    assert found.setups == 3
    idle = 3 * RECIPE.making.setup + found.changes * RECIPE.making.tool_change
    assert found.whole.least == pytest.approx(found.cutting.least + idle / 2)
    assert found.whole.most == pytest.approx(found.cutting.most + idle * 2)
    assert found.material_cost is None
    assert found.work_cost is None


def test_a_drill_of_the_holes_size_drills_it():
    tools = {**RECIPE.tools, "drill": Tool(kind="drill", diameter=6.6)}
    found = estimate(replace(RECIPE, tools=tools), plan_of(RECIPE))
    (drilled,) = [s.operation for s in found.steps if s.operation.done == DRILLED and s.operation.tool]
    assert (drilled.what, drilled.count, drilled.tool) == ("bolt-holes", 2, "drill")


def test_a_material_of_ones_own_is_cut_like_what_it_says():
    own = OwnMaterial(name="CuAl10Ni", density=7600.0, cuts_like=BRASS)
    recipe = replace(RECIPE, cover=replace(COVER, material=own))
    plan = plan_of(recipe)
    assert kind_of_part(recipe, plan.cover) == BRASS
    assert kind_of_part(RECIPE, plan.cover) == ALUMINIUM
    assert material("EN AW-6082 T6").density_kg_m3 == 2700


# ------------------------------------------------------------------ tools
MILL = Tool(kind="end mill", diameter=6.0)
RIM = Tool(kind="chamfer cutter", diameter=8.0)
REAMER = Tool(kind="reamer", diameter=6.0)


def with_tools(**tools: Tool) -> Recipe:
    return replace(RECIPE, tools=tools)


def steps_of(recipe: Recipe, what: str) -> list[tuple[str, str, float]]:
    made = estimate(recipe, plan_of(recipe)).steps
    return [(s.operation.done, s.operation.tool, s.operation.diameter_mm) for s in made if s.operation.what == what]


def test_dowel_holes_are_drilled_and_reamed():
    recipe = with_tools(mill=MILL, rim=RIM, reamer=REAMER)
    assert steps_of(recipe, "dowel-holes") == [(DRILLED, "", 5.8), (REAMED, "reamer", 6.0)]
    found = estimate(recipe, plan_of(recipe))
    assert ("reamer", 6.0) not in found.missing
    assert ("drill", 5.8) in found.missing
    for size, left in ((5.7, 5.7), (5.4, 5.8), (6.0, 5.8)):
        drilled = with_tools(mill=MILL, reamer=REAMER, drill=Tool(kind="drill", diameter=size))
        assert steps_of(drilled, "dowel-holes")[0] == (DRILLED, "drill" if left == size else "", left)
    small = with_tools(mill=Tool(kind="end mill", diameter=3.0), reamer=REAMER)
    assert steps_of(small, "dowel-holes")[0] == (CLEARED, "mill", 3.0)
    short = with_tools(mill=Tool(kind="end mill", diameter=3.0, flute_length=12.0), reamer=REAMER)
    assert steps_of(short, "dowel-holes")[0] == (DRILLED, "", 5.8)  # 12 mm of plate and a pin's diameter below it
    assert steps_of(replace(small, dowels="none"), "dowel-holes") == []


def test_dowel_holes_of_a_coarse_class_are_not_reamed_and_those_inside_are_made_once():
    coarse = replace(with_tools(mill=Tool(kind="end mill", diameter=20.0)), dowels=replace(RECIPE.dowels, fit="H11"))
    assert steps_of(coarse, "dowel-holes") == [(DRILLED, "", 6.0)]
    assert (is_reamed(coarse), is_reamed(RECIPE)) == (False, True)
    inside = replace(RECIPE, dowels=replace(RECIPE.dowels, place="inside", at=(-15.0, 17.0)))
    plan = plan_of(inside)
    assert [f.layer for f in plan.cover.features].count("dowel-holes") == 2
    (bored, reamed) = [s.operation for s in estimate(inside, plan).steps if s.operation.what == "dowel-holes"]
    assert (bored.count, reamed.count) == (2, 2)


@pytest.mark.parametrize("mill", [1.0, 3.0, 5.94, 6.0, 6.6, 10.0])
@pytest.mark.parametrize("drill", [None, 6.6, 6.56, 6.5])
def test_a_hole_has_no_tool_just_where_tools_at_hand_says_so(mill: float, drill: float | None):
    tools = {"mill": Tool(kind="end mill", diameter=mill), "rim": RIM, "reamer": REAMER}
    if drill is not None:
        tools["drill"] = Tool(kind="drill", diameter=drill)
    recipe = replace(RECIPE, tools=tools)
    plan = plan_of(recipe)
    told = {f.feature.rpartition("-")[0] for f in tools_at_hand.run(recipe, plan) if f.code == "nothing-fits"}
    ((done, tool, size),) = steps_of(recipe, "bolt-holes")
    assert (tool == "") == ("hole-bolt" in told)
    assert tool or (done, size) == (DRILLED, 6.6)


def test_tools_that_are_not_at_hand_are_counted_and_named():
    found = estimate(r := with_tools(mill=Tool(kind="end mill", diameter=20.0)), plan_of(r))
    assert ("drill", 6.6) in found.missing
    assert ("chamfer cutter", 6.0) in found.missing
    assert found.tools == len({(s.operation.kind, s.operation.diameter_mm) for s in found.steps}) > len(found.missing)
    bare = with_tools()
    assert estimate(bare, plan_of(bare)).missing == ()


def tool_for(recipe: Recipe, what: str) -> set[tuple[str, bool]]:
    made = estimate(recipe, plan_of(recipe)).steps
    return {(s.operation.tool, s.operation.is_short) for s in made if s.operation.what == what}


def test_a_mill_that_does_not_reach_the_floor_leaves_the_work_to_one_that_does():
    """The cover is cut through whole, 12 mm; its pocket and holes are as deep as the recipe says."""
    long, short = replace(MILL, diameter=4.0, flute_length=14.0), replace(MILL, flute_length=11.9)
    both = with_tools(long=long, short=short)
    assert tool_for(both, "outer-profile") == {("long", False)}
    deep = deep_cut("bottom-pocket", both)
    for flutes, tool in ((deep + 0.1, "short"), (deep, "short"), (deep - 0.1, "long")):
        tools = with_tools(long=long, short=replace(MILL, flute_length=flutes))
        assert tool_for(tools, "bottom-pocket") == {(tool, False)}
    held = with_tools(long=long, short=replace(MILL, flute_length=40.0, stick_out=deep - 0.1))
    assert tool_for(held, "bottom-pocket") == {("long", False)}


def deep_cut(feature: str, recipe: Recipe) -> float:
    (found,) = [f for f in plan_of(recipe).cover.features if f.name == feature]
    return found.z_to_mm - found.z_from_mm


def test_where_no_mill_reaches_the_operation_says_so_just_where_a_finding_does():
    short = with_tools(mill=replace(MILL, flute_length=11.9))
    assert tool_for(short, "outer-profile") == {("mill", True)}
    told = {f.feature for f in flute_length.run(short, plan_of(short)) if f.code == "too-short"}
    marked = {s.operation.what for s in estimate(short, plan_of(short)).steps if s.operation.is_short}
    assert marked == told == {"outer-profile"}
    enough = with_tools(mill=replace(MILL, flute_length=12.0))
    assert tool_for(enough, "outer-profile") == {("mill", False)}


def test_a_drill_too_short_for_a_hole_leaves_it_to_a_mill_that_reaches():
    drill = Tool(kind="drill", diameter=6.6, flute_length=4.0)
    assert tool_for(with_tools(drill=drill), "bolt-holes") == {("drill", True)}
    mill = replace(MILL, diameter=3.0)
    assert tool_for(with_tools(drill=drill, mill=mill), "bolt-holes") == {("mill", False)}
    assert tool_for(with_tools(drill=drill, mill=replace(mill, flute_length=1.0)), "bolt-holes") == {("drill", True)}


# ------------------------------------------------------------------ spread
@pytest.mark.parametrize("kind", KINDS_OF_MATERIAL)
@pytest.mark.parametrize("done", [ROUND, CLEARED, DRILLED, REAMED, CHAMFERED])
def test_a_time_has_a_spread_even_where_the_machine_sets_the_pace(kind: str, done: str):
    slow = Making(spindle=100.0, feed=1.0)
    minutes = minutes_of(line(done=done, volume_mm3=500.0), kind, slow)
    assert minutes.most >= 1.3 * minutes.least > 0.0


def test_setups_and_changes_have_the_spread_that_is_stated():
    for spread in (1.0, 1.5, 3.0):
        recipe = replace(RECIPE, making=replace(RECIPE.making, spread=spread, rate=60.0))
        found = estimate(recipe, plan_of(recipe))
        minutes = 3 * 20.0 + found.changes * 3.0
        assert (found.setting.least, found.setting.most) == pytest.approx((minutes / spread, minutes * spread))
        assert (found.whole.least, found.whole.most) == pytest.approx(found.work_cost)
        assert found.whole.most == pytest.approx(found.cutting.most + found.setting.most)


def test_a_reamer_goes_slowly_and_in_one_go():
    cutting = cutting_of(line(done=REAMED, kind="reamer", teeth=6), ALUMINIUM, FAST, fast=False)
    assert cutting.passes == 1
    assert cutting.step_down_mm == 12.0
    assert 10.0 < cutting.vc_m_min < 30.0
    assert 0.1 < cutting.feed_mm_min / cutting.speed_rpm < 0.3
