"""The parts list: designations of the standards, lengths that the checks agree to, quantities of the order."""

from __future__ import annotations

import re

import numpy as np
import pytest

from generator.estimate.making import piece_size
from generator.estimate.parts_list import PartsRow, parts_list
from generator.paper.setup.subject import subjects
from generator.part.relation import box_of
from tests.estimate.inspection_samples import RECIPES, checked


def of(name: str, *sets: str) -> tuple[PartsRow, ...]:
    made = checked(name, *sets)
    return parts_list(made.reading.recipe, made.plan)


def one(rows: tuple[PartsRow, ...], what: str) -> PartsRow:
    (row,) = (r for r in rows if r.what == what)
    return row


@pytest.mark.parametrize("name", RECIPES)
def test_every_part_is_made_once_and_sawn_once(name):
    rows, plan = of(name), checked(name).plan
    assert [r.item for r in rows] == list(range(1, len(rows) + 1))
    assert [r.designation for r in rows if r.kind == "made"] == [
        f"{plan.name} {p.name}, revision {plan.revision}" for p in plan.parts
    ]
    assert [r.material for r in rows if r.kind == "sawn"] == [p.material.name for p in plan.parts]
    assert sum(int(r.quantity) for r in rows if "screw" in r.what or r.what == "bolt") == len(plan.bolts)


@pytest.mark.parametrize("name", RECIPES)
def test_the_length_that_is_bought_is_one_that_no_check_minds(name):
    rows = [r for r in of(name) if "screw" in r.what]
    for row in rows:
        length = float(re.search(r"× (\d+)", row.designation)[1])  # type: ignore[index]
        judged = checked(name, f"original.bolts[0].length={length:g}")
        assert not [f for f in judged.findings if f.check == "bolt-length"]


def test_designations():
    """Screws of ISO 7380-1 and ISO 10642 have a 0 before their strength: reduced loadability (from memory)."""
    assert one(of("gate-latch"), "hexagon socket button head screw").designation == "ISO 7380-1 - M6 × 16 - 08.8"
    assert one(of("garden-tap"), "hexagon socket head cap screw").designation == "ISO 4762 - M6 × 16 - 8.8"
    assert one(of("bee-house"), "hexagon socket countersunk head screw").designation == "ISO 10642 - M5 × 16 - 08.8"
    strong = of("gate-latch", "original.bolts[0].property_class='10.9'")
    assert one(strong, "hexagon socket button head screw").designation.endswith("- 010.9")
    stainless = of("gate-latch", "original.bolts[0].property_class=A2-70")
    assert one(stainless, "hexagon socket button head screw").designation.endswith("- A2-070")


def test_washers_and_nuts_come_with_their_bolts():
    rows = of("gate-latch", "original.bolts[0].washer=true", "original.bolts[0].into=nut", "cover.seats=none")
    assert one(rows, "plain washer").designation == "ISO 7089 - 6 - 200 HV"
    assert one(rows, "plain washer").quantity == "2"
    assert one(rows, "hexagon nut").designation == "ISO 4032 - M6 - 8"


@pytest.mark.parametrize("name", ["gate-latch", "well-pump", "telescope-pier", "door-bell"])
def test_a_pin_never_stands_out_of_blank_and_bed(name):
    plan = checked(name).plan
    row = one(of(name), "parallel pin")
    d, length = re.fullmatch(r"ISO 8734 - (\d+) × (\d+) - A - St", row.designation).groups()  # type: ignore[union-attr]
    assert float(d) == plan.blank.dowel_mm
    assert plan.blank.thickness_mm < float(length) <= plan.blank.thickness_mm + plan.blank.dowel_mm


def test_pins_of_other_classes():
    assert one(of("gate-latch", "dowels.pins=h8"), "parallel pin").designation == "ISO 2338 - 6 h8 × 16 - St"
    assert "6 h6" in one(of("gate-latch", "dowels.pins=h6"), "ground rod").size


def test_quantities_are_those_of_the_order_but_pins_are_used_again():
    single, dozen = of("door-bell"), of("door-bell", "order.quantity=12")
    for a, b in zip(single, dozen, strict=True):
        if a.quantity.isdigit() and a.what != "parallel pin":
            assert int(b.quantity) == 12 * int(a.quantity)
    assert one(dozen, "parallel pin").quantity == "2"
    a, b = (float(one(rows, "adhesive").size.split()[0]) for rows in (single, dozen))
    assert b == pytest.approx(12 * a, abs=0.6)


def test_lengths_and_areas_of_an_inch_recipe_are_inches():
    rows = of("canoe-yoke", "dowels.diameter=6 mm", "dowels.pins=h6")
    assert one(rows, "adhesive").size == "0.27 in² of bond"  # 1.73 cm² / 6.4516
    assert one(rows, "ground rod").size == "6 mm h6, at most 0.5487 in long"  # 5/16 in and 6 mm
    assert not [r for r in rows if re.search(r"\d (mm|cm²)\b", r.size.replace("6 mm h6", ""))]


def test_an_insert_of_loose_pieces_says_how_many():
    """Three letters without a bridge; figures cut out of a strip leave it whole."""
    assert one(of("bee-house"), "insert letters").note.endswith("; one insert is 3 loose pieces")
    assert "loose" not in one(of("gate-latch"), "insert number").note


def test_an_insert_that_is_pressed_in_takes_no_adhesive():
    assert not [r for r in of("gate-latch", "inlays.number.fit=press") if r.what == "adhesive"]


def test_bolts_without_a_thread_are_told_by_their_hole():
    row = one(of("canoe-yoke"), "bolt")
    assert (row.quantity, row.designation, row.size) == ("4", "", "for holes of 0.2656 in")


def test_bolts_without_a_thread_are_longer_by_what_stands_above_the_original():
    rows = of("canoe-yoke")
    # a plate of 5/16 in over an original of 0.12 in: heads rise by 0.1925 in
    assert "up to 0.1925 in longer" in one(rows, "bolt").note


@pytest.mark.parametrize("name", RECIPES)
def test_the_cover_is_sawn_from_the_blank_of_setup_sheets_and_layers(name):
    """The three are read by different people, and the vice is set to what was sawn."""
    made = checked(name)
    plan = made.plan
    for subject in subjects(made.reading.recipe, plan, made.layers, (), (), {}):
        if subject.is_cover:
            box = box_of(subject.stock)
            told = subject.unit.length(box.width_mm, box.height_mm, subject.thickness_mm)
            assert one(of(name), "blank for the cover").size == told
    x, y, _ = piece_size(plan, plan.cover)
    outline = np.array([(v.x, v.y) for c in plan.blank.region for v in c.vertices])
    assert (x, y) == pytest.approx(np.ptp(outline, axis=0), abs=1e-6)


def test_a_measured_plate_is_sawn_as_it_is():
    row = one(of("gate-latch", "cover.stock.measured=10.12"), "blank for the cover")
    assert row.size.endswith("× 10.12 mm")
    assert "measured" in row.note
