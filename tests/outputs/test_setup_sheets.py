"""Setup sheets as they are printed, read with a text reader and a renderer that the package does not use (pdfium)."""

from __future__ import annotations

import io
import re
from math import pi

import pypdfium2
import pytest

from generator.outputs import setup_sheets
from generator.outputs.output import Files
from generator.paper.collisions import collisions
from generator.paper.letters import LEAST_MM
from generator.paper.setup.pages import layout_of, setup_pages
from tests.outputs.recipe_works import RECIPES, work_of

EDGE_MM = 10.0
BY_NAME = {p.stem: p for p in RECIPES}
OWN_CIRCLES = ("mark", "balloon")
"""A number lies in its own circle."""


def files(name: str, *sets: str) -> Files:
    return dict(setup_sheets.write(work_of(BY_NAME[name], *sets)))


def texts(data: bytes) -> list[str]:
    with pypdfium2.PdfDocument(io.BytesIO(data)) as document:
        return [page.get_textpage().get_text_bounded() for page in document]


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
@pytest.mark.parametrize("size", ["A4", "Letter", "A3"])
def test_no_text_lies_on_another_or_on_a_line_and_all_keep_clear_of_the_edge(path, size):
    for _, subject in setup_sheets.sheets_of(work_of(path, f"paper.size={size}")):
        sheets = setup_pages(subject, layout_of(subject))
        assert 1 <= len(sheets) <= 2
        for sheet in sheets:
            assert not [c for c in collisions(sheet) if c.other not in OWN_CIRCLES]
            inner = sheet.box.grown(-EDGE_MM)
            for text in sheet.letters():
                assert text.height_mm >= LEAST_MM
                assert text.box.within(inner)


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
def test_proofs_hold(path):
    work = work_of(path)
    made = dict(setup_sheets.write(work))
    proofs = tuple(setup_sheets.prove(work, made))
    assert len(proofs) == 1 + 3 * len(made)
    assert all(p.holds for p in proofs)


def test_a_sheet_of_another_recipe_does_not_pass_for_this_one():
    other = files("gate-latch-22")
    proofs = [p for p in setup_sheets.prove(work_of(BY_NAME["gate-latch"]), other) if "outlines" in p.what]
    assert not any(p.holds for p in proofs if p.feature.endswith("setup-2.pdf"))


def test_a_figure_that_differs_from_the_plan_is_found():
    work, deeper = work_of(BY_NAME["gate-latch"]), files("gate-latch", "making.step_down=0.2")
    failed = {p.feature for p in setup_sheets.prove(work, deeper) if not p.holds and "speeds" in p.what}
    assert "setups/setup-1.pdf" in failed


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
def test_speeds_follow_the_formula_from_the_cutting_speed_told(path):
    """n = 1000 vc / (π D) and vf = n z fz: Mitsubishi Materials' milling formulas, as in every handbook."""
    metric = work_of(path).plan.units == "mm"
    for data in dict(setup_sheets.write(work_of(path))).values():
        whole = " ".join(" ".join(texts(data)).split())
        cuts = re.findall(r"([\w-]+): vc (\d+) (m|ft)/min, z (\d+), fz (\d+\.\d+)", whole)
        assert cuts
        for name, vc, unit, z, fz in cuts:
            row = re.search(rf"⌀([\d.]+) [a-z ]*{name}, \d+ edges? [^⌀]*?× [\d.]+ (\d+) ([\d.]+)", whole)
            if row is None or not metric:
                continue
            assert unit == "m"
            across, speed, feed = (float(v) for v in row.groups())
            assert speed == pytest.approx(1000.0 * float(vc) / (pi * across), rel=0.5 / float(vc) + 0.001)
            assert feed == pytest.approx(speed * int(z) * float(fz), rel=0.05)


def test_the_same_recipe_gives_the_same_bytes():
    assert files("door-bell") == files("door-bell")


def test_warnings_stand_on_the_sheets_that_they_concern_and_those_of_fitting_on_none():
    made = files("gate-latch", "cover.stock.margin=2")
    for setup in ("setup-1", "setup-2"):
        told = " ".join(" ".join(texts(made[f"setups/{setup}.pdf"])).split())
        assert "WARNINGS blank-frame: " in told
    everything = " ".join(" ".join(texts(data)) for data in made.values())
    outcomes = work_of(BY_NAME["gate-latch"], "cover.stock.margin=2").outcomes
    assert any(o.check == "load-bearing" and o.findings for o in outcomes)
    assert "load-bearing" not in everything


def test_a_mill_that_is_too_short_is_told_beside_its_name():
    def cutters(*sets: str) -> str:
        return " ".join(" ".join(texts(files("gate-latch", *sets)["setups/setup-2.pdf"])).split())

    assert "TOO SHORT" not in cutters()
    told = cutters("tools.rougher.flute_length=9", "tools.finisher.flute_length=9")
    assert re.search(r"rougher, 2 edges TOO SHORT for this depth", told)
    assert "WARNINGS" in told
    assert "flutes" in told


def test_what_holds_the_part_is_told_in_inches_where_the_recipe_is():
    told = " ".join(" ".join(texts(files("canoe-yoke")["setups/setup-2.pdf"])).split())
    assert "4.762 mm (0.1875 in) wide" in told  # 3/16 in
    assert re.search(r"⌀0\.125 .*? 9\.3 ", told)  # 235 mm/min / 25.4
