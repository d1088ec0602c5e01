"""What the title block is given is all on the drawing: in the block, in lower letters, or whole in the notes."""

from __future__ import annotations

from dataclasses import replace

import pytest
from drawing_recipes import DEMO, demo

from generator.paper.collisions import collisions
from generator.paper.drawing.drawing import Drawing, drawing_of
from generator.paper.drawing.title_block import title_block
from generator.paper.drawing.title_fields import mass_word
from generator.paper.sheet import Letters, Sheet

LONG = {
    "finish": "bead blasted with glass of 70 to 110 µm, clear anodised 10 µm to ISO 7599, sealed hot, threads masked",
    "owner": "The society for the upkeep of gates, stiles and kissing gates of the lower valley and its side valleys",
    "number": "GATES-2026-LOWER-VALLEY-0021-SUPERSEDES-GATES-2019-LOWER-VALLEY-0007-AND-0008",
    "approved_by": "the keeper of the gates and her deputy",
}


def drawn(**order: str) -> Drawing:
    recipe, plan = demo(next(p for p in DEMO if p.stem == "gate-latch"))
    return drawing_of(replace(recipe, order=replace(recipe.order, **order)), plan, plan.cover)


def test_nothing_of_a_long_text_is_lost_and_the_field_says_where_it_goes_on():
    drawing = drawn(**LONG)
    texts = [t.text for sheet in drawing.sheets for t in sheet.letters()]
    told = "".join("".join(texts).split())
    for text in LONG.values():
        assert "".join(text.split()) in told, text
    first = [t.text for t in drawing.sheets[0].letters()]
    assert sum(t.endswith("… see notes") for t in first) == 4
    assert all(collisions(sheet) == () for sheet in drawing.sheets)


def test_a_text_that_fits_in_lower_letters_stands_in_its_field():
    owner = "Elm Lane Allotments, gatekeepers"
    (found,) = [t for t in drawn(owner=owner).sheets[0].letters() if t.text == owner]
    assert found.height_mm == 2.5


@pytest.mark.parametrize(
    ("grams", "word"),
    [
        (0.4567, "0.457 g"),
        (97.93, "97.9 g"),
        (999.4, "999 g"),
        (999.6, "1.00 kg"),
        (1083.0, "1.08 kg"),
        (23456.0, "23.5 kg"),
        (123456.0, "123 kg"),
    ],
)
def test_masses_have_three_figures_and_no_powers_of_ten(grams, word):
    assert mass_word(grams) == word


def test_edges_have_the_symbol_of_the_standard_and_its_figures_are_clear_of_it():
    subject = drawn().subject
    block = title_block(subject.said, scale="1:1", size="A3", sheet=1, sheets=1)
    assert len([i for i in block.items if getattr(i, "name", "") == "edge-symbol"]) == 2
    moved = block.moved(200.0, 20.0)
    from generator.base.paper_sizes import FORMATS

    assert collisions(Sheet(FORMATS["A3"].landscape, moved.items)) == ()
    assert {"−0.3", "+0.3"} <= {i.text for i in moved.items if isinstance(i, Letters)}
