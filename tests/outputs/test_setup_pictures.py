"""The picture of a setup measured in pixels of a renderer that the package does not use; what special plates say."""

from __future__ import annotations

import io

import numpy as np
import pypdfium2
import pytest

from generator.outputs import setup_sheets
from generator.outputs.output import Files, Work
from generator.paper.collisions import collisions
from generator.paper.letters import LEAST_MM
from generator.paper.setup.pages import layout_of, setup_pages
from tests.outputs.setup_samples import DOWELS, plate
from tests.outputs.test_setup_sheets import OWN_CIRCLES, texts

DPI = 300
MM = 25.4 / DPI
MIDDLE, THROUGH = 0.82, 0.58
"""Greys of the only depth and of what goes through."""
PIN = 3.0
RIM = 3
"""Pixels."""


def sheets(work: Work) -> Files:
    made = dict(setup_sheets.write(work))
    assert all(p.holds for p in setup_sheets.prove(work, made))
    for _, subject in setup_sheets.sheets_of(work):
        for sheet in setup_pages(subject, layout_of(subject)):
            assert not [c for c in collisions(sheet) if c.other not in OWN_CIRCLES]
            assert all(t.box.within(sheet.box.grown(-10.0)) for t in sheet.letters())
    return made


def words(data: bytes) -> str:
    return " ".join(" ".join(texts(data)).split())


class Seen:
    """The first page in grey, row 0 at its foot."""

    def __init__(self, data: bytes) -> None:
        with pypdfium2.PdfDocument(io.BytesIO(data)) as document:
            bitmap = document[0].render(scale=DPI / 72)
            rgb = np.asarray(bitmap.to_numpy())[::-1, :, :3].astype(float) / 255.0
        self.grey = rgb.mean(axis=2)
        self.plain = rgb.max(axis=2) - rgb.min(axis=2) < 0.01

    def box_of(self, grey: float) -> tuple[float, float, float, float]:
        """Return left, bottom, right, top of the largest run of a grey, mm: swatches of the legend are smaller."""
        mask = _eroded((abs(self.grey - grey) < 0.012) & self.plain, RIM)  # no edges of black lines
        rows = np.flatnonzero(mask.sum(1) > 20.0 / MM)
        columns = np.flatnonzero(mask[rows[0] : rows[-1]].sum(0) > 8.0 / MM)
        low, left = rows[0] - RIM, columns[0] - RIM
        return left * MM, low * MM, (columns[-1] + 1 + RIM) * MM, (rows[-1] + 1 + RIM) * MM

    def is_grey(self, x: float, y: float, grey: float) -> bool:
        """Return True if the most of a square of 1 mm about a place has a grey."""
        a, b = round((x - 0.5) / MM), round((y - 0.5) / MM)
        n = round(1.0 / MM)
        return bool((abs(self.grey[b : b + n, a : a + n] - grey) < 0.012).mean() > 0.5)


def test_the_bottom_face_is_drawn_as_the_machine_sees_it(tmp_path):
    """The pocket, 46.6 by 22.6 about (11, 3), lies about (-3, 3) when the blank is turned about x = 4 (by hand)."""
    seen = Seen(sheets(plate(tmp_path))["setups/setup-1.pdf"])
    left, bottom, right, top = seen.box_of(MIDDLE)
    scale = (right - left) / 46.6
    # the corners are round: rows shorter than 20 mm are not counted, so the height is told by the middle
    x0, y0 = (left + right) / 2.0 - scale * -3.0, (bottom + top) / 2.0 - scale * 3.0
    for y in (-42.0, 47.0):
        off = 1.5 * scale  # beside the flip axis
        assert seen.is_grey(x0 + 4.0 * scale + off, y0 + y * scale, THROUGH)
        assert not seen.is_grey(x0 + 4.0 * scale + (PIN + 1.5) * scale, y0 + y * scale, THROUGH)


def test_holes_of_the_top_face_lie_where_their_table_says(tmp_path):
    data = sheets(plate(tmp_path))["setups/setup-2.pdf"]
    seen = Seen(data)
    black = seen.grey < 0.02
    black[round(260.0 / MM) :] = False  # the heading
    rows, columns = np.nonzero(_eroded(black, round(1.2 / MM)))
    low, high = rows < rows.mean(), rows >= rows.mean()
    pins = [((columns[m].mean() + 0.5) * MM, (rows[m].mean() + 0.5) * MM) for m in (low, high)]
    scale = (pins[1][1] - pins[0][1]) / 89.0  # D1 at (4, -42), D2 at (4, 47)
    assert pins[1][0] - pins[0][0] == pytest.approx(0.0, abs=0.1)
    x, y = pins[0][0] + 20.0 * scale, pins[0][1] + 45.0 * scale  # the hole at (24, 3), 4.5 across
    for dx, dy in ((0.0, 0.0), (-1.2, 0.0), (0.0, 1.2), (0.0, -1.2)):
        assert seen.is_grey(x + dx * scale, y + dy * scale, THROUGH)
    for dx, dy in ((-3.2, 0.0), (0.0, -3.2)):
        assert not seen.is_grey(x + dx * scale, y + dy * scale, THROUGH)
    told = words(data)
    assert "24.00 3.00 ⌀4.5 through" in told
    assert "−2.00 3.00 ⌀4.5 through" in told
    assert "D1 is x=4.00, y=−42.00" in told


def _eroded(mask: np.ndarray, by: int) -> np.ndarray:
    """Return what of a mask is left when a square of so many pixels either way must lie in it."""
    for axis in (0, 1):
        rows = [np.roll(mask, shift, axis) for shift in range(-by, by + 1)]
        mask = np.logical_and.reduce(rows)
    return mask


def test_without_dowels_two_edges_register_the_blank_and_one_changes_sides(tmp_path):
    """The blank is 152 by 118 about the part's middle and turned about x = 0: left at -76 becomes right at 76."""
    made = sheets(plate(tmp_path, ""))
    first, second = words(made["setups/setup-1.pdf"]), words(made["setups/setup-2.pdf"])
    assert "left edge x=−76.00, lower edge y=−59.00" in first
    assert "right edge x=76.00, lower edge y=−59.00" in second
    assert "D1" not in first + second


def test_turned_about_x_the_edge_in_front_goes_to_the_back(tmp_path):
    told = words(sheets(plate(tmp_path, "dowels: {diameter: 6, axis: x, at: [-52, 60]}\n"))["setups/setup-2.pdf"])
    assert "front and back change places" in told


def test_tabs_and_clamps_are_drawn_and_told(tmp_path):
    """A clamp at (-63, 10) is at (71, 10) in setup 1: 2 · 4 + 63."""
    held = (
        "holding: {by: tabs, width: 5, thickness: 1.2, at: [20, 160, 200, 340], clamps: [[-63, 10], [60, -20]], "
        "clamp_radius: 9}\n"
    )
    work = plate(tmp_path, DOWELS + held)
    made = sheets(work)
    second = words(made["setups/setup-2.pdf"])
    assert second.count("tab ") >= 4
    assert second.count("clamp ") >= 2
    assert "Leave 4 tabs, 5 mm wide and 1.2 mm thick." in second
    assert "leave 4 tabs" in second
    assert "keep 9 off" in second
    assert "tab " not in words(made["setups/setup-1.pdf"])
    (_, first), _ = setup_sheets.sheets_of(work)
    page = setup_pages(first, layout_of(first))[0]
    drawn = {d.name: d for d in page.drawn() if d.name in ("clamp", "cut-1")}
    circles = [d for d in page.drawn() if d.name == "clamp"]
    pins = drawn["cut-1"].tracks
    middles = [(sum(v.x for v in c.tracks[0].vertices) / 2.0, c.tracks[0].vertices[0].y) for c in circles]
    (x0, y0), (_, y1) = sorted((sum(v.x for v in t.vertices) / 2.0, t.vertices[0].y) for t in pins)
    scale = abs(y1 - y0) / 89.0
    low = min(y0, y1)
    assert ((middles[0][0] - x0) / scale, (middles[0][1] - low) / scale) == pytest.approx((67.0, 52.0), abs=1e-6)


def test_depths_from_the_bottom_face_put_zero_of_z_on_what_the_blank_lies_on(tmp_path):
    made = sheets(plate(tmp_path, DOWELS, "cover.stock.depths_from=bottom face"))
    assert "Touch what the blank lies on and set z=−9:" in words(made["setups/setup-2.pdf"])
    assert "0 on the face that is up, the bottom face." in words(made["setups/setup-1.pdf"])
    own = sheets(plate(tmp_path))
    assert "0 on the face that is up, the top face." in words(own["setups/setup-2.pdf"])


def test_cutters_that_were_assumed_are_named(tmp_path):
    told = words(sheets(plate(tmp_path))["setups/setup-2.pdf"])
    assert "ASSUMED CUTTERS (the recipe names no tools)" in told
    some = plate(tmp_path, DOWELS + "tools: {rougher: {kind: end mill, diameter: 4, flute_length: 12}}\n")
    told = words(sheets(some)["setups/setup-2.pdf"])
    assert "not among the recipe's tools" in told
    assert "rougher, 2 edges" in told


def test_many_holes_go_on_in_a_table_of_their_own(tmp_path):
    rows = "\n".join(
        f"    vent-{k}: {{outline: {{disc: {{radius: 1, centre: [{-30 + 5 * (k % 13)}, {-20 + 8 * (k // 13)}]}}}}}}"
        for k in range(65)
    )
    many = plate(tmp_path, DOWELS, under_original=f"  openings:\n{rows}\n")
    told = words(sheets(many)["setups/setup-2.pdf"])
    assert "B65" in told
    assert "Holes from zero" in told


def test_long_names_of_layers_stay_in_their_column(tmp_path):
    name = "badge-of-the-society-for-old-street-lamps"
    inlay = (
        f"inlays:\n  {name}:\n    material: CuZn37 R350\n    stock: {{thickness: 1}}\n"
        "    outline: {rectangle: {size: [20, 8], radius: 3, centre: [11, -14]}}\n"
    )
    work = plate(tmp_path, DOWELS + inlay)
    made = sheets(work)
    assert set(made) == {"setups/setup-1.pdf", "setups/setup-2.pdf", f"setups/setup-insert-{name}.pdf"}
    second = dict(setup_sheets.sheets_of(work))["setups/setup-2.pdf"]
    small = [t for page in setup_pages(second, layout_of(second)) for t in page.letters() if t.height_mm == LEAST_MM]
    assert f"cover_top-face_inlay-pocket-{name}" in "".join(t.text for t in small)


def test_measures_are_those_of_the_inspection_sheet(tmp_path):
    """The pocket is the footprint and 0.3 of clearance all round: 46.6 by 22.6, held within 0.05."""
    told = words(sheets(plate(tmp_path))["setups/setup-1.pdf"])
    assert "Measure before turning over" in told
    assert "46.60 46.55 – 46.65" in told
    assert "6.00 – 6.012" in told  # H7 of 6 mm: 0 to +12 µm, ISO 286-2
    assert "Measure before unclamping" in words(sheets(plate(tmp_path))["setups/setup-2.pdf"])


def test_a_date_stands_on_the_sheet_only_if_the_recipe_gives_one(tmp_path):
    assert "2026-05-04" not in words(sheets(plate(tmp_path))["setups/setup-1.pdf"])
    assert "2026-05-04" in words(sheets(plate(tmp_path, DOWELS, "order.date=2026-05-04"))["setups/setup-1.pdf"])


@pytest.mark.parametrize("dowels", ["", DOWELS, "dowels: {diameter: 4, place: inside, at: [-18, 18]}\n"])
def test_a_hole_has_one_name_on_drawing_and_setup_sheets(tmp_path, dowels):
    """Positions of the drawing's holes, turned over about the flip axis by hand, against the tables of both setups."""
    from generator.paper.drawing.marks import holes_of as drawn_holes
    from generator.paper.setup.holes import holes_of as told_holes

    at = "original.bolts.0.at=[[24, 3], [-2, 8], [11, -4], [12, 8]]"
    work = plate(tmp_path, "  seats: {screw: ISO 10642}\n" + dowels, at)
    drawn = {h.mark: h.at for kind in drawn_holes(work.plan.cover) for h in kind.holes}
    assert len(drawn) >= 4
    flip = work.plan.flip
    told: set[str] = set()
    for _, subject in setup_sheets.sheets_of(work):
        turned = subject.setup.face.value == "bottom"
        for hole in told_holes(subject):
            if hole.mark in drawn:
                at = drawn[hole.mark]
                x = 2.0 * flip.at_mm - at.x if turned and flip.direction == "y" else at.x
                y = 2.0 * flip.at_mm - at.y if turned and flip.direction == "x" else at.y
                assert (hole.at.x, hole.at.y) == (pytest.approx(x, abs=1e-6), pytest.approx(y, abs=1e-6))
                told.add(hole.mark)
            else:
                assert hole.mark.startswith("D")
                assert not dowels.count("inside")
    assert told == set(drawn)
