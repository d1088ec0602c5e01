"""What a machinist reads of order and depth on the setup sheets: nothing that could not be cut that way."""

from __future__ import annotations

from math import hypot

import pytest

from generator.estimate.operations import CHAMFERED, DRILLED, REAMED
from generator.outputs import setup_sheets
from generator.paper.drawing.block import ink_box
from generator.paper.setup.pages import layout_of, setup_pages
from generator.paper.setup.steps_table import figures_of
from tests.outputs.recipe_works import RECIPES, work_of
from tests.outputs.setup_samples import DOWELS, plate
from tests.outputs.test_setup_pictures import sheets, words


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
def test_a_hole_is_there_before_its_countersink_and_a_reamer_stops_before_the_drill_did(path):
    """Common practice: the tip of a chamfer cutter stands still; a reamer breaks on the cone that a drill leaves."""
    for _, subject in setup_sheets.sheets_of(work_of(path)):
        steps = [s for w in subject.works for s in w.steps]
        made: set[str] = set()
        for s in steps:
            op = s.step.operation
            if op.done == CHAMFERED and op.features:
                assert {f.replace("seat", "hole") for f in op.features} <= made
            made.update(op.features)
        drilled = [s for s in steps if s.step.operation.what == "dowel-holes" and s.step.operation.done == DRILLED]
        reamed = [s for s in steps if s.step.operation.done == REAMED]
        for drill, reamer in zip(drilled, reamed, strict=False):
            point = drill.step.operation.diameter_mm * 0.3004  # 0.5 / tan 59°, the length of a point of 118°
            assert drill.to_mm - point > reamer.to_mm + 0.1 * drill.step.operation.diameter_mm


def test_the_skin_that_is_left_is_not_cut(tmp_path):
    """9 mm of plate and a skin of 0.3."""
    work = plate(tmp_path, "holding: {by: onion skin, thickness: 0.3}\n")
    told = words(sheets(work)["setups/setup-2.pdf"])
    assert "leave 0.3 skin" in told
    last = figures_of(dict(setup_sheets.sheets_of(work))["setups/setup-2.pdf"])[-1]
    assert last.depth == "0 – 8.7"


def test_rows_say_which_holes_they_are_about(tmp_path):
    more = "  seats: {screw: ISO 4762}\n"
    at = "original.bolts=[{thread: M4, at: [[-2, 3], [24, 3]]}, {thread: M3, at: [[11, -4]]}]"
    told = words(sheets(plate(tmp_path, more, at))["setups/setup-2.pdf"])
    assert "2 holes A1 – A2" in told
    assert "bolt hole, diameter B1" in told
    assert "2 × bolt holes, diameter A1 – A2" in told


def test_names_of_tabs_keep_out_of_the_circles_of_clamps(tmp_path):
    """A tab beside a clamp: its name would else stand in the clamp's circle."""
    held = "holding: {by: tabs, at: [0, 90, 180, 270], clamps: [[-45, 0], [45, 6]], clamp_radius: 9}\n"
    work = plate(tmp_path, DOWELS + held)
    subject = dict(setup_sheets.sheets_of(work))["setups/setup-2.pdf"]
    sheet = setup_pages(subject, layout_of(subject))[0]
    circles = [ink_box([d]) for d in sheet.drawn() if d.name == "clamp"]
    names = [t for t in sheet.letters() if t.text == "tab"]
    assert len(circles) == 2
    assert names
    for circle in circles:
        (x, y), r = circle.centre, circle.width / 2.0
        for b in (t.box for t in names):
            assert hypot(max(b.left - x, 0.0, x - b.right), max(b.bottom - y, 0.0, y - b.top)) > r - 0.3
