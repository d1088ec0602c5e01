"""The 1:1 prints of a pack: files, proofs that notice, and what is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest
import sample_plans
from pack_tools import ROOT
from recipe_works import RECIPES, work_of

from generator.base.errors import RecipeError
from generator.build.judge import check
from generator.outline.transform import moved
from generator.outputs import templates
from generator.outputs.templates_proof import PRINT_MM, prove_print
from generator.paper.pdf import pdf_bytes
from generator.recipe.model_order import Order
from generator.recipe.model_paper import Paper, PrintedBars


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
def test_every_recipe_has_its_prints_proven_to_a_hundredth(path):
    work = work_of(path)
    files = dict(templates.OUTPUT.write(work))
    names = {"footprint", "cover", *(i.name for i in work.plan.inserts)}
    assert set(files) == {f"templates/{n}.pdf" for n in names}
    proofs = list(templates.OUTPUT.prove(work, files))
    assert all(p.holds for p in proofs), [p for p in proofs if not p.holds]
    assert {p.limit for p in proofs if p.unit == "mm"} == {PRINT_MM}
    assert files == dict(templates.OUTPUT.write(replace(work)))


def test_work_without_a_recipe_is_printed_on_a4():
    files = dict(templates.OUTPUT.write(sample_plans.work()))
    assert all(p.holds for p in templates.OUTPUT.prove(sample_plans.work(), files))
    assert "templates/insert-crest.pdf" in files


def print_of(work, name):
    return next((path, t, pages) for path, t, pages in templates.prints_of(work) if t.name == name)


def broken(proofs) -> set[str]:
    return {p.what for p in proofs if not p.holds}


def test_a_print_that_shows_something_else_fails_its_proof():
    path, template, pages = print_of(sample_plans.work(), "cover")
    data = pdf_bytes([p.sheet for p in pages], title="t")
    assert not broken(prove_print(path, data, template, pages))
    aside = tuple(replace(o, region=moved(o.region, 0.02, 0.0)) for o in template.outlines)
    assert broken(prove_print(path, data, replace(template, outlines=aside), pages)) == {
        "template: outlines against regions"
    }
    stretched = pdf_bytes([replace(p.sheet, stretch=(1.001, 1.0)) for p in pages], title="t")
    assert "template: bars, square and circle" in broken(prove_print(path, stretched, template, pages))
    assert broken(prove_print(path, data[:400], template, pages)) == {"template: pages"}
    shifted = [replace(p, window=p.window.moved(0.0, 0.1)) for p in pages]
    assert broken(prove_print(path, data, template, shifted)) == {"template: sheet and window"}
    bare = [replace(p.sheet, items=p.sheet.items[-1:]) for p in pages]
    assert "template: bars, square and circle" in broken(prove_print(path, pdf_bytes(bare, title="t"), template, pages))


def test_a_file_too_many_or_missing_fails():
    work = sample_plans.work()
    files = dict(templates.OUTPUT.write(work))
    files["templates/else.pdf"] = files.pop("templates/cover.pdf")
    assert broken(templates.OUTPUT.prove(work, files)) == {"one file a print and no other"}


def test_a_part_that_takes_too_many_sheets_is_refused_with_the_paper_that_does():
    path = ROOT / "recipes" / "bee-house.yaml"
    larger = ["original.footprint={rectangle: {size: [1900, 1100], radius: 6}}"]
    with pytest.raises(RecipeError) as told:
        dict(templates.OUTPUT.write(work_of(path, *larger)))
    (mistake,) = told.value.mistakes
    assert mistake.path == "paper.size"
    assert "`A4`, of which the print of the footprint takes" in mistake.found
    assert "set `paper.size: A3`" in mistake.remedy


def test_paper_date_and_readings_come_from_the_recipe():
    checked = check(RECIPES[0])
    paper = Paper(size="A3", printed_bars=PrintedBars(x=99.6, y=100.2))
    recipe = replace(checked.reading.recipe, order=Order(date="2026-05-04"), paper=paper)
    _, _, pages = print_of(replace(work_of(RECIPES[0]), recipe=recipe), "cover")
    told = " ".join(t.text for t in pages[0].sheet.letters())
    assert "2026-05-04" in told
    assert "Enlarged by 0.40 % in x" in told
    assert (pages[0].sheet.format.name, pages[0].sheet.format.width_mm) == ("A3", 297.0)
