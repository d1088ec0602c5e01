"""The joint under a bolt head: heights, lengths and forces reckoned by hand, for every way a bolt can sit."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from part_samples import COVER, ORIGINAL, RECIPE, plan_of

from generator.base.materials import material
from generator.build.reading import read
from generator.estimate.bolt_length import engagement, longest, needed_length
from generator.estimate.floor import Floor, closing_force, floor_bears, floor_missing, floor_stress
from generator.estimate.joint import Joint, joints
from generator.estimate.preload import bearable, preload, rounded_down, torque_for
from generator.estimate.settling import settled_mm
from generator.recipe.model_bolts import Bolts, Seat, Tapped


def joint(seats: object = COVER.seats, *, load: bool = False, **keys: object) -> tuple[object, object, Joint]:
    """One bolt M6 in a plate of 12 mm over an original of 3.2 mm, with recipe and plan."""
    bolts = Bolts(**{"thread": "M6", "at": ((-20.0, 0.0),), **keys})  # type: ignore[arg-type]
    original = replace(ORIGINAL, bolts=(bolts,), load_bearing=load)
    recipe = replace(RECIPE, original=original, cover=replace(COVER, seats=seats))  # type: ignore[arg-type]
    plan = plan_of(recipe)
    (only,) = joints(recipe, plan)
    return recipe, plan, only


CASES = (
    ("in its seat, 6.4 deep", COVER.seats, {}, 5.6),
    ("through 9 mm below the cover", COVER.seats, {"passes": 9.0}, 5.6 - 3.2 + 9.0),
    ("the original itself is tapped", COVER.seats, {"passes": 0.0}, 5.6 - 3.2),
    ("a hexagon head on the plate", "none", {}, 12.0),
    ("the same with a washer of 1.6 mm", "none", {"washer": True}, 13.6),
    ("countersunk: from its upper side, where the cone is 13.44 mm wide", Seat(screw="ISO 10642"), {},
     12.0 - (13.71 - 13.44) / 2.0),
    ("through the cover: the head bears on the original", Seat(screw="ISO 4762", depth=12.0), {}, 3.2),
)  # fmt: skip


@pytest.mark.parametrize(("seats", "keys", "grip"), [c[1:] for c in CASES], ids=[c[0] for c in CASES])
def test_clamped_length(seats, keys, grip):
    assert joint(seats, **keys)[2].grip_mm == pytest.approx(grip)


def test_lengths_by_hand():
    assert needed_length(*_two(joint())) == 12.0  # 5.6 + 6 = 11.6
    assert needed_length(*_two(joint(into=Tapped(material="aluminium")))) == 16.0  # 5.6 + 9 = 14.6
    assert needed_length(*_two(joint(into="nut"))) == 16.0  # 5.6 + 5.2 + 2 = 12.8
    blind = Tapped(material="steel", depth=7.4, blind=True)
    assert longest(*_two(joint(into=blind))) == pytest.approx(5.6 + 7.4 - 1.0)
    assert needed_length(*_two(joint(into=blind))) == 12.0
    assert needed_length(*_two(joint(into=replace(blind, depth=7.3)))) is None
    assert engagement(joint(into=blind)[2], 20.0) == 7.4
    assert engagement(joint()[2], 5.0) == 0.0


def _two(made: tuple[object, object, Joint]) -> tuple[object, Joint]:
    return made[0], made[2]


def test_what_a_joint_is_judged_with():
    recipe, plan, bolt = joint(torque=6.0)
    assert preload(recipe, plan, bolt) == pytest.approx(5000.0)  # 6 N m / (0.2 x 6 mm)
    recipe, plan, bolt = joint(load=True)
    assert preload(recipe, plan, bolt) == pytest.approx(0.7 * 580 * 20.1)  # such a joint needs its preload
    recipe, plan, bolt = joint()
    assert preload(recipe, plan, bolt) == min(bearable(recipe, plan, bolt).values()) < 0.7 * 580 * 20.1
    assert torque_for(recipe, bolt, 5000.0) == pytest.approx(6.0)


def test_a_head_on_the_original_presses_on_no_cover():
    recipe, plan, bolt = joint(Seat(screw="ISO 4762", depth=12.0), load=True)
    assert set(bearable(recipe, plan, bolt)) == {"bolt", "thread"}
    assert not bolt.in_the_joint


def test_settling_counts_every_face():
    assert settled_mm(joint()[2]) == pytest.approx(0.003 + 0.003 + 2 * 0.002)
    assert settled_mm(joint(into="nut")[2]) == pytest.approx(0.003 + 2 * 0.003 + 2 * 0.002)
    assert settled_mm(joint("none", washer=True, passes=0.0)[2]) == pytest.approx(0.003 + 0.003 + 2 * 0.002)


METAL = material("EN AW-6082 T6")


def floor(thick: float, gap: float = 0.2, reach: float = 12.0) -> Floor:
    return Floor(gap, thick, thick + 6.4, reach, 9.38, 11.0)


def test_a_stiff_floor_does_not_come_down_and_a_foil_does():
    assert closing_force(floor(2.2), METAL) > 100_000.0
    foil = Floor(0.2, 0.5, 0.5, 25.0, 9.38, 9.38)
    assert closing_force(foil, METAL) < 100.0
    assert floor_bears(foil, METAL, 255.0) == float("inf")  # the original carries the rest


@given(st.floats(min_value=0.3, max_value=6.0), st.floats(min_value=6.0, max_value=30.0))
@settings(max_examples=60, deadline=None)
def test_a_floor_at_its_limit_has_just_that_stress(thick, reach):
    bears = floor_bears(floor(thick, reach=reach), METAL, 255.0)
    if bears < float("inf"):
        assert floor_stress(floor(thick, reach=reach), METAL, bears) == pytest.approx(255.0, rel=1e-9)


@given(st.floats(min_value=0.3, max_value=3.0), st.floats(min_value=500.0, max_value=15_000.0))
@settings(max_examples=60, deadline=None)
def test_what_is_missing_is_enough_and_hardly_more(thick, force):
    given_floor = floor(thick)
    more = floor_missing(given_floor, METAL, force, 255.0)
    thicker = replace(given_floor, under_head_mm=thick + more, plate_mm=given_floor.plate_mm + more)
    assert floor_stress(thicker, METAL, force) <= 255.0
    less = replace(given_floor, under_head_mm=thick + more - 0.1, plate_mm=given_floor.plate_mm + more - 0.1)
    if more > 0.1:
        assert floor_stress(less, METAL, force) > 255.0


@pytest.mark.parametrize(("torque", "text"), [(9.79, "9.7"), (0.567, "0.56"), (85.4, "85"), (10.0, "10")])
def test_torques_are_rounded_to_the_safe_side(torque, text):
    assert rounded_down(torque) == text


YAML = """\
name: plate
original:
  height: 0.125
  load_bearing: false
  footprint: {disc: {radius: 1}}
  bolts:
    - {thread: M6, at: [[0, 0]], screw: ISO 4762, property_class: 10.9, length: 20 mm, passes: 3/8,
       into: {material: cast iron, depth: 1/2, blind: true}, washer: true, threads: lubricated, torque: 11,
       holds: cover only}
    - {thread: M6, at: [[0.5, 0]], into: nut, property_class: A2-70}
cover: {stock: {thickness: 0.3}, outer: {disc: {radius: 1.2}}}
units: inch
"""


def test_keys_as_written_in_a_recipe(tmp_path):
    path = tmp_path / "plate.yaml"
    path.write_text(YAML, encoding="utf-8")
    first, second = read(path).recipe.original.bolts
    assert (first.property_class, first.length, first.torque) == ("10.9", 20.0, 11.0)
    assert first.passes == pytest.approx(9.525)
    assert first.into == Tapped(material="cast iron", depth=12.7, blind=True)
    assert (first.holds, first.threads, first.washer, first.screw) == ("cover only", "lubricated", True, "ISO 4762")
    assert (second.into, second.property_class, second.length) == ("nut", "A2-70", None)
