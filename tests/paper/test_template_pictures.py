"""1:1 prints measured in pictures of 600 dpi against the numbers of their recipes, across joints, too."""

from __future__ import annotations

from math import cos, hypot, pi, sin

import numpy as np
import pytest
from paper_pictures import Picture, texts

from generator import api
from generator.base.paper_sizes import FORMATS, format_of
from generator.paper.letters import width_mm
from generator.paper.pdf import pdf_bytes
from generator.paper.printed_bars import Correction, correction_of
from generator.paper.printer_page import printer_page
from generator.paper.template_frame import frame_of
from generator.paper.template_pages import PrintFacts, pages_of
from generator.paper.templates import templates_of
from generator.recipe.model_paper import PrintedBars

CLOSE_MM = 0.05
PLATE = """\
name: plate
title: Plate of a bench
units: {units}
original:
  height: 3 mm
  load_bearing: false
  footprint: {{rectangle: {{size: [{width} mm, {height} mm], radius: {radius} mm}}}}
  bolts:
    - {{thread: M8, at: [[-{x} mm, -{y} mm], [{x} mm, -{y} mm], [{x} mm, {y} mm], [-{x} mm, {y} mm]]}}
cover:
  stock: {{thickness: 8 mm}}
  outer: {{even_margin: {{margin: 6 mm}}}}
"""
SMALL = {"width": 140.0, "height": 90.0, "radius": 20.0, "x": 55.0, "y": 30.0}
LARGE = {"width": 400.0, "height": 260.0, "radius": 40.0, "x": 170.0, "y": 100.0}
HOLE_MM = 9.0
"""Clearance hole of M8, medium: ISO 273, in every table of screws."""
REACH_MM = HOLE_MM / 2.0 + 6.0


@pytest.fixture(scope="module")
def printed(tmp_path_factory):
    """Return a function from sizes, paper, readings to template name → (bytes, pages)."""
    folder = tmp_path_factory.mktemp("plates")

    def make(sizes, paper="A4", bars=None, units="mm", date=""):
        path = folder / "plate.yaml"
        path.write_text(PLATE.format(units=units, **sizes), encoding="utf-8")
        plan = api.check(path).plan
        facts = PrintFacts(plan.name, plan.title, plan.revision, date, plan.units, FORMATS[paper], correction_of(bars))
        out = {}
        for template in templates_of(plan):
            pages = pages_of(template, facts)
            out[template.name] = (pdf_bytes([p.sheet for p in pages], title="t"), pages)
        return out

    return make


def measured_bars(picture: Picture, page) -> dict[str, list[float]]:
    """Distances of the long marks from zero, measured above the ticks."""
    frame = page.frame
    (x, y), (u, v) = frame.across.zero, frame.upright.zero
    level = picture.lines_across(y + 4.3, x - 3.0, x + frame.across.length_mm + 3.0)
    upright = picture.lines_up(u - 4.3, v - 3.0, v + frame.upright.length_mm + 3.0)
    return {
        frame.across.axis: [m - level[0] for m in level[1:]],
        frame.upright.axis: [m - upright[0] for m in upright[1:]],
    }


@pytest.mark.parametrize("paper", ["A4", "Letter", "A3"])
def test_bars_square_and_circle_measure_what_they_say(printed, paper):
    data, (page,) = printed(SMALL, paper)["cover"]
    picture = Picture(data)
    bars = measured_bars(picture, page)
    assert bars["x"] == pytest.approx([100.0, 150.0], abs=CLOSE_MM)
    assert bars["y"] == pytest.approx([100.0, 150.0, 200.0], abs=CLOSE_MM)
    (cx, cy) = page.frame.square.centre
    level = picture.lines_across(cy + 9.0, cx - 13.0, cx + 13.0)
    assert level[-1] - level[0] == pytest.approx(24.0, abs=CLOSE_MM)
    upright = picture.lines_up(cx + 9.0, cy - 13.0, cy + 13.0)
    assert upright[-1] - upright[0] == pytest.approx(24.0, abs=CLOSE_MM)
    # a chord 3 mm off the centre of a circle of 16 mm: 2 sqrt(64 - 9)
    chord = picture.lines_across(cy + 3.0, cx - 9.0, cx + 9.0)
    assert chord[-1] - chord[0] == pytest.approx(2.0 * 55.0**0.5, abs=CLOSE_MM)


def on_sheet(page, x, y):
    return page.placing.point(x, y)


@pytest.mark.parametrize(("name", "more"), [("footprint", 0.0), ("cover", 6.3)])
def test_hole_centres_and_outline_lie_where_the_recipe_says(printed, name, more):
    """The cover is larger by its clearance, 0.3 mm without a word, and its margin."""
    data, (page,) = printed(SMALL)[name]
    picture = Picture(data)
    x, y = SMALL["x"], SMALL["y"]
    centres = [picture.centre_near(*on_sheet(page, sx * x, sy * y), HOLE_MM / 2.0, REACH_MM) for sx, sy in CORNERS]
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = centres
    assert [bx - ax, cx - dx] == pytest.approx([2 * x, 2 * x], abs=CLOSE_MM)
    assert [dy - ay, cy - by] == pytest.approx([2 * y, 2 * y], abs=CLOSE_MM)
    mx, my = np.mean(centres, axis=0)
    half_w, half_h, r = SMALL["width"] / 2 + more, SMALL["height"] / 2 + more, SMALL["radius"] + more
    for off in (-20.0, 0.0, 20.0):
        sides = picture.lines_across(my + off, mx - half_w - 3.0, mx + half_w + 3.0)
        assert [sides[0] - mx, sides[-1] - mx] == pytest.approx([-half_w, half_w], abs=CLOSE_MM)
        sides = picture.lines_up(mx + off, my - half_h - 3.0, my + half_h + 3.0)
        assert [sides[0] - my, sides[-1] - my] == pytest.approx([-half_h, half_h], abs=CLOSE_MM)
    # the rounded corner, crossed on a level line 60 degrees up its arc: a slanted line is measured across, so its
    # middle on the level line is off by nothing
    level = my + half_h - r + r * sin(pi / 3)
    left = picture.lines_across(level, mx - half_w - 3.0, mx - half_w + r)
    assert left[0] - mx == pytest.approx(-half_w + r - r * cos(pi / 3), abs=CLOSE_MM)


CORNERS = ((-1, -1), (1, -1), (1, 1), (-1, 1))


def test_a_printer_that_is_off_prints_right_after_its_readings(printed):
    """The picture is what goes to the printer; the paper is that times what this printer does."""
    bars = PrintedBars(x=99.2, y=200.9)
    does = {"x": 0.992, "y": 200.9 / 200.0}
    data, (page,) = printed(SMALL, bars=bars)["cover"]
    picture = Picture(data)
    # nothing of the page is where it was, so all is sought about its middle
    width, height = picture.size_mm
    kx, ky = 1.0 / does["x"], 1.0 / does["y"]
    at = [
        (width / 2 + kx * (u - width / 2), height / 2 + ky * (v - height / 2))
        for u, v in (on_sheet(page, sx * SMALL["x"], sy * SMALL["y"]) for sx, sy in CORNERS)
    ]
    found = [picture.centre_near(u, v, HOLE_MM / 2.0, REACH_MM) for u, v in at]
    assert (found[1][0] - found[0][0]) * does["x"] == pytest.approx(2 * SMALL["x"], abs=CLOSE_MM)
    assert (found[3][1] - found[0][1]) * does["y"] == pytest.approx(2 * SMALL["y"], abs=CLOSE_MM)
    assert "Enlarged by 0.81 % in x, reduced by 0.45 % in y after bars of 99.2 and 200.9 mm." in texts(data)[0]


def test_on_a_landscape_sheet_the_readings_go_by_the_sides_of_the_paper(printed):
    long = {"width": 230.0, "height": 60.0, "radius": 10.0, "x": 100.0, "y": 15.0}
    data, (page,) = printed(long, bars=PrintedBars(x=99.0, y=101.0))["footprint"]
    picture = Picture(data)
    assert picture.size_mm[0] > picture.size_mm[1]
    left, right = (
        picture.centre_near(
            148.5 + (on_sheet(page, s * 100.0, 15.0)[0] - 148.5) / 1.01,
            105.0 + (on_sheet(page, s * 100.0, 15.0)[1] - 105.0) / 0.99,
            HOLE_MM / 2.0,
            REACH_MM,
        )
        for s in (-1, 1)
    )
    # across this page lies the long side of the paper, along which bar y was too long
    assert (right[0] - left[0]) * 1.01 == pytest.approx(200.0, abs=CLOSE_MM)


def joined(pictures: dict[str, Picture], one: str, other: str, way: int):
    """Return the function from places on sheet ``other`` to places on sheet ``one``, by the marks at their joint.

    ``way`` 0: side by side, so the marks are those farthest right on one and farthest left on the other; 1: one above.
    """
    if way == 0:
        a = sorted(sorted(pictures[one].marks(), key=lambda p: -p[0])[:2], key=lambda p: p[1])
        b = sorted(sorted(pictures[other].marks(), key=lambda p: p[0])[:2], key=lambda p: p[1])
    else:
        a = sorted(sorted(pictures[one].marks(), key=lambda p: p[1])[:2])
        b = sorted(sorted(pictures[other].marks(), key=lambda p: -p[1])[:2])
    (ax, ay), (bx, by) = (np.subtract(p[1], p[0]) for p in (a, b))
    assert hypot(ax, ay) == pytest.approx(hypot(bx, by), abs=CLOSE_MM)
    turn = np.arctan2(ay, ax) - np.arctan2(by, bx)
    c, s = cos(turn), sin(turn)
    middle_a, middle_b = np.mean(a, axis=0), np.mean(b, axis=0)
    return lambda p: middle_a + np.array([[c, -s], [s, c]]) @ (np.asarray(p) - middle_b)


@pytest.fixture(scope="module")
def tiled(printed):
    data, pages = printed(LARGE)["footprint"]
    return data, pages, {p.tile.name: Picture(data, i) for i, p in enumerate(pages)}


def test_an_original_of_400_mm_goes_over_four_sheets_of_a4(tiled):
    data, pages, _ = tiled
    assert [p.tile.name for p in pages] == ["A1", "B1", "A2", "B2"]
    for page, text in zip(pages, texts(data), strict=True):
        assert f"sheet {page.tile.name}" in text
        assert "of 4" in text


def test_every_sheet_has_its_bars(tiled):
    _, pages, pictures = tiled
    for page in pages:
        bars = measured_bars(pictures[page.tile.name], page)
        assert bars["x"] == pytest.approx([100.0, 150.0], abs=CLOSE_MM)
        assert bars["y"] == pytest.approx([100.0, 150.0, 200.0], abs=CLOSE_MM)


def test_put_together_by_their_marks_the_sheets_measure_as_one(tiled):
    _, pages, pictures = tiled
    by_name = {p.tile.name: p for p in pages}
    onto = {
        "A1": lambda p: np.asarray(p),
        "B1": joined(pictures, "A1", "B1", 0),
        "A2": joined(pictures, "A1", "A2", 1),
    }
    b2_to_a2 = joined(pictures, "A2", "B2", 0)
    onto["B2"] = lambda p: onto["A2"](b2_to_a2(p))
    x, y, half = LARGE["x"], LARGE["y"], LARGE["width"] / 2.0
    holes, ends = {}, {}
    for name, page in by_name.items():
        (corner,) = [c for c in CORNERS if inside(page, c[0] * x, c[1] * y)]
        picture = pictures[name]
        u, v = on_sheet(page, corner[0] * x, corner[1] * y)
        holes[corner] = onto[name](picture.centre_near(u, v, HOLE_MM / 2.0, REACH_MM))
        # the short sides lie across the sheets: the part is turned by a quarter
        u, v = on_sheet(page, corner[0] * half, corner[1] * 60.0)
        (level,) = picture.lines_up(u, v - 2.0, v + 2.0)
        ends[corner] = onto[name]((u, level))
    for one, other, far in (
        ((-1, 1), (1, 1), 2 * x),
        ((-1, -1), (1, -1), 2 * x),
        ((-1, -1), (-1, 1), 2 * y),
        ((1, -1), (1, 1), 2 * y),
        ((-1, -1), (1, 1), hypot(2 * x, 2 * y)),
        ((1, -1), (-1, 1), hypot(2 * x, 2 * y)),
    ):
        assert np.linalg.norm(holes[other] - holes[one]) == pytest.approx(far, abs=CLOSE_MM)
    for side in (-1, 1):
        across = ends[1, side] - ends[-1, side]
        assert abs(across[1]) == pytest.approx(400.0, abs=CLOSE_MM)


def inside(page, x, y):
    """Say whether a place of the part is seen on a sheet."""
    u, v = on_sheet(page, x, y)
    return page.window.left < u < page.window.right and page.window.bottom < v < page.window.top


def test_what_is_near_a_joint_is_on_both_sheets_alike(tiled):
    """The end of the plate runs across the joint of A1 and B1, and is seen on both as far as the shared strip goes."""
    _, pages, pictures = tiled
    a1, b1 = (next(p for p in pages if p.tile.name == name) for name in ("A1", "B1"))
    to_a1 = joined(pictures, "A1", "B1", 0)
    level = max(on_sheet(b1, s * LARGE["width"] / 2.0, 0.0)[1] for s in (-1, 1))
    joint = b1.window.left + b1.tile.core.left - b1.tile.window.left
    for off in (-6.0, 6.0):
        (on_b1,) = pictures["B1"].lines_up(joint + off, level - 2.0, level + 2.0)
        u, v = to_a1((joint + off, on_b1))
        (on_a1,) = pictures["A1"].lines_up(u, v - 2.0, v + 2.0)
        assert on_a1 == pytest.approx(v, abs=CLOSE_MM)
    assert a1.window.right - a1.window.left - (a1.tile.core.right - a1.tile.core.left) == pytest.approx(8.0)


@pytest.mark.parametrize("paper", ["A4", "Letter", "A3"])
@pytest.mark.parametrize("bars", [None, PrintedBars(x=95.1, y=95.1), PrintedBars(x=104.9, y=190.5)])
def test_ten_millimetres_at_the_edges_stay_clear(printed, paper, bars):
    """Whatever the printer is given, so that nothing lies in the strip that folds or that printers leave out."""
    for data, pages in printed(LARGE, paper, bars).values():
        picture = Picture(data, len(pages) - 1)
        left, bottom, right, top = picture.ink_box()
        width, height = picture.size_mm
        assert min(left, bottom, width - right, height - top) >= 10.0


def test_crosshairs_show_beyond_a_punched_hole(printed):
    data, (page,) = printed(SMALL)["cover"]
    picture = Picture(data)
    x, y = on_sheet(page, SMALL["x"], SMALL["y"])
    punched = HOLE_MM / 2.0 + 3.0  # a punch that is 6 mm wider than the hole
    for u, v in ((x + punched + 2, y), (x - punched - 2, y), (x, y + punched + 2), (x, y - punched - 2)):
        assert picture.cut(u - 0.5, v - 0.5, u + 0.5, v + 0.5).max() > 0.9


def test_words_of_a_first_print(printed):
    for data, _ in printed(SMALL).values():
        (text,) = texts(data)
        for words in ("Plate of a bench", "revision A", "scale 1:1", "100 %, actual size", "--printed-bar x=99.6,y="):
            assert words in text
        assert "2026" not in text
    for data, _ in printed(SMALL, date="2026-05-04").values():
        assert "2026-05-04" in texts(data)[0]


def test_a_recipe_in_inches_is_printed_as_large_and_told_inches(printed):
    data, (page,) = printed(SMALL, units="inch", bars=PrintedBars(x=99.6, y=100.0))["cover"]
    text = texts(data)[0]
    assert "after bars of 3.9213 and 3.937 in" in text
    assert "7.874 in" in text  # 200 / 25.4
    picture = Picture(data)
    bars = measured_bars(picture, page)
    assert [b * 0.996 for b in bars["x"]] == pytest.approx([100.0, 150.0], abs=CLOSE_MM)


def test_the_printer_page_measures_right():
    data = pdf_bytes([printer_page(FORMATS["A4"], correction_of(None))], title="t")
    picture = Picture(data)
    left, _, _, top = picture.ink_box()
    # the square's upper left corner is the highest ink; the bar beside it reaches farther left
    row = picture.lines_across(top - 50.0, left, 200.0)
    upright = picture.lines_up(row[0] + 20.0, top - 110.0, top + 1.0)
    assert pytest.approx(upright[-1] - upright[0], abs=CLOSE_MM) == 100.0
    text = texts(data)[0]
    for words in ("100 %, actual size", "diagonals", "141.4", "--printed-bar", "--printer FILE"):
        assert words in text


def test_a_long_title_leaves_the_heading_that_tells_the_sheet():
    paper, head = format_of("A4"), "cover, outline and holes, B2"
    frame = frame_of(paper, Correction(), head, "loud", (), with_key=True, title="A long title of a gate " * 9)
    text, height, bold = frame.lines[0]
    assert text.startswith("A long")
    assert text.endswith(f"…: {head}")
    assert width_mm(text, height, bold=bold) <= frame.words.width + 1e-6
