"""The inspection sheet as it is printed, measured with a renderer and a text reader that the package does not use."""

from __future__ import annotations

import csv
import ctypes
import io
import re
from dataclasses import replace

import numpy as np
import pypdfium2
import pypdfium2.raw as raw
import pytest

from generator.base.units import INCH
from generator.build.work import work_of
from generator.estimate.told_sizes import told_size
from generator.outputs import inspection, parts_list
from generator.outputs.output import Files, Work
from generator.outputs.proofs import demand
from generator.paper.collisions import collisions
from generator.paper.inspection_sheets import inspection_sheets
from generator.paper.letters import LEAST_MM
from tests.estimate.inspection_samples import RECIPES, checked, sheet

EDGE_MM = 10.0
SETS = [(), ("order.quantity=12",), ("paper.size=A3", "order.quantity=3"), ("paper.size=Letter",)]


def work(name: str, *sets: str) -> Work:
    made = checked(name, *sets)
    return work_of(made)


def files(name: str, *sets: str) -> Files:
    return dict(inspection.write(work(name, *sets)))


def texts(data: bytes) -> list[str]:
    with pypdfium2.PdfDocument(io.BytesIO(data)) as document:
        return [page.get_textpage().get_text_bounded() for page in document]


def pieces(data: bytes) -> list[str]:
    """Return every piece of text as it was set, unjoined."""
    out = []
    with pypdfium2.PdfDocument(io.BytesIO(data)) as document:
        for page in document:
            whole = page.get_textpage()
            for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT]):
                size = raw.FPDFTextObj_GetText(item.raw, whole.raw, None, 0)
                buffer = ctypes.create_string_buffer(size)
                raw.FPDFTextObj_GetText(item.raw, whole.raw, ctypes.cast(buffer, ctypes.POINTER(ctypes.c_ushort)), size)
                out.append(buffer.raw.decode("utf-16-le").rstrip("\0"))
    return out


def test_number_and_date_of_the_drawing_stand_on_every_page_and_in_the_table():
    sets = ("order.number=P-0021", "order.date=2026-05-04")
    made = files("gate-latch", *sets)
    drawings = ("P-0021-cover", "P-0021-insert-number", "P-0021")
    pages = texts(made[inspection.PDF])
    assert all("issued 2026-05-04" in page for page in pages)
    assert {d for d in drawings if any(f"drawing {d}," in page for page in pages)} == set(drawings)
    rows = list(csv.reader(io.StringIO(made[inspection.TABLE].decode("utf-8-sig"))))
    assert rows[4:6] == [["drawing number", "P-0021"], ["date of issue", "2026-05-04"]]
    demand(inspection.prove(work("gate-latch", *sets), made))
    assert not any("issued" in page or "drawing" in page for page in texts(files("gate-latch")[inspection.PDF]))


def test_limits_in_inches_have_four_decimals_and_are_those_of_millimetres():
    """By the definition of the inch, each limit is rounded by at most half of its last decimal."""
    for c in sheet("canoe-yoke").characteristics:
        size = told_size(c, INCH)
        for text, mm in ((size.lower_text, c.lower_mm), (size.upper_text, c.upper_mm)):
            assert re.fullmatch(r"-?\d+\.\d{4}", text)
            assert abs(float(text) * 25.4 - mm) <= 25.4 * 1.0001e-4  # of the nominal, and of the deviation from it
        assert size.lower < size.upper


@pytest.mark.parametrize("name", RECIPES)
def test_every_figure_of_the_table_stands_on_the_pages(name):
    made = files(name)
    rows = list(csv.reader(io.StringIO(made[inspection.TABLE].decode("utf-8-sig"))))[5:]
    words = [w.strip().lstrip("⌀R") for w in pieces(made[inspection.PDF])]
    for number, _, _, _, nominal, lower, upper, *_ in rows:
        assert words.count(number) >= 2, "in the picture and in the table"
        for figure in (nominal, lower, upper):
            assert figure in words


@pytest.mark.parametrize("name", RECIPES)
@pytest.mark.parametrize("sets", SETS)
def test_no_text_lies_on_another_or_on_a_line_and_all_keep_clear_of_the_edge(name, sets):
    made = checked(name, *sets)
    pages = inspection_sheets(made.reading.recipe, made.plan, sheet(name, *sets))
    for page in pages:
        assert not [c for c in collisions(page) if c.other != "balloon"]
        inner = page.box.grown(-EDGE_MM)
        for text in page.letters():
            assert text.height_mm >= LEAST_MM
            assert text.box.within(inner)


@pytest.mark.parametrize("name", RECIPES)
def test_a_number_lies_in_its_own_balloon_and_in_no_other(name):
    made = checked(name)
    for page in inspection_sheets(made.reading.recipe, made.plan, sheet(name)):
        hits = [(c.text, c.at) for c in collisions(page) if c.other == "balloon"]
        assert len(hits) == len(set(hits)), "a text that lies on two balloons"
        assert all(text.isdigit() for text, _ in hits)


@pytest.mark.parametrize(("sets", "size"), [((), (297, 210)), (("paper.size=A3",), (420, 297))])
def test_sheets_lie_and_have_the_size_of_the_printers_paper(sets, size):
    data = files("gate-latch", *sets)[inspection.PDF]
    with pypdfium2.PdfDocument(io.BytesIO(data)) as document:
        for page in document:
            assert [v * 25.4 / 72 for v in page.get_size()] == pytest.approx(size, abs=1e-3)


def test_nothing_is_inked_within_the_margin():
    data = files("well-pump")[inspection.PDF]
    with pypdfium2.PdfDocument(io.BytesIO(data)) as document:
        for page in document:
            bitmap = page.render(scale=200 / 72, grayscale=True)
            ink = np.asarray(bitmap.to_numpy()).reshape(bitmap.height, bitmap.width) < 128
            rows, columns = np.flatnonzero(ink.any(1)), np.flatnonzero(ink.any(0))
            edge = (EDGE_MM - 0.5) * 200 / 25.4
            assert min(rows[0], columns[0]) > edge
            assert rows[-1] < ink.shape[0] - edge
            assert columns[-1] < ink.shape[1] - edge


def test_columns_for_readings_are_as_many_as_parts_or_as_fit():
    def columns(*sets: str) -> int:
        head = texts(files("gate-latch", *sets)[inspection.PDF])[0].splitlines()[2]
        return len(re.findall(r"part \d+|part|\d+", head.partition("instrument")[2]))

    assert columns() == 1
    assert columns("order.quantity=2") == 2
    assert columns("order.quantity=12") == 3
    assert columns("order.quantity=12", "paper.size=A3") > 6


def test_what_is_asked_in_inches_is_told_in_inches():
    made = files("canoe-yoke")
    assert "sizes in inches" in texts(made[inspection.PDF])[0]
    assert "unit,inch" in made[inspection.TABLE].decode("utf-8-sig")


def test_the_sheet_names_recipe_revision_and_list():
    of = sheet("telescope-pier")
    for page in texts(files("telescope-pier")[inspection.PDF]):
        assert "telescope-pier, revision B" in page
        assert of.digest in page


def test_the_same_recipe_gives_the_same_bytes():
    assert files("door-bell") == files("door-bell")
    assert dict(parts_list.write(work("door-bell"))) == dict(parts_list.write(work("door-bell")))


@pytest.mark.parametrize("name", RECIPES)
def test_proofs_hold(name):
    of = work(name)
    proofs = [*inspection.prove(of, files(name)), *parts_list.prove(of, dict(parts_list.write(of)))]
    assert len(proofs) == 3
    assert all(p.holds for p in proofs)


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        (inspection.TABLE, b",6.65,", b",6.75,"),
        (inspection.TABLE, b"\r\n7,", b"\r\n8,"),
        (inspection.TABLE, b"revision,A", b"revision,B"),
    ],
)
def test_an_altered_table_is_found(file, old, new):
    made = dict(files("gate-latch"))
    made[file] = made[file].replace(old, new, 1)
    assert any(not p.holds for p in inspection.prove(work("gate-latch"), made))


def test_another_recipes_pages_are_found():
    of, other = work("gate-latch"), files("gate-latch", "cover.stock.thickness=12")
    mixed = {**files("gate-latch"), inspection.PDF: other[inspection.PDF]}
    assert [p.holds for p in inspection.prove(of, mixed)] == [True, False]
    assert [p.holds for p in inspection.prove(of, {**mixed, inspection.PDF: b"%PDF-1.7"})] == [True, False]
    assert not any(p.holds for p in inspection.prove(of, {}))


def test_the_parts_list_is_a_table_that_another_reader_reads():
    of = work("gate-latch", "order.quantity=12")
    (data,) = dict(parts_list.write(of)).values()
    rows = list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"))))
    assert [r["item"] for r in rows] == [str(k) for k in range(1, len(rows) + 1)]
    assert next(r for r in rows if "screw" in r["what"])["quantity"] == "24"
    spoiled = {parts_list.FILE: data.replace(b"M6 \xc3\x97 16", b"M6 \xc3\x97 20")}
    assert not all(p.holds for p in parts_list.prove(of, spoiled))


def test_without_the_recipe_there_is_nothing_to_hold_against():
    of = replace(work("gate-latch"), recipe=None)
    assert dict(inspection.write(of)) == {}
    assert dict(parts_list.write(of)) == {}
    assert list(inspection.prove(of, {})) == []


def test_a_long_title_leaves_revision_unit_and_list_and_columns_keep_their_numbers():
    made = checked("gate-latch", "order.quantity=3")
    plan = replace(made.plan, title="A title as long as no sheet is wide " * 9)
    of = sheet("gate-latch", "order.quantity=3")
    for page in inspection_sheets(made.reading.recipe, plan, of):
        told = [text.text for text in page.letters()]
        (line,) = (text for text in told if "characteristics c-" in text)
        assert line.startswith("A title as long")
        assert "gate-latch" in line
        assert line.endswith(f"revision {plan.revision}; sizes in mm; characteristics {of.digest}")
        assert not any(text.startswith("part") and text.endswith("…") for text in told)
