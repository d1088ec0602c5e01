"""Drawings measured on the paper: sheet, frame, lettering, outlines, hatching, figures; with another's renderer."""

from __future__ import annotations

import io
import re
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from math import pi, sqrt

import numpy as np
import pypdfium2
import pytest
from drawing_recipes import DEMO, demo
from paper_pictures import DPI, Picture

from generator.base.paper_sizes import FORMATS
from generator.estimate.characteristics import Kind
from generator.outline.measure import area, bounds
from generator.paper.box import Box
from generator.paper.collisions import track_box
from generator.paper.drawing.drawing import Drawing, drawing_of, drawn_parts
from generator.paper.drawing.lettered import ARROW_MM
from generator.paper.drawing.section import stretches
from generator.paper.drawing.section_block import HATCH_MM
from generator.paper.drawing.sheet_frame import frame_box
from generator.paper.pdf import pdf_bytes
from generator.paper.sheet import Drawn, Sheet
from generator.part.slabs import slabs

HEIGHTS = {1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0}
"""Heights of lettering of ISO 3098, mm; from memory."""
ISO_216 = {"A4": (210, 297), "A3": (297, 420), "A2": (420, 594), "A1": (594, 841), "A0": (841, 1189)}
"""ISO 216:2007, table 1."""
DRAWING_SPACE = {"A4": (180, 277), "A3": (390, 277), "A2": (564, 400), "A1": (811, 574), "A0": (1159, 821)}
"""ISO 5457:1999, table 1: trimmed size less a margin of 20 mm on the left and 10 mm elsewhere."""
SCALES = {10, 5, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01}
"""ISO 5455:1979, table."""
NAMES = [p.stem for p in DEMO]


@cache
def drawings(name: str) -> tuple[Drawing, ...]:
    recipe, plan = demo(next(p for p in DEMO if p.stem == name))
    return tuple(drawing_of(recipe, plan, part) for part in drawn_parts(plan))


@cache
def pdf_of(name: str, part: int) -> bytes:
    return pdf_bytes(drawings(name)[part].sheets, title="drawing")


def rendered(sheet: Sheet, dpi: int = DPI) -> np.ndarray:
    """Rows from the top, True where there is ink."""
    with pypdfium2.PdfDocument(io.BytesIO(pdf_bytes([sheet], title="t"))) as document:
        bitmap = document[0].render(scale=dpi / 72, grayscale=True)
        return np.asarray(bitmap.to_numpy()).reshape(bitmap.height, bitmap.width) < 128


def only(sheet: Sheet, *names: str) -> Sheet:
    return Sheet(sheet.format, tuple(i for i in sheet.drawn() if i.name in names))


def drawn(sheet: Sheet, name: str) -> list[Drawn]:
    return [i for i in sheet.drawn() if i.name == name]


def box_of(items: list[Drawn]) -> Box:
    boxes = [track_box(t) for i in items for t in i.tracks]
    return Box(
        min(b.left for b in boxes), min(b.bottom for b in boxes), max(b.right for b in boxes), max(b.top for b in boxes)
    )


# ------------------------------------------------------------------ sheet
@pytest.mark.parametrize("name", NAMES)
def test_sheets_scales_and_lettering_are_those_of_the_standards(name):
    for drawing in drawings(name):
        assert drawing.scale in SCALES
        assert drawing.section_scale in SCALES
        for sheet in drawing.sheets:
            short, long = ISO_216[sheet.format.name]
            size = (short, long) if sheet.format.name == "A4" else (long, short)
            assert (sheet.format.width_mm, sheet.format.height_mm) == size
            assert {t.height_mm for t in sheet.letters()} <= HEIGHTS
            assert min(t.height_mm for t in sheet.letters()) >= 2.5


@pytest.mark.parametrize("form", DRAWING_SPACE)
def test_the_drawing_space_is_that_of_the_standard(form):
    size = FORMATS[form].portrait if form == "A4" else FORMATS[form].landscape
    box = frame_box(size)
    assert (box.width, box.height) == DRAWING_SPACE[form]
    assert (box.left, box.bottom) == (20.0, 10.0)


def test_the_frame_lies_on_the_paper_where_it_should():
    (sheet,) = [d.sheets[0] for d in drawings("gate-latch")][:1]
    ink = rendered(only(sheet, "frame"))
    mm = 25.4 / DPI
    rows, columns = np.flatnonzero(ink.any(1)), np.flatnonzero(ink.any(0))
    # half of the line lies outside: 0.7 mm wide
    assert columns[0] * mm == pytest.approx(20.0 - 0.35, abs=0.06)
    assert (columns[-1] + 1) * mm == pytest.approx(420.0 - 10.0 + 0.35, abs=0.06)
    assert rows[0] * mm == pytest.approx(10.0 - 0.35, abs=0.06)
    assert (rows[-1] + 1) * mm == pytest.approx(297.0 - 10.0 + 0.35, abs=0.06)


def test_centring_marks_lie_in_the_middle_of_the_sides():
    sheet = drawings("gate-latch")[0].sheets[0]
    ink = rendered(only(sheet, "centring-marks"))
    mm = 25.4 / DPI
    top = np.flatnonzero(ink[: round(15 / mm), :].any(0)) * mm
    left = np.flatnonzero(ink[:, : round(25 / mm)].any(1)) * mm
    assert top.mean() == pytest.approx(210.0, abs=0.05)
    assert left.mean() == pytest.approx(297.0 / 2, abs=0.05)
    assert np.ptp(top) == pytest.approx(0.7, abs=0.08)


# ------------------------------------------------------------------ what is drawn
@pytest.mark.parametrize("name", ["gate-latch", "telescope-pier", "well-pump"])
def test_the_outline_on_the_paper_is_as_large_as_the_part_at_its_scale(name):
    drawing = drawings(name)[0]
    ink = rendered(only(drawing.sheets[0], "top_outer-profile"))
    mm = 25.4 / DPI
    rows, columns = np.flatnonzero(ink.any(1)), np.flatnonzero(ink.any(0))
    part = bounds(drawing.subject.said.part.profile)
    assert (columns[-1] + 1 - columns[0]) * mm - 0.5 == pytest.approx(part.width_mm * drawing.scale, abs=0.08)
    assert (rows[-1] + 1 - rows[0]) * mm - 0.5 == pytest.approx(part.height_mm * drawing.scale, abs=0.08)


def closed_section(drawing: Drawing) -> float:
    """Area that the plane cuts, from the plan alone: every slab's chords times its height, mm² of the part.

    Sloping walls are trapezia, of slabs a twentieth of a millimetre high. Nothing of the section's own region is used.
    """
    total, part = 0.0, drawing.subject.said.part
    for slab in slabs(part, also=np.arange(0.05, part.thickness_mm, 0.05)):
        low, high = (sum(b - a for a, b in stretches(r, drawing.subject.plane)) for r in (slab.lower, slab.upper))
        total += (low + high) / 2.0 * (slab.z_to_mm - slab.z_from_mm)
    return total


@pytest.mark.parametrize("name", NAMES)
def test_hatched_area_is_that_of_the_closed_form(name):
    """The lengths of the hatch lines times their pitch, and the area in the picture, against chords times heights."""
    for drawing in drawings(name):
        sheet = next(s for s in drawing.sheets if drawn(s, "hatching"))
        lengths = [
            sqrt((t.vertices[1].x - t.vertices[0].x) ** 2 + (t.vertices[1].y - t.vertices[0].y) ** 2)
            for i in drawn(sheet, "hatching")
            for t in i.tracks
        ]
        meant = closed_section(drawing) * drawing.section_scale**2
        # lengths times pitch is a midpoint rule: off by some pitch times the rim's raggedness
        assert sum(lengths) * HATCH_MM == pytest.approx(meant, rel=0.05, abs=6.0)
        fill = [Drawn(i.tracks, None, (0.0, 0.0, 0.0)) for i in drawn(sheet, "section_A-A")]
        data = pdf_bytes([Sheet(sheet.format, tuple(fill))], title="t")
        grey = Picture(data).dark  # cells at the rim are as grey as they are covered
        assert float(grey.sum(dtype=float)) * (25.4 / DPI) ** 2 == pytest.approx(meant, rel=1e-3, abs=0.05)


def test_hatch_lines_in_the_picture_lie_at_45_degrees_and_one_pitch_apart():
    drawing = drawings("telescope-pier")[0]
    sheet = drawing.sheets[0]
    ink = rendered(only(sheet, "hatching"))
    box = box_of(drawn(sheet, "section_A-A"))
    mm = 25.4 / DPI
    # across a broad part of the section, just over its bottom face at the left
    row = ink[round((sheet.format.height_mm - box.bottom - 2.0) / mm), :]
    starts = np.flatnonzero(row[1:] & ~row[:-1]) * mm
    steps = np.diff(starts)
    common = steps[steps < 2 * HATCH_MM * sqrt(2.0)]
    assert len(common) > 0
    assert common == pytest.approx(HATCH_MM * sqrt(2.0), abs=0.09)
    lines = [t.vertices for i in drawn(sheet, "hatching") for t in i.tracks]
    assert all(abs((b.y - a.y) - (b.x - a.x)) < 1e-6 for a, b in lines)


def test_the_section_goes_through_a_bolt_and_through_both_pockets_wherever_they_lie():
    for name in NAMES:
        drawing = drawings(name)[0]
        layers = {
            f.layer.split("-")[0]
            for f in drawing.subject.said.part.features
            if f.region and stretches(f.region, drawing.subject.plane)
        }
        assert {"bolt", "bottom", "inlay"} <= layers, name


def test_the_sections_region_is_that_of_its_slabs():
    for name in NAMES:
        for drawing in drawings(name):
            assert area(drawing.subject.cut) == pytest.approx(closed_section(drawing), rel=5e-4)


def test_an_isometric_circle_is_an_ellipse_of_the_known_axes():
    """ISO 5456-3, isometric: a circle of diameter d in the plane has the axes 1.22 d and 0.71 d where lengths along the
    axes are drawn true (handbook figures; sqrt(3/2) and sqrt(1/2))."""
    from part_samples import plate

    from generator.outline.create import circle
    from generator.outline.region import Region
    from generator.paper.drawing.isometric import isometric

    part = plate(profile=Region((circle((0.0, 0.0), 20.0),)), thickness=4.0)
    tracks = isometric(slabs(part), 1.0)
    points = np.array([(v.x, v.y) for t in tracks for v in t.vertices])
    across, up = np.ptp(points[:, 0]), np.ptp(points[:, 1])
    assert across == pytest.approx(1.2247 * 40.0, abs=0.05)
    assert up == pytest.approx(0.7071 * 40.0 + 4.0, abs=0.05)  # heights are drawn true, too
    upright = [t for t in tracks if len(t.vertices) == 2 and abs(t.vertices[0].x - t.vertices[1].x) < 1e-9]
    assert len(upright) == 2
    ellipse = pi * 1.2247 * 0.7071 * 20.0**2
    top = max(tracks, key=lambda t: len(t.vertices))
    x, y = np.array([v.x for v in top.vertices]), np.array([v.y for v in top.vertices])
    assert abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))) / 2.0 == pytest.approx(ellipse, rel=0.01)


# ------------------------------------------------------------------ what is told
def words(name: str, part: int) -> list[str]:
    with pypdfium2.PdfDocument(io.BytesIO(pdf_of(name, part))) as document:
        return " ".join(page.get_textpage().get_text_bounded() for page in document).split()


@pytest.mark.parametrize("name", NAMES)
def test_every_characteristic_of_a_part_has_its_balloon_just_once(name):
    for drawing in drawings(name):
        listed = {c.number for c in drawing.subject.said.listed}
        assert drawing.told == listed
        balloons = sum(len(drawn(s, "balloon")) for s in drawing.sheets)
        assert balloons == len(listed)


@pytest.mark.parametrize("name", NAMES)
def test_the_text_of_the_file_holds_every_figure(name):
    """The nominal of every characteristic, rounded as the recipe's unit has it, is found by another reader."""
    for k, drawing in enumerate(drawings(name)):
        found = " ".join(words(name, k))
        unit = drawing.subject.said.unit
        for c in drawing.subject.said.listed:
            told = Decimal(f"{c.nominal_mm / unit.mm:.9f}").quantize(Decimal(10) ** -unit.decimals, ROUND_HALF_UP)
            figure = f"{told.normalize() + 0:f}".replace("-", "−")
            assert re.search(rf"{re.escape(figure)}(?![0-9.])", found), (c.what, figure)


def test_title_block_tells_what_the_standard_asks_for():
    """ISO 7200:2004, mandatory fields, from memory; what the recipe does not say has a dash."""
    text = " ".join(words("gate-latch", 0))
    for label in (
        "Legal owner",
        "Identification number",
        "Date of issue",
        "Sheet",
        "Title",
        "Approved by",
        "Drawn by",
        "Document type",
        "Scale",
        "General tolerances",
        "Material",
        "Mass",
        "Revision",
        "ISO 13715",
    ):
        assert label in text
    assert "gate-latch-cover" in text
    assert "THE ORIGINAL BEARS LOAD" in text
    assert "1 of 2" in text
    assert not re.search(r"20\d\d-\d\d", text)  # no date was given


def test_limits_stand_where_the_general_tolerances_do_not_hold():
    drawing = drawings("gate-latch")[0]
    for c in drawing.subject.said.listed:
        bare = drawing.subject.said.figure(c.nominal_mm)
        told = drawing.subject.said.with_limits(c)
        assert (told == bare) == (c.source in ("ISO 2768-m", "ISO 2768-m, table 2"))
        if c.kind is Kind.DIAMETER:
            assert told.startswith(f"{bare} ±0.05")


def test_no_drawing_carries_a_date_and_the_same_recipe_gives_the_same_bytes():
    recipe, plan = demo(next(p for p in DEMO if p.stem == "door-bell"))
    part = plan.inserts[0]
    first, second = (pdf_bytes(drawing_of(recipe, plan, part).sheets, title="t") for _ in range(2))
    assert first == second
    assert b"CreationDate" not in first


def test_arrows_are_as_long_as_they_should_be():
    sheet = drawings("gate-latch")[0].sheets[0]
    lengths = {round(max(track_box(t).width, track_box(t).height), 3) for i in drawn(sheet, "arrow") for t in i.tracks}
    assert ARROW_MM in lengths
