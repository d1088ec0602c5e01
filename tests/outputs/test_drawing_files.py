"""Drawings as files: the DXF read by readers that are not ours, proofs that notice what is wrong, sheets too small."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache
from pathlib import Path

import ezdxf
import pytest
from dxf_tags import read_tags

from generator import api
from generator.base.errors import RecipeError
from generator.build.work import work_of
from generator.outline.measure import area, signed_area
from generator.outputs import drawings_dxf, drawings_pdf
from generator.outputs.drawings import drawings_of
from generator.outputs.dxf_sheet import coded
from generator.outputs.output import Work
from generator.recipe.model_paper import Paper

ROOT = Path(__file__).parents[2]


@cache
def work(name: str = "gate-latch") -> Work:
    checked = api.check(ROOT / "recipes" / f"{name}.yaml")
    return work_of(checked)


@cache
def dxf_files(name: str = "gate-latch") -> dict[str, bytes]:
    return dict(drawings_dxf.OUTPUT.write(work(name)))


@cache
def pdf_files(name: str = "gate-latch") -> dict[str, bytes]:
    return dict(drawings_pdf.OUTPUT.write(work(name)))


def test_there_is_one_file_a_part():
    assert sorted(dxf_files()) == ["drawings/cover.dxf", "drawings/insert-number.dxf"]
    assert sorted(pdf_files()) == ["drawings/cover.pdf", "drawings/insert-number.pdf"]


@pytest.mark.parametrize("name", sorted(p.stem for p in (ROOT / "recipes").glob("*.yaml")))
def test_all_proofs_hold(name):
    for output, files in ((drawings_pdf.OUTPUT, pdf_files(name)), (drawings_dxf.OUTPUT, dxf_files(name))):
        proofs = list(output.prove(work(name), files))
        assert len(proofs) > 2
        assert [p for p in proofs if not p.holds] == []


def test_without_a_recipe_nothing_is_drawn():
    bare = replace(work(), recipe=None)
    assert list(drawings_pdf.OUTPUT.write(bare)) == []
    assert [p for p in drawings_pdf.OUTPUT.prove(bare, {}) if not p.holds] == []


# ------------------------------------------------------------------ DXF
@pytest.mark.parametrize("name", ["gate-latch", "canoe-yoke"])
def test_the_dxf_passes_an_audit_and_holds_only_plain_entities(name):
    for data in dxf_files(name).values():
        doc = ezdxf.read(io.StringIO(data.decode()))
        audit = doc.audit()
        assert (audit.errors, audit.fixes) == ([], [])
        kinds = {e.dxftype() for e in doc.modelspace()}
        assert kinds <= {"LINE", "ARC", "CIRCLE", "LWPOLYLINE", "TEXT"}
        assert doc.header["$INSUNITS"] == 4  # millimetres (DXF reference)
        for e in doc.modelspace():
            assert e.dxf.layer in doc.layers
        for layer in doc.layers:
            assert layer.dxf.linetype in doc.linetypes


def test_a_reader_that_knows_only_group_codes_finds_outline_and_texts():
    file = read_tags(dxf_files()["drawings/cover.dxf"])
    assert file.value("$INSUNITS") == "4"
    part, drawing = drawings_of(work())[0]
    meant = abs(signed_area(part.profile.contours[0])) * drawing.scale**2
    closed = [abs(e.signed_area()) for e in file.entities if e.kind == "LWPOLYLINE" and e.flags & 1]
    assert min(abs(a - meant) for a in closed) < 1e-3
    pocket = next(f for f in part.features if f.name == "bottom-pocket")
    assert min(abs(a - area(pocket.region) * drawing.scale**2) for a in closed) < 1e-3
    texts = {v for e in file.entities if e.kind == "TEXT" for code, v in e.others if code == 1}
    assert "THE ORIGINAL BEARS LOAD" in texts
    assert "36 %%p0.05" in texts
    assert not [t for t in texts if "⌀" in t or "±" in t]


def test_circles_are_circles_and_as_large_as_the_holes():
    file = read_tags(dxf_files()["drawings/cover.dxf"])
    radii = sorted({round(e.radius, 6) for e in file.entities if e.kind == "CIRCLE"})
    assert 3.3 in radii  # ISO 273 medium, M6: 6.6 mm
    assert 5.75 in radii  # the seat, 11.5 mm


def test_texts_of_a_person_are_no_codes():
    from ezdxf.tools.text import plain_text

    for text in ("100 % brass", "50%%c", "a^b", "⌀6 ±0.05 at 45°"):
        assert plain_text(coded(text)).replace("Ø", "⌀") == text


def test_the_same_work_gives_the_same_bytes_without_dates():
    again = dict(drawings_dxf.OUTPUT.write(replace(work())))
    assert again == dxf_files()


# ------------------------------------------------------------------ proofs
def failed(output, files) -> list[str]:
    return [p.what for p in output.prove(work(), files) if not p.holds]


def test_a_missing_or_foreign_file_is_noticed():
    some = {k: v for k, v in pdf_files().items() if "insert" not in k}
    assert failed(drawings_pdf.OUTPUT, some) == ["one file a part and no other"]
    assert failed(drawings_dxf.OUTPUT, {**dxf_files(), "drawings/x.dxf": b""}) == ["one file a part and no other"]


def test_a_dxf_with_a_line_moved_or_a_figure_changed_is_noticed():
    name, what = "drawings/cover.dxf", "lines and texts that are not those of the drawing"
    figure = dxf_files()[name].replace(b"36 %%p0.05", b"37 %%p0.05", 1)
    assert failed(drawings_dxf.OUTPUT, {**dxf_files(), name: figure}) == [what]
    doc = ezdxf.read(io.StringIO(dxf_files()[name].decode()))
    doc.modelspace().query("LINE").first.translate(0.01, 0.0, 0.0)
    moved = io.StringIO()
    doc.write(moved)
    assert failed(drawings_dxf.OUTPUT, {**dxf_files(), name: moved.getvalue().encode()}) == [what]
    assert failed(drawings_dxf.OUTPUT, {**dxf_files(), name: b"no drawing"}) == [what]


def test_the_drawing_of_another_recipe_is_noticed():
    other = pdf_files("gate-latch-22")["drawings/cover.pdf"]
    assert failed(drawings_pdf.OUTPUT, {**pdf_files(), "drawings/cover.pdf": other})
    assert failed(drawings_pdf.OUTPUT, {**pdf_files(), "drawings/cover.pdf": b"%PDF-1.7"}) == ["a PDF that can be read"]


def test_a_hole_that_lies_elsewhere_than_its_table_says_is_noticed():
    part, drawing = drawings_of(work())[0]
    from generator.outputs.drawings_proof import prove_pdf

    (kind,) = drawing.subject.kinds
    moved = replace(kind.holes[1], at=kind.holes[1].at._replace(x=33.0))
    wrong = replace(drawing.subject, kinds=(replace(kind, holes=(kind.holes[0], moved)),))
    proofs = prove_pdf("x", pdf_files()["drawings/cover.pdf"], part, replace(drawing, subject=wrong))
    assert [p.what for p in proofs if not p.holds] == ["holes whose mark, place or diameter is not the plan's"]


# ------------------------------------------------------------------ sheets
def test_a_small_sheet_gets_a_small_scale_and_further_sheets():
    recipe = replace(work().recipe, paper=Paper(drawing="A4"))
    for _, drawing in drawings_of(replace(work(), recipe=recipe)):
        assert {s.format.name for s in drawing.sheets} == {"A4"}
        assert len(drawing.sheets) >= 1


def test_a_sheet_that_is_too_small_at_every_scale_is_said_to_be(monkeypatch):
    from generator.outputs import drawings
    from generator.paper.drawing.drawing import NoSheetError

    def none(*_args):
        raise NoSheetError("cover")

    monkeypatch.setattr(drawings, "drawing_of", none)
    with pytest.raises(RecipeError) as caught:
        drawings_of(replace(work(), recipe=replace(work().recipe, notes="x")))
    (mistake,) = caught.value.mistakes
    assert mistake.path == "paper.drawing"
    assert "paper.drawing: auto" in mistake.remedy
