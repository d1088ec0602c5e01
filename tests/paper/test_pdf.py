"""Sheets as PDF, measured with a renderer and a text reader that the package does not use."""

from __future__ import annotations

import io
from math import pi

import numpy as np
import pypdfium2
import pytest

from generator.base.paper_sizes import FORMATS
from generator.outline.contour import Point
from generator.outline.create import circle as disc
from generator.outline.region import Region
from generator.outline.transform import moved
from generator.paper.box import Box
from generator.paper.letters import HEIGHTS_MM, width_mm
from generator.paper.lines import CENTRE, HIDDEN, NARROW, VISIBLE
from generator.paper.pdf import pdf_bytes
from generator.paper.pdf_proof import deviation_mm
from generator.paper.pdf_read import PdfError, read_pdf
from generator.paper.sheet import Easel, Letters, Sheet, arc, circle, line, rectangle

A4 = FORMATS["A4"]
DPI = 600
RING = Region((disc(Point(100.0, 150.0), 40.0), disc(Point(100.0, 150.0), 25.0).reversed()))


def one_page(easel: Easel, stretch=(1.0, 1.0)) -> bytes:
    return pdf_bytes([Sheet(A4, tuple(easel.items), stretch=stretch)], title="test")


def inked(data: bytes, page: int = 0) -> np.ndarray:
    """Rows from the top of the page, True where there is ink, at 600 dots an inch."""
    with pypdfium2.PdfDocument(io.BytesIO(data)) as document:
        bitmap = document[page].render(scale=DPI / 72, grayscale=True)
        return np.asarray(bitmap.to_numpy()).reshape(bitmap.height, bitmap.width) < 128


def inked_box(ink: np.ndarray) -> Box:
    rows, columns = np.flatnonzero(ink.any(1)), np.flatnonzero(ink.any(0))
    mm = 25.4 / DPI
    height = ink.shape[0]
    return Box(columns[0] * mm, (height - 1 - rows[-1]) * mm, (columns[-1] + 1) * mm, (height - rows[0]) * mm)


def test_a_filled_ring_has_the_place_and_the_area_that_it_should_have():
    easel = Easel()
    easel.region(RING, kind=None, fill=(0, 0, 0), name="ring")
    ink = inked(one_page(easel))
    assert inked_box(ink) == pytest.approx((60.0, 110.0, 140.0, 190.0), abs=0.05)
    assert ink.sum() * (25.4 / DPI) ** 2 == pytest.approx(pi * (40.0**2 - 25.0**2), rel=2e-4)


def test_a_stretched_sheet_is_larger_from_its_middle_by_just_that():
    easel = Easel()
    easel.draw(rectangle(Box(20.0, 20.0, 190.0, 277.0)), kind=None, fill=(0, 0, 0))
    box = inked_box(inked(one_page(easel, (1.01, 0.99))))
    assert (box.width, box.height) == pytest.approx((170.0 * 1.01, 257.0 * 0.99), abs=0.05)
    assert box.centre == pytest.approx((105.0, 148.5), abs=0.05)


def test_the_pages_size_and_texts_are_read_by_another_library():
    easel = Easel()
    easel.write("Höhe 12.34 ⌀6.6", (30.0, 40.0), 5.0)
    data = one_page(easel)
    with pypdfium2.PdfDocument(io.BytesIO(data)) as document:
        assert [v * 25.4 / 72 for v in document[0].get_size()] == pytest.approx([210.0, 297.0], abs=1e-3)
        assert document[0].get_textpage().get_text_bounded().strip() == "Höhe 12.34 ⌀6.6"


@pytest.mark.parametrize("height", HEIGHTS_MM)
def test_capitals_are_as_high_as_they_are_said_to_be(height):
    easel = Easel()
    easel.write("HEH", (30.0, 100.0), height)
    box = inked_box(inked(one_page(easel)))
    assert box.height == pytest.approx(height, abs=0.09)
    assert box.left > 30.0
    assert box.right == pytest.approx(30.0 + width_mm("HEH", height), abs=0.2 * height)


@pytest.mark.parametrize("turn", [0.0, 30.0, 90.0])
@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
@pytest.mark.parametrize("bold", [False, True])
def test_no_ink_of_a_text_lies_outside_its_box(turn, anchor, bold):
    text = Letters("Ág (j) ⌀6.6 H7 ±0.05 µm", (105.0, 150.0), 5.0, anchor, turn, bold)
    ink = inked(pdf_bytes([Sheet(A4, (text,))], title="t"))
    assert inked_box(ink).within(text.box.grown(0.2))
    assert inked_box(ink).width > 0.9 * text.box.width


def test_a_character_that_the_face_lacks_is_a_question_mark_and_no_box():
    easel = Easel()
    easel.write("名 7", (30.0, 40.0))
    (page,) = read_pdf(one_page(easel))
    assert [t.text for t in page.texts] == ["? 7"]


@pytest.mark.parametrize("stretch", [(1.0, 1.0), (1.004, 0.997)])
def test_reading_back_finds_the_region_where_it_was_drawn(stretch):
    easel = Easel()
    easel.region(RING, kind=VISIBLE, name="ring")
    easel.draw(line((0, 0), (10, 10)), arc((50, 50), 10, 0.0, 1.5 * pi), kind=CENTRE)
    (page,) = read_pdf(one_page(easel, stretch))
    assert page.size_mm == pytest.approx((210.0, 297.0), abs=1e-3)
    named = page.named("ring")
    middle = (105.0, 148.5)
    assert deviation_mm(named, RING, stretch=stretch, middle=middle) < 2e-4
    elsewhere = moved(RING, 0.01, 0.0)
    assert deviation_mm(named, elsewhere, stretch=stretch, middle=middle) == pytest.approx(0.01, abs=1e-3)


def test_a_contour_that_is_missing_is_infinitely_far():
    easel = Easel()
    easel.region(Region(RING.contours[:1]), kind=VISIBLE, name="ring")
    (page,) = read_pdf(one_page(easel))
    assert deviation_mm(page.named("ring"), RING) == float("inf")


def test_a_window_shows_only_what_lies_in_it():
    inner, outer = Easel(), Easel()
    inner.draw(rectangle(Box(10.0, 10.0, 200.0, 280.0)), kind=None, fill=(0, 0, 0))
    outer.window(inner.items, Box(50.0, 60.0, 120.0, 150.0))
    assert inked_box(inked(one_page(outer))) == pytest.approx((50.0, 60.0, 120.0, 150.0), abs=0.05)


def test_lines_are_as_thick_and_as_dashed_as_their_kind():
    easel = Easel()
    easel.draw(line((20.0, 100.0), (190.0, 100.0)), kind=VISIBLE)
    easel.draw(line((20.0, 200.0), (190.0, 200.0)), kind=HIDDEN)
    easel.draw(line((20.0, 250.0), (190.0, 250.0)), kind=NARROW)
    ink = inked(one_page(easel))
    mm = DPI / 25.4
    at = lambda y: ink[round((297.0 - y - 2.0) * mm) : round((297.0 - y + 2.0) * mm), :]  # noqa: E731
    column = round(100.0 * mm)
    assert at(100.0)[:, column].sum() / mm == pytest.approx(0.5, abs=0.06)
    assert at(250.0)[:, column].sum() / mm == pytest.approx(0.25, abs=0.06)
    share = at(200.0).any(0)[round(20.0 * mm) : round(190.0 * mm)].mean()
    assert share == pytest.approx(12.0 / 15.0, abs=0.02)  # dash 12, gap 3 line widths: from memory


@pytest.mark.parametrize("length", [4.0, 7.0, 9.1, 12.0, 20.0, 33.3, 150.0])
def test_a_chain_line_begins_and_ends_with_a_dash(length):
    """ISO 128-2 (from memory): chain lines end with dashes, and short ones may be continuous."""
    easel = Easel()
    easel.draw(line((20.0, 100.0), (20.0 + length, 100.0)), line((10.0, 120.0), (10.0, 120.0 + length)), kind=CENTRE)
    ink = inked(one_page(easel))
    mm = DPI / 25.4
    for run in (ink[round(197.0 * mm)], ink[:, round(10.0 * mm)]):
        marks = np.flatnonzero(np.diff(np.concatenate(([False], run, [False])).astype(int))).reshape(-1, 2)
        long = (marks[:, 1] - marks[:, 0]) / mm
        assert long[[0, -1]] == pytest.approx(6.0 if len(long) > 1 else length, rel=0.35)
        assert (marks[-1, 1] - marks[0, 0]) / mm == pytest.approx(length, abs=0.3)
        assert len(long) % 2 == 1  # dash, dot, dash


def test_the_same_sheets_give_the_same_bytes_and_no_date():
    easel = Easel()
    easel.write("Plain", (20, 20))
    easel.write("Bold", (20, 40), bold=True)
    easel.draw(circle((60, 60), 10), kind=NARROW)
    first, second = one_page(easel), one_page(easel)
    assert first == second
    assert b"CreationDate" not in first
    assert b"/PrintScaling /None" in first


def test_what_is_no_pdf_is_said_to_be_none():
    with pytest.raises(PdfError):
        read_pdf(b"%PDF-1.7 but not really")


def test_a_name_that_a_pdf_cannot_carry_is_refused():
    easel = Easel()
    easel.draw(circle((60, 60), 10), kind=NARROW, name="a name) BMC")
    with pytest.raises(ValueError, match="cannot be the name"):
        one_page(easel)
