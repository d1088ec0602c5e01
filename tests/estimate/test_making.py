"""Estimates follow from the formulas, and say how far the charts disagree."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import pi
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "part"))

from part_samples import COVER, RECIPE, plan_of

from generator.base.cutting import ALUMINIUM, BRASS, feed_range, speed_range
from generator.base.materials import material
from generator.estimate.making import estimate
from generator.estimate.operations import CHAMFERED, CLEARED, DRILLED, ROUND, Operation
from generator.estimate.times import WITHOUT_CUTTING, cutting_of, kind_of_part, minutes_of
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
    by_hand = 300 * passes / (n * 2 * fz) * (1 + WITHOUT_CUTTING)
    assert minutes_of(line(), ALUMINIUM, FAST).most == pytest.approx(by_hand)


def test_a_pocket_by_hand():
    op = line(done=CLEARED, volume_mm3=6000.0, travel_mm=0.0, depth_mm=3.0)
    vc, fz = speed_range(BRASS)[1], feed_range(BRASS, 6.0)[1]
    feed = 1000 * vc / (pi * 6) * 2 * fz
    by_hand = 6000 / (1.5 * 0.4 * 6 * feed) * (1 + WITHOUT_CUTTING)
    assert minutes_of(op, BRASS, FAST).least == pytest.approx(by_hand)


def test_the_machine_is_the_limit_of_speed_and_feed():
    cutting = cutting_of(line(), ALUMINIUM, Making(spindle=8000.0, feed=200.0), fast=True)
    assert cutting.speed_rpm == 8000
    assert cutting.feed_mm_min == 200
    assert cutting.feed_tooth_mm == pytest.approx(200 / 8000 / 2)


@pytest.mark.parametrize("done", [ROUND, CLEARED, DRILLED, CHAMFERED])
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
    assert found.whole.least == pytest.approx(found.cutting.least + idle)
    assert found.material_cost is None
    assert found.work_cost is None


def test_a_drill_of_the_holes_size_drills_it():
    tools = {**RECIPE.tools, "drill": Tool(kind="drill", diameter=6.6)}
    found = estimate(replace(RECIPE, tools=tools), plan_of(RECIPE))
    (drilled,) = [s.operation for s in found.steps if s.operation.done == DRILLED]
    assert (drilled.what, drilled.count, drilled.tool) == ("bolt-holes", 2, "drill")


def test_a_material_of_ones_own_is_cut_like_what_it_says():
    own = OwnMaterial(name="CuAl10Ni", density=7600.0, cuts_like=BRASS)
    recipe = replace(RECIPE, cover=replace(COVER, material=own))
    plan = plan_of(recipe)
    assert kind_of_part(recipe, plan.cover) == BRASS
    assert kind_of_part(RECIPE, plan.cover) == ALUMINIUM
    assert material("EN AW-6082 T6").density_kg_m3 == 2700
