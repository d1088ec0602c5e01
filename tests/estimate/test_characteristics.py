"""The list of characteristics: complete, numbered for good, with limits that the standards and the fit ask for."""

from __future__ import annotations

from math import dist

import pytest
import yaml

from generator.base.general_edges import edge_tolerance
from generator.estimate.characteristic import BLANK, Characteristic, Kind
from generator.estimate.characteristics import characteristics, datum_of
from generator.estimate.told_sizes import digest_of, told_size
from generator.outline.measure import bounds
from generator.outline.predicates import Side, contains_point
from tests.estimate.inspection_samples import RECIPES, ROOT, checked, sheet


def of(name: str, *sets: str) -> tuple[Characteristic, ...]:
    return sheet(name, *sets).characteristics


def one(name: str, kind: Kind, feature: str, *sets: str) -> Characteristic:
    (found,) = (c for c in of(name, *sets) if c.kind is kind and c.feature == feature)
    return found


@pytest.mark.parametrize("name", RECIPES)
def test_numbers_run_and_limits_hold_nominal(name):
    found = of(name)
    assert [c.number for c in found] == list(range(1, len(found) + 1))
    assert all(c.lower_mm <= c.nominal_mm <= c.upper_mm and c.lower_mm < c.upper_mm for c in found)
    assert all(c.source and c.instrument and c.what for c in found)
    parts = [c.part for c in found]
    assert list(dict.fromkeys(parts)) == [p.name for p in checked(name).plan.parts] + [BLANK]
    assert parts == sorted(parts, key=list(dict.fromkeys(parts)).index)


@pytest.mark.parametrize("name", RECIPES)
def test_a_part_has_a_number_of_them_that_a_person_can_measure(name):
    found = of(name)
    for part in {c.part for c in found}:
        assert 2 <= sum(c.part == part for c in found) <= 40


@pytest.mark.parametrize("name", RECIPES)
def test_what_is_told_twice_is_told_once(name):
    keys = [(c.part, c.feature, c.kind) for c in of(name)]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize("name", RECIPES)
def test_positions_of_all_bolts_are_those_of_the_plan(name):
    plan = checked(name).plan
    datum = datum_of(plan)
    assert datum.at == pytest.approx(plan.bolts[0].at)
    for bolt in plan.bolts[1:]:
        ways = ((Kind.POSITION_X, bolt.at.x - datum.at.x), (Kind.POSITION_Y, bolt.at.y - datum.at.y))
        for kind, off in ways:
            if (f"hole-{bolt.name}", kind) == datum.held:
                assert off == pytest.approx(0.0, abs=1e-6)
            else:
                assert one(name, kind, f"hole-{bolt.name}").nominal_mm == pytest.approx(off)
    holes = [c for c in of(name) if c.kind is Kind.DIAMETER and c.feature.startswith("hole-")]
    assert sum(c.count for c in holes) == len(plan.bolts)


def test_positions_are_those_that_a_person_wrote():
    written = yaml.safe_load((ROOT / "recipes" / "bee-house.yaml").read_text(encoding="utf-8"))
    at = written["original"]["bolts"][0]["at"]
    for k, (x, y) in enumerate(at[1:], start=2):
        assert one("bee-house", Kind.POSITION_X, f"hole-bolt-{k}").nominal_mm == x - at[0][0]
        if k > 2:
            assert one("bee-house", Kind.POSITION_Y, f"hole-bolt-{k}").nominal_mm == y - at[0][1]


@pytest.mark.parametrize("name", RECIPES)
def test_what_the_part_is_set_straight_by_says_nothing_and_is_not_measured(name):
    held = datum_of(checked(name).plan).held
    assert held is None or held not in {(c.feature, c.kind) for c in of(name)}
    assert held is not None or name == "garden-tap"  # its holes lie on no line along x or y with the datum


@pytest.mark.parametrize("name", RECIPES)
def test_the_bottom_pocket_is_tied_to_the_bolt_holes(name):
    """The holes are drilled from the top and the pocket is cut from below: both errors of the flip and of the place."""
    pocket = next(f for f in checked(name).plan.cover.features if f.name == "bottom-pocket")
    box, datum = bounds(pocket.region), checked(name).plan.bolts[0].at
    middle = (box.xmin + box.xmax) / 2.0 - datum.x, (box.ymin + box.ymax) / 2.0 - datum.y
    t = checked(name).reading.recipe.tolerances
    for kind, off in zip((Kind.POSITION_X, Kind.POSITION_Y), middle, strict=True):
        found = one(name, kind, "bottom-pocket")
        assert found.nominal_mm == pytest.approx(off, abs=1e-6)
        assert found.upper_mm - found.nominal_mm == pytest.approx(t.flip + t.position)
        assert found.is_even


def test_the_bottom_pocket_is_never_farther_off_than_the_original_has_room():
    found = one("gate-latch", Kind.POSITION_X, "bottom-pocket", "clearance.around=0.06")
    assert (found.lower_mm, found.upper_mm) == pytest.approx((31.94, 32.06))
    assert "clearance.around" in found.source


def test_walls_beside_a_round_pocket_in_closed_form():
    """A pocket of 76 + 2 x 0.3 mm in the middle of a rosette that is as wide as it is high."""
    wide = bounds(checked("well-pump").plan.cover.profile).width_mm
    for side in ("left", "right", "lower", "upper"):
        assert one("well-pump", Kind.WALL, f"wall-{side}").nominal_mm == pytest.approx((wide - 76.6) / 2.0, abs=1e-6)


@pytest.mark.parametrize("name", RECIPES)
def test_floors_are_what_thickness_and_depths_leave(name):
    thick = one(name, Kind.THICKNESS, "cover").nominal_mm
    deep = one(name, Kind.DEPTH, "bottom-pocket").nominal_mm
    assert one(name, Kind.FLOOR, "bottom-pocket").nominal_mm == pytest.approx(thick - deep)
    for c in of(name):
        if c.kind is Kind.FLOOR and c.feature != "bottom-pocket":
            assert c.nominal_mm == pytest.approx(thick - deep - one(name, Kind.DEPTH, c.feature).nominal_mm)


def test_general_tolerances():
    """ISO 2768-1, class m: table 1, over 30 to 120 mm 0.3; table 2, over 0.5 to 3 mm 0.2 (cross-checked)."""
    over_all = one("gate-latch", Kind.SIZE_X, "cover")
    assert 30.0 < over_all.nominal_mm <= 120.0
    assert over_all.upper_mm - over_all.nominal_mm == pytest.approx(0.3)
    assert over_all.source == "ISO 2768-m"
    rim = one("gate-latch", Kind.CHAMFER, "edge-break")
    assert (rim.nominal_mm, rim.upper_mm - rim.nominal_mm) == pytest.approx((0.6, 0.2))
    coarse = one("gate-latch", Kind.SIZE_X, "cover", "tolerances.general=ISO 2768-cL")
    assert coarse.upper_mm - coarse.nominal_mm == pytest.approx(0.8)


@pytest.mark.parametrize(
    ("letter", "size", "allowed"),
    [
        ("f", 0.5, 0.2),
        ("m", 3.0, 0.2),
        ("m", 3.1, 0.5),
        ("c", 6.0, 1.0),
        ("v", 6.1, 2.0),
        ("m", 50.0, 1.0),
        ("m", 0.4, None),
    ],
)
def test_tolerances_of_edges(letter, size, allowed):
    """ISO 2768-1 table 2: class m cross-checked in two copies, the others read in one."""
    assert edge_tolerance(letter, size) == allowed


@pytest.mark.parametrize(("name", "lower", "upper"), [("gate-latch", 6.0, 6.012), ("canoe-yoke", 6.35, 6.365)])
def test_dowel_holes_have_the_limits_of_their_fit(name, lower, upper):
    """ISO 286-2: H7 over 3 to 6 mm is 0 to +12 µm, over 6 to 10 mm 0 to +15 µm (cross-checked)."""
    holes = one(name, Kind.DIAMETER, "dowel-hole-1")
    assert (holes.lower_mm, holes.upper_mm, holes.count) == pytest.approx((lower, upper, 2))
    assert holes.instrument == "pin gauge"


@pytest.mark.parametrize("name", RECIPES)
def test_at_its_limits_every_insert_still_goes_in(name):
    for c in of(name):
        if not c.part.startswith("insert-") or c.feature != c.part or c.kind is Kind.THICKNESS:
            continue
        pocket = one(name, c.kind, f"inlay-pocket-{c.part.removeprefix('insert-')}")
        assert pocket.lower_mm >= c.upper_mm - 1e-9
    ring = [c for c in of(name) if c.feature.endswith("-island")]
    for island in ring:
        inlay = island.feature.removeprefix("inlay-pocket-").removesuffix("-island")
        assert one(name, Kind.DIAMETER, f"insert-{inlay}-hole").lower_mm >= island.upper_mm - 1e-9


def test_a_gap_below_the_tolerance_makes_the_limit_tighter():
    sets = ("inlays.number.gap=0.02",)
    pocket, insert = (one("gate-latch", Kind.SIZE_X, f, *sets) for f in ("inlay-pocket-number", "insert-number"))
    assert pocket.nominal_mm - pocket.lower_mm == pytest.approx(0.02)
    assert insert.upper_mm - insert.nominal_mm == pytest.approx(0.02)
    assert "goes in" in pocket.source
    assert pocket.upper_mm - pocket.nominal_mm == pytest.approx(0.05)


def test_the_bottom_pocket_is_never_so_shallow_that_the_cover_lies_on_the_original():
    sets = ("clearance.above=0.03",)
    deep = one("gate-latch", Kind.DEPTH, "bottom-pocket", *sets)
    assert deep.lower_mm == pytest.approx(3.2)


def test_a_corner_never_comes_nearer_than_the_gap():
    """A square corner of radius r leaves (root 2 - 1) r between its arc and its tip."""
    corner = one("gate-latch", Kind.RADIUS, "inlay-pocket-number")
    nearer = (corner.upper_mm - corner.nominal_mm) * (dist((0, 0), (1, 1)) - 1.0)
    assert 0.045 < nearer <= 0.05


def test_a_pocket_that_an_insert_is_pressed_into_has_the_usual_corners():
    pressed = one("gate-latch", Kind.RADIUS, "inlay-pocket-number", "inlays.number.fit=press")
    assert pressed.upper_mm - pressed.nominal_mm == pytest.approx(0.2)  # ISO 2768-1 table 2, class m, up to 3 mm
    assert "gap" not in pressed.source


def test_tighter_tolerances_ask_for_finer_instruments():
    sets = ("tolerances.size=0.01", "tolerances.depth=0.01", "tolerances.position=0.01")
    assert one("gate-latch", Kind.SIZE_X, "bottom-pocket").instrument == "caliper"
    assert one("gate-latch", Kind.SIZE_X, "bottom-pocket", *sets).instrument == "inside micrometer"
    assert one("gate-latch", Kind.DEPTH, "bottom-pocket", *sets).instrument == "depth micrometer"
    assert one("gate-latch", Kind.SIZE_X, "insert-number", *sets).instrument == "micrometer"


def test_the_same_recipe_gives_the_same_list_and_another_another():
    recipe, plan = checked("gate-latch").reading.recipe, checked("gate-latch").plan
    assert characteristics(recipe, plan) == of("gate-latch")
    digests = {sheet("gate-latch", *s).digest for s in ((), ("tolerances.size=0.04",), ("cover.stock.thickness=12",))}
    assert len(digests) == 3
    assert digest_of(of("gate-latch"), sheet("gate-latch").unit) == sheet("gate-latch").digest


@pytest.mark.parametrize("name", RECIPES)
def test_told_figures_are_the_planned_ones_rounded(name):
    unit = sheet(name).unit
    for c in of(name):
        told = told_size(c, unit)
        half = 0.5 * 10.0**-unit.decimals * unit.mm
        # a limit is the nominal as shown and its deviation as shown: each of them is rounded once
        low, high = (
            (told.lower - told.nominal, c.lower_mm - c.nominal_mm),
            (told.upper - told.nominal, c.upper_mm - c.nominal_mm),
        )
        for shown, meant in ((told.nominal, c.nominal_mm), low, high):
            assert shown * unit.mm == pytest.approx(meant, abs=1.2 * half)
        assert float(told.nominal_text) == told.nominal
        assert (float(told.lower_text), float(told.upper_text)) == pytest.approx((told.lower, told.upper), abs=1e-9)


def test_without_bolts_the_datum_is_the_corner_of_the_box():
    made = checked("gate-latch", "original.bolts=[]")
    box = bounds(made.plan.cover.profile)
    assert datum_of(made.plan).at == (box.xmin, box.ymin)
    assert datum_of(made.plan).feature == ""


@pytest.mark.parametrize("name", RECIPES)
def test_depths_and_floors_are_measured_where_there_is_a_floor(name):
    plan = checked(name).plan
    features = {f.name: f for p in plan.parts for f in p.features}
    through = [f.region for f in plan.cover.features if f.layer in ("bolt-holes", "openings")]
    for c in of(name):
        if c.kind in (Kind.DEPTH, Kind.FLOOR) and not c.feature.startswith("seat-"):
            assert contains_point(features[c.feature].region, c.place) is Side.INSIDE
            assert c.part != "cover" or all(contains_point(r, c.place) is Side.OUTSIDE for r in through)
