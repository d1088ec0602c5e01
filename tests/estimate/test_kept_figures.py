"""Figures that are kept at hand answer for what was asked, also when plans are asked by turns."""

from __future__ import annotations

from dataclasses import replace

import pytest
from part_samples import ORIGINAL, RECIPE, plan_of

from generator.checks.shop.sharp_corners import corners
from generator.estimate.flip import Flip
from generator.estimate.floor import floor_under
from generator.estimate.joint import groups, joints
from generator.estimate.measured_places import inside_radius
from generator.outline.contour import Point
from generator.outline.create import rectangle
from generator.outline.region import Region

HIGHER = replace(RECIPE, original=replace(ORIGINAL, height=ORIGINAL.height + 1.0))


def test_joints_are_those_of_the_plan_asked_for():
    plans = [(recipe, plan_of(recipe)) for recipe in (RECIPE, HIGHER)]
    for recipe, plan in (*plans, *plans):
        assert {j.original_mm for j in joints(recipe, plan)} == {recipe.original.height}
        assert [j.bolt.at for j in joints(recipe, plan)] == [b.at for b in plan.bolts if b.thread]
        assert [j for g in groups(recipe, plan) for j in g] == list(joints(recipe, plan))


def test_floors_are_those_of_the_bolt_asked_for():
    """The gap is the clearance above, and grows with nothing else; the reach is that of each bolt's place."""
    for recipe in (RECIPE, replace(RECIPE, clearance=replace(RECIPE.clearance, above=0.7)), RECIPE):
        plan = plan_of(recipe)
        floors = [f for j in joints(recipe, plan) if (f := floor_under(plan, j)) is not None]
        assert floors
        assert [f.gap_mm for f in floors] == pytest.approx([recipe.clearance.above] * len(floors))


def test_the_worst_place_is_that_of_the_register_and_the_outline():
    """Half as long a span turns twice as far; a larger outline is off by more."""
    small, large = (Region((rectangle(-x, -10.0, x, 10.0),)) for x in (20.0, 40.0))
    near, far = (Flip(0.02, 0.02, span, Point(0.0, 0.0), upright=True) for span in (30.0, 60.0))
    for _ in range(2):
        offs = [flip.worst(region)[0] for flip in (near, far) for region in (small, large)]
        assert offs[1] > offs[0]
        assert offs[3] > offs[2]
        assert offs[0] > offs[2]
        assert offs[1] > offs[3]


def test_corners_are_those_of_the_outline():
    for radius in (2.0, 3.0, 2.0):
        drawn = rectangle(0.0, 0.0, 30.0, 20.0, radius)
        found = inside_radius(Region((drawn,)))
        assert found is not None
        assert found[0] == pytest.approx(radius)
        assert max(r for r, _, _ in corners(drawn)) == pytest.approx(radius)
    assert inside_radius(Region((rectangle(0.0, 0.0, 3.0, 2.0),))) is None
