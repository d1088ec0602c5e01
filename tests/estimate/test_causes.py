"""What errors say, against parts made by a simulated machine whose one fault is known."""

from __future__ import annotations

import random
from math import cos, hypot, radians, sin

import pytest

from generator.estimate.causes import Cause, causes
from generator.estimate.characteristic import Characteristic, Kind
from generator.estimate.characteristics import datum_of
from generator.estimate.readings import read_readings
from generator.part.part import Face
from tests.estimate.inspection_samples import RECIPES, Fault, checked, filled, sheet

WIDTHS = (Kind.DIAMETER, Kind.SIZE_X, Kind.SIZE_Y)


def said(name: str, fault: Fault, parts: int = 1) -> dict[str, Cause]:
    readings = read_readings("r.csv", filled(name, fault, parts), sheet(name))
    return {c.id: c for c in causes(sheet(name), readings, checked(name).plan)}


def moved(name: str, place) -> Fault:
    """Return the errors of bolt holes that were all cut at ``place(x, y)`` instead of at x, y from the datum."""
    by = {(c.feature, c.kind): c for c in sheet(name).characteristics}

    def fault(c: Characteristic, k: int) -> float:
        if c.kind not in (Kind.POSITION_X, Kind.POSITION_Y) or not c.feature.startswith("hole-"):
            return 0.0
        # what has no number is what the part is set straight by: it lies level with the datum
        numbers = (by.get((c.feature, kind)) for kind in (Kind.POSITION_X, Kind.POSITION_Y))
        x, y = (n.nominal_mm if n else 0.0 for n in numbers)
        u, v = place(x, y)
        return u - x if c.kind is Kind.POSITION_X else v - y

    return fault


@pytest.mark.parametrize("name", RECIPES)
def test_a_perfect_part_says_nothing(name):
    assert said(name, lambda c, k: 0.0) == {}


@pytest.mark.parametrize("name", RECIPES)
def test_the_doubt_of_a_caliper_says_nothing(name):
    chance = random.Random(name)
    assert said(name, lambda c, k: chance.uniform(-0.012, 0.012)) == {}


@pytest.mark.parametrize("name", RECIPES)
@pytest.mark.parametrize("by", [0.05, -0.06])
def test_a_cutter_of_another_size(name, by):
    """A cutter that is too wide by d makes what it cuts into wider by d, and what it cuts round narrower by d."""

    def fault(c: Characteristic, k: int) -> float:
        if c.kind not in WIDTHS or c.part == "blank":
            return 0.0
        return -by if c.is_outside else by

    found = said(name, fault)["cutter"]
    assert found.figure == pytest.approx(by, abs=0.004)
    assert ("wider" if by > 0 else "smaller") in found.remedy
    assert "outsides" in found.says


def test_drilled_holes_that_are_right_are_not_blamed_for_the_cutter():
    def fault(c: Characteristic, k: int) -> float:
        if c.kind not in WIDTHS or c.part == "blank" or c.feature.startswith("hole-"):
            return 0.0
        return -0.06 if c.is_outside else 0.06

    (cause,) = said("gate-latch", fault).values()
    assert cause.id == "cutter"
    assert "holes" not in cause.says
    assert "bottom pocket" in cause.says
    assert cause.says.endswith("all outsides too small")


def test_holes_alone_are_the_drills_fault():
    def fault(c: Characteristic, k: int) -> float:
        return 0.05 if c.kind is Kind.DIAMETER and c.feature.startswith("hole-") else 0.0

    found = said("well-pump", fault)
    assert set(found) == {"drill"}
    assert found["drill"].figure == pytest.approx(0.05, abs=0.004)
    assert "0.05 mm" in found["drill"].remedy


@pytest.mark.parametrize("name", ["bee-house", "canoe-yoke", "well-pump", "garden-tap"])
@pytest.mark.parametrize(("kx", "ky"), [(1.002, 1.0), (1.0, 0.997), (1.0018, 1.003)])
def test_a_scaled_pattern(name, kx, ky):
    found = said(name, moved(name, lambda x, y: (kx * x, ky * y)))
    for axis, k in (("x", kx), ("y", ky)):
        assert (f"scale-{axis}" in found) == (k != 1.0)
        if k != 1.0:
            assert found[f"scale-{axis}"].figure == pytest.approx((k - 1.0) * 100.0, abs=0.03)
            assert found[f"scale-{axis}"].unit == "%"
    assert set(found) <= {"scale-x", "scale-y"}


@pytest.mark.parametrize("name", ["bee-house", "canoe-yoke", "well-pump"])
@pytest.mark.parametrize("angle", [0.12, -0.2])
def test_a_turned_pattern(name, angle):
    c, s = cos(radians(angle)), sin(radians(angle))
    found = said(name, moved(name, lambda x, y: (c * x - s * y, s * x + c * y)))
    assert set(found) == {"turned"}
    assert found["turned"].figure == pytest.approx(angle, abs=0.01)
    assert ("counter-clockwise" in found["turned"].says) == (angle > 0)


def test_turned_and_scaled_at_once():
    c, s = cos(radians(0.15)), sin(radians(0.15))
    found = said("bee-house", moved("bee-house", lambda x, y: (1.003 * (c * x - s * y), 1.003 * (s * x + c * y))))
    assert set(found) == {"turned", "scale-x", "scale-y"}
    assert found["scale-y"].figure == pytest.approx(0.3, abs=0.03)


def test_a_datum_hole_that_wandered():
    found = said("well-pump", aligned("well-pump", {"hole-bolt-1": (0.08, -0.05)}))
    assert set(found) == {"datum-hole"}
    assert "0.08, -0.05 mm" in found["datum-hole"].says


def aligned(name: str, off: dict[str, tuple[float, float]]) -> Fault:
    """Return the errors of a part with holes off by ``off``, read from its datum hole, straight by the held hole."""
    plan = checked(name).plan
    datum = datum_of(plan)
    at = {f"hole-{b.name}": complex(b.at.x, b.at.y) for b in plan.bolts}
    cut = {h: p + complex(*off.get(h, (0.0, 0.0))) for h, p in at.items()}
    held, _ = datum.held
    turn = (at[held] - at[datum.feature]) / (cut[held] - cut[datum.feature])
    turn /= abs(turn)

    def fault(c: Characteristic, k: int) -> float:
        if c.kind not in (Kind.POSITION_X, Kind.POSITION_Y) or c.part != "cover":
            return 0.0
        meant = at.get(c.feature, complex(*c.place))
        error = (cut.get(c.feature, meant) - cut[datum.feature]) * turn - (meant - at[datum.feature])
        return error.real if c.kind is Kind.POSITION_X else error.imag

    return fault


@pytest.mark.parametrize("name", ["bee-house", "canoe-yoke", "well-pump"])
@pytest.mark.parametrize("by", [(0.2, 0.0), (0.0, -0.2), (0.12, 0.1)])
def test_one_hole_that_is_off_is_named(name, by):
    """Whichever it is, the datum and the one that sets the part straight too: never a wrong axis of the machine."""
    datum = datum_of(checked(name).plan)
    for bolt in checked(name).plan.bolts:
        hole = f"hole-{bolt.name}"
        found = said(name, aligned(name, {hole: by}))
        (cause,) = found.values()
        if hole == datum.feature:
            assert cause.id == "datum-hole"
        else:
            assert cause.id in (("one-hole", "turned") if hole == datum.held[0] else ("one-hole",))
        assert bolt.name in cause.says
        if cause.id != "turned":
            assert cause.figure == pytest.approx(hypot(*by), abs=0.012)


def test_two_holes_do_not_tell_a_hole_from_an_axis():
    found = said("gate-latch", aligned("gate-latch", {"hole-bolt-2": (0.12, 0.0)}))
    assert set(found) == {"scale-x"}
    assert "or one hole alone is off" in found["scale-x"].says


def test_holes_that_wander_follow_nothing():
    wild = {
        "hole-bolt-2": (0.1, 0.0),
        "hole-bolt-3": (-0.09, 0.1),
        "hole-bolt-4": (0.0, -0.12),
        "hole-bolt-5": (0.1, 0.1),
    }

    def fault(c: Characteristic, k: int) -> float:
        dx, dy = wild.get(c.feature, (0.0, 0.0))
        return {Kind.POSITION_X: dx, Kind.POSITION_Y: dy}.get(c.kind, 0.0)

    found = said("well-pump", fault)
    assert set(found) == {"holes-wander"}
    assert "bolt-5" in found["holes-wander"].says


@pytest.mark.parametrize(("axis", "low", "high"), [("x", "wall-left", "wall-right"), ("y", "wall-lower", "wall-upper")])
@pytest.mark.parametrize("by", [0.12, -0.2])
def test_faces_that_are_offset(axis, low, high, by):
    """The pocket lies ``by`` too far along the axis: more wall on the low side, less on the high one."""
    found = said("gate-latch", lambda c, k: {low: by, high: -by}.get(c.feature, 0.0))
    (cause,) = found.values()
    assert cause.id == f"offset-{axis}"
    assert cause.figure == pytest.approx(by, abs=0.006)
    move = f"move zero by {'+' if by > 0 else '-'}{abs(by):.2g} mm along {axis}"
    assert move in cause.remedy
    # the gate latch is turned about an axis along y: an axis that lies e off puts the faces 2 e apart along x
    assert ("turned about a line" in cause.remedy) == (axis == "x")


@pytest.mark.parametrize("name", ["gate-latch", "door-bell", "canoe-yoke"])
@pytest.mark.parametrize(("kind", "axis"), [(Kind.POSITION_X, "x"), (Kind.POSITION_Y, "y")])
@pytest.mark.parametrize("by", [0.2, -0.15])
@pytest.mark.parametrize("all_of_it", [False, True])
def test_a_pocket_off_the_bolt_holes_with_its_walls_right(name, kind, axis, by, all_of_it):
    """Either outside and pocket lie off the holes, or all holes lie off everything else; the walls see neither."""

    def fault(c: Characteristic, k: int) -> float:
        is_hole = c.feature.startswith("hole-")
        return by if c.kind is kind and not is_hole and (all_of_it or c.feature == "bottom-pocket") else 0.0

    found = said(name, fault)
    cause = found[f"holes-off-{axis}"]
    assert cause.figure == pytest.approx(by, abs=2e-3)
    assert f"towards {'-' if by > 0 else '+'}{axis} of the bottom pocket" in cause.says
    assert not {i for i in found if i.startswith(("offset", "datum", "one-hole"))}


@pytest.mark.parametrize(("low", "high", "kind"), [("wall-left", "wall-right", Kind.POSITION_X)])
def test_offset_faces_are_not_told_twice(low, high, kind):
    """The pocket lies off outside and holes alike: that is the flip."""

    def fault(c: Characteristic, k: int) -> float:
        wall = {low: 0.2, high: -0.2}.get(c.feature, 0.0)
        return 0.2 if c.feature == "bottom-pocket" and c.kind is kind else wall

    assert [i for i in said("gate-latch", fault) if i.startswith(("offset", "holes-off"))] == ["offset-x"]


def test_the_datum_hole_that_is_off_is_not_taken_for_the_pocket():
    """All places read off by as much: what they are measured from is off."""
    fault = lambda c, k: -0.15 if c.kind is Kind.POSITION_X else 0.0  # noqa: E731
    assert not [i for i in said("door-bell", fault) if i.startswith("holes-off")]


@pytest.mark.parametrize("face", list(Face))
@pytest.mark.parametrize("by", [0.08, -0.06])
def test_a_zero_that_is_off(face, by):
    def fault(c: Characteristic, k: int) -> float:
        if c.part == "cover" and c.kind is Kind.DEPTH and c.face is face:
            return by
        return -by if face is Face.BOTTOM and c.kind is Kind.FLOOR and c.feature == "bottom-pocket" else 0.0

    found = said("door-bell", fault)
    (cause,) = found.values()
    assert cause.id == f"zero-{face.value}"
    assert cause.figure == pytest.approx(by, abs=0.004)
    assert ("raise" if by > 0 else "lower") in cause.remedy


def test_a_plate_that_is_thick():
    thick = {Kind.THICKNESS, Kind.FLOOR}
    found = said("gate-latch", lambda c, k: 0.15 if c.part == "cover" and c.kind in thick else 0.0)
    assert set(found) == {"thickness"}
    assert "cover.stock.measured to 10.15" in found["thickness"].remedy


def test_thickness_depth_and_floor_that_cannot_all_be_right():
    found = said("gate-latch", lambda c, k: 0.2 if c.kind is Kind.FLOOR and c.feature == "bottom-pocket" else 0.0)
    assert set(found) == {"measured-wrong"}


def test_an_insert_that_does_not_go_in():
    found = said("gate-latch", lambda c, k: 0.12 if c.feature == "insert-number" and c.kind is Kind.SIZE_X else 0.0)
    assert "0.02 mm larger" in found["insert-too-large"].says


def test_an_insert_that_rattles():
    found = said("gate-latch", lambda c, k: -0.2 if c.feature == "insert-number" and c.kind is Kind.SIZE_Y else 0.0)
    assert found["insert-loose"].figure == pytest.approx(0.15, abs=0.006)


def test_several_parts_count_by_what_they_share():
    """Chance differs from part to part; the cutter's error is in all of them."""
    chance = random.Random(7)

    def fault(c: Characteristic, k: int) -> float:
        width = 0.0 if c.kind not in WIDTHS or c.part == "blank" else -0.05 if c.is_outside else 0.05
        return width + chance.gauss(0.0, 0.01)

    found = said("well-pump", fault, parts=12)
    assert set(found) == {"cutter"}
    assert found["cutter"].figure == pytest.approx(0.05, abs=0.01)


def test_one_part_that_differs_is_no_cause_of_all():
    def fault(c: Characteristic, k: int) -> float:
        return (-0.3 if c.is_outside else 0.3) if k == 2 and c.kind in WIDTHS and c.part != "blank" else 0.0

    (cause,) = said("gate-latch", fault, parts=5).values()
    assert cause.id == "one-part"
    assert cause.says.startswith("part-2 alone")
