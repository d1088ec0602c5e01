"""The contact sheet, read back and drawn by libraries that do not write it."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from itertools import combinations
from math import pi
from pathlib import Path

import numpy as np
import pypdfium2
import pytest

from generator.family.returns.contact_sheet import contact_sheet_files
from generator.family.run import Ran
from generator.paper.box import Box
from generator.paper.letters import CAP_SHARE, LEAST_MM, letters_box
from generator.paper.pdf_read import ReadPage, read_pdf
from tests.family.many_variants import built, drawn, many, ran
from tests.family.test_gallery import BROKEN, HOSTILE, hostile

LOOSE = 0.15
"""mm."""


def sheet_of(run: Ran) -> bytes:
    files = contact_sheet_files(run)
    assert list(files) == ["contact-sheet.pdf"]
    return files["contact-sheet.pdf"]


def boxes_of(page: ReadPage) -> list[tuple[str, Box]]:
    return [
        (t.text, letters_box(t.text, t.at, t.em_mm * CAP_SHARE, anchor="start", turn_deg=0.0, bold=False))
        for t in page.texts
    ]


@pytest.fixture(scope="module")
def hundred(tmp_path_factory) -> bytes:
    return sheet_of(many(tmp_path_factory.mktemp("sheet"), 100))


@pytest.fixture(scope="module")
def pages(hundred) -> tuple[ReadPage, ...]:
    return read_pdf(hundred)


def test_every_variant_has_its_card_once_and_in_order(pages):
    names = [t.text for p in pages for t in p.texts if re.fullmatch(r"(plot|tag)-\d+", t.text)]
    assert names == [*(f"plot-{n}" for n in range(1, 100)), "tag-100"]


def test_the_cards_tell_values_and_how_each_stands(pages):
    texts = [t.text for p in pages for t in p.texts]
    assert texts.count("built") == 94
    assert [texts.count(w) for w in ("forbidden", "wrong", "failed", "crashed", "hung", "not made")] == [1] * 6
    assert texts.count("holder Oak") == 10  # ten holders by turns
    assert texts.count("plot 77") == 1


def test_cautions_stand_on_the_first_page(tmp_path, pages):
    first = " ".join(t.text for t in pages[0].texts)
    assert "the cover never replaces, thins or carries load for the original" in first
    assert "THE ORIGINAL BEARS LOAD: This recipe says that the original carries load." in first
    quiet = replace(built(1, "tag-1"), said=())
    (page,) = read_pdf(sheet_of(ran(tmp_path, [quiet], [{"plot": "1"}])))
    assert "BEARS LOAD" not in " ".join(t.text for t in page.texts)


def test_marks_tell_without_colour_how_a_variant_stands(pages):
    """A tick, a cross, a ring: they differ in shape, so that they can be told apart on a black and white print."""
    for name, many_of in (("built", 94), ("not-built", 5), ("not-made", 1)):
        found = [path for page in pages for path in page.named(name)]
        assert len(found) == many_of
        assert {len(path.ways) for path in found} == {2 if name == "not-built" else 1}


def test_pages_are_numbered_and_listed(hundred, pages):
    last = [t.text for p in pages for t in p.texts if t.text.startswith("page ")]
    assert last == [f"page {n} of {len(pages)}" for n in range(1, len(pages) + 1)]
    with pypdfium2.PdfDocument(io.BytesIO(hundred)) as document:
        titles = [b.get_title() for b in document.get_toc()]
    assert len(titles) == len(pages)
    assert titles[0].startswith("1: plot-1 –")
    assert titles[-1].endswith("tag-100")


@pytest.mark.parametrize("count", [1, 13, 100, 500])
def test_nothing_overlaps_and_nothing_leaves_the_page(tmp_path, count):
    for page in read_pdf(sheet_of(many(tmp_path, count))):
        wide, high = page.size_mm
        boxes = boxes_of(page)
        assert all(b.within(Box(5.0, 5.0, wide - 5.0, high - 5.0)) for _, b in boxes)
        rows = sorted(boxes, key=lambda one: one[1].bottom)
        for (a, one), (b, other) in combinations(rows, 2):
            if other.bottom - one.bottom > 10.0:
                continue
            assert not one.grown(-LOOSE).overlaps(other.grown(-LOOSE)), (a, b)
        assert all(t.em_mm * CAP_SHARE >= LEAST_MM - 1e-6 for t in page.texts)


@pytest.mark.parametrize(("count", "most"), [(12, 1), (36, 3), (200, 11), (2000, 80)])
def test_a_family_takes_a_sane_number_of_pages(tmp_path, count, most):
    with pypdfium2.PdfDocument(io.BytesIO(sheet_of(many(tmp_path, count)))) as document:
        assert len(document) <= most


def test_pictures_are_true_to_scale_with_arcs_as_arcs(pages):
    """Areas by closed forms: an ellipse of 104 × 46 mm, an insert of 36 × 18 mm, a seat of 11.5 mm across."""
    areas = [sum(w.area_mm2 for w in path.ways) for path in pages[0].named("picture")][:6]
    scale = areas[5] / (36.0 * 18.0)
    assert areas[0] / scale == pytest.approx(pi * 52.0 * 23.0, rel=0.005)
    assert areas[1] / scale == pytest.approx(pi * 5.75**2, rel=1e-3)
    assert areas[3] / scale == pytest.approx(pi * 3.3**2, rel=1e-3)


def test_colours_on_paper_are_those_of_the_metals(hundred):
    with pypdfium2.PdfDocument(io.BytesIO(hundred)) as document:
        page = np.asarray(document[0].render(scale=3).to_numpy(), dtype=int)[..., 2::-1]
    for colour in ((0xB9, 0xBC, 0xC0), (0x85, 0x87, 0x8A), (0xD0, 0xAB, 0x55)):
        assert (np.abs(page - np.array(colour)).max(axis=2) < 4).sum() > 500, colour


@pytest.mark.parametrize(
    ("paper", "size"), [("A4", (210.0, 297.0)), ("Letter", (215.9, 279.4)), ("A3", (297.0, 420.0))]
)
def test_the_paper_is_that_of_the_recipe(tmp_path, paper, size):
    run = many(tmp_path, 60)
    recipe = Path(run.family.recipe)
    recipe.write_text(recipe.read_text(encoding="utf-8") + f"paper: {{size: {paper}}}\n", encoding="utf-8")
    for page in read_pdf(sheet_of(run)):
        assert page.size_mm == pytest.approx(size, abs=0.01)
        assert max(b.right for _, b in boxes_of(page)) <= size[0] - 9.9


def test_long_names_many_values_and_long_reasons_stay_in_their_card(tmp_path):
    values = [{f"value_{k}": f"a long word {k} and more of it" for k in range(9)} | {"plot": str(n)} for n in (1, 2)]
    why = "the recipe " + "goes on and on and " * 40
    dones = [built(1, "x" * 64), replace(built(2, "short"), status="failed", picture=(), shapes={}, why=why)]
    (page,) = read_pdf(sheet_of(ran(tmp_path, dones, values)))
    boxes = boxes_of(page)
    for (a, one), (b, other) in combinations(boxes, 2):
        assert not one.grown(-LOOSE).overlaps(other.grown(-LOOSE)), (a, b)
    assert any(t.startswith("xxxx") and t.endswith("…") for t, _ in boxes)
    assert any(t.startswith("the recipe goes") for t, _ in boxes)


@pytest.mark.parametrize("shape", BROKEN)
def test_a_shape_that_is_none_is_told(tmp_path, shape):
    done = replace(built(1, "tag-1"), picture=(("#123456", "s"),), shapes={"s": shape})
    (page,) = read_pdf(sheet_of(ran(tmp_path, [done], [{"plot": "1"}])))
    assert "no picture" in [t.text for t in page.texts]


def test_strange_texts_are_set_as_they_are(tmp_path):
    (page,) = read_pdf(sheet_of(hostile(tmp_path)))
    texts = [t.text for t in page.texts]
    assert set(HOSTILE[1:]) <= set(texts)
    assert any(t.startswith("</script><img src") for t in texts)


def test_variants_of_very_different_sizes_fill_their_cards(tmp_path):
    small = replace(built(2, "tag-2"), **drawn(2, 26.0, 11.5))
    small = replace(small, picture=(small.picture[0],))
    (page,) = read_pdf(sheet_of(ran(tmp_path, [built(1, "tag-1"), small], [{"plot": "1"}, {"plot": "2"}])))
    drawn_paths = page.named("picture")
    assert len(drawn_paths) == 8  # seven layers, then the outline of the small one
    first, second = (float(np.ptp(path.ways[0].points[:, 0])) for path in (drawn_paths[0], drawn_paths[7]))
    assert first == pytest.approx(second, rel=1e-3)
    assert "Each picture has a scale of its own." in [t.text for t in page.texts]


def test_the_same_family_gives_the_same_bytes(tmp_path, hundred):
    run = many(tmp_path, 100)
    slower = replace(run, rows=tuple(replace(r, done=r.done and replace(r.done, seconds=9.0)) for r in run.rows))
    assert sheet_of(slower) == hundred
