"""Steps of setups: each of the plan's in one setup, in working order, by cutters that get about in what they cut."""

from __future__ import annotations

import pytest
from shapely import Polygon, unary_union

from generator.estimate.clears import CLEARED_SHARE, clears
from generator.estimate.making import estimate
from generator.estimate.operations import CLEARED
from generator.estimate.setup_steps import work_of
from generator.outline.create import rectangle
from generator.outline.region import Region
from generator.part.setups import setups
from tests.estimate.inspection_samples import RECIPES, checked
from tests.oracles.fine_facets import polygon


@pytest.mark.parametrize("name", RECIPES)
def test_every_step_of_the_plan_stands_in_one_setup(name):
    made = checked(name)
    steps = estimate(made.reading.recipe, made.plan).steps
    parts = {p.name: p for p in made.plan.parts}
    found = []
    for setup in setups(made.layers):
        works = work_of(setup, parts[setup.part], made.layers, steps)
        assert [w.layer.name for w in works] == list(setup.layers)
        assert [w.number for w in works] == list(range(1, len(works) + 1))
        for w in works:
            assert w.steps, "a layer that nothing cuts"
            marks = [s.mark for s in w.steps]
            assert len(set(marks)) == len(marks)
            assert all(m.startswith(str(w.number)) for m in marks)
            found += [s.step for s in w.steps]
    assert sorted(map(repr, found)) == sorted(map(repr, steps))


def test_dowel_holes_go_on_into_what_lies_under_the_blank():
    """10 mm of plate and one diameter of the 6 mm pins; the drill of 5.8 mm half its diameter deeper, so that neither
    its point, 0.3 of it, nor the chips are in the reamer's way (geometry of 118°; common practice, no source)."""
    made = checked("gate-latch")
    first = setups(made.layers)[0]
    steps = estimate(made.reading.recipe, made.plan).steps
    dowels = work_of(first, made.plan.cover, made.layers, steps)[0]
    assert [s.mark for s in dowels.steps] == ["1a", "1b"]
    assert [(s.from_mm, s.to_mm) for s in dowels.steps] == [(0.0, pytest.approx(16.0 + 2.9)), (0.0, 16.0)]


@pytest.mark.parametrize("name", RECIPES)
def test_no_pocket_is_cleared_by_a_mill_that_gets_nowhere_in_it(name):
    """What a mill sweeps is measured with another library: the region shrunk and grown again by its radius."""
    made = checked(name)
    features = {(p.name, f.name): f for p in made.plan.parts for f in p.features}
    smallest = min(t.diameter for t in made.reading.recipe.tools.values() if t.kind == "end mill")
    for step in estimate(made.reading.recipe, made.plan).steps:
        op = step.operation
        if op.done != CLEARED or op.diameter_mm == smallest or op.what == "dowel-holes":
            continue
        for feature in op.features:
            shape = _shape(features[op.part, feature].region)
            swept = shape.buffer(-op.diameter_mm / 2.0, 64).buffer(op.diameter_mm / 2.0, 64)
            assert swept.area > 0.98 * CLEARED_SHARE * shape.area


def _shape(region: Region) -> Polygon:
    rings = [Polygon(polygon(c, 1e-3)) for c in region]
    out = rings[0]
    for ring in rings[1:]:
        out = out.symmetric_difference(ring)  # holes lie in what they are holes of
    return unary_union(out)


def test_a_mill_clears_what_is_twice_as_wide_and_not_what_is_narrower():
    """Of a slot 20 by 4 a mill of 2 mm leaves its four corners alone: 4 (1 - π/4) of 80 mm²."""
    slot = Region((rectangle(0.0, 0.0, 20.0, 4.0),))
    assert clears(slot, 2.0)
    assert clears(slot, 3.999)
    assert not clears(slot, 4.2)
