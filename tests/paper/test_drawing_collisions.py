"""No text of any drawing lies on another text or on a line: demo recipes, and recipes made by chance."""

from __future__ import annotations

import pytest
from drawing_recipes import DEMO, by_chance, demo

from generator.base.paper_sizes import FORMATS
from generator.paper.box import Box
from generator.paper.collisions import boxes_hit, collisions, segments_of_items
from generator.paper.drawing.block import ink_box
from generator.paper.drawing.drawing import drawing_of, drawn_parts
from generator.paper.lines import NARROW
from generator.paper.sheet import Drawn, Letters, Sheet, arc, line
from generator.part.part import Plan
from generator.recipe.model import Recipe

A4 = FORMATS["A4"]


def touched(sheet: Sheet) -> list[tuple[Box, str]]:
    """Balloons that come nearer to a line, or an arrow, than both lines are thick, and what they come near."""
    drawn = [i for i in sheet.drawn() if i.line is not None]
    boxes = [ink_box([b]).grown(2.0 * NARROW.width_mm / 2.0) for b in drawn if b.name == "balloon"]
    others = [(o.name or o.line.name, segments_of_items([o])) for o in drawn if o.line and o.name != "balloon"]
    return [(box, name) for box in boxes for name, segments in others if boxes_hit(segments, box).any()]


def sound(recipe: Recipe, plan: Plan) -> None:
    """Nothing collides on any sheet of any part, blocks keep apart and in the frame, every balloon is told."""
    for part in drawn_parts(plan):
        drawing = drawing_of(recipe, plan, part)
        for sheet, blocks in zip(drawing.sheets, drawing.blocks, strict=True):
            assert collisions(sheet) == ()
            assert touched(sheet) == []
            frame = Box(20.0, 10.0, sheet.format.width_mm - 10.0, sheet.format.height_mm - 10.0)  # ISO 5457
            for k, block in enumerate(blocks):
                assert block.box.within(frame), (block.name, block.box)
                assert not [o.name for o in blocks[:k] if o.box.overlaps(block.box)], block.name
        assert drawing.told == {c.number for c in drawing.subject.said.listed}


@pytest.mark.parametrize("path", DEMO, ids=lambda p: p.stem)
def test_nothing_collides_in_the_demo_recipes(path):
    sound(*demo(path))


def test_nothing_collides_in_recipes_by_chance():
    for seed, recipe, plan in by_chance(20):
        try:
            sound(recipe, plan)
        except AssertionError as error:
            raise AssertionError(f"seed {seed}") from error


@pytest.mark.parametrize("seed", [10_032, 10_415])
def test_many_holes_find_their_places(seed):
    """Places of 24 holes with limits in inches stand beside their sizes on A4; a leader passes balloons in a crowd."""
    for _, recipe, plan in by_chance(1, first=seed):
        sound(recipe, plan)


@pytest.mark.slow
@pytest.mark.parametrize("first", range(0, 1000, 100))
def test_nothing_collides_in_two_hundred_recipes_by_chance(first):
    for seed, recipe, plan in by_chance(20, first=10_000 + first):
        try:
            sound(recipe, plan)
        except AssertionError as error:
            raise AssertionError(f"seed {seed}") from error


# ------------------------------------------------------------------ and collisions are seen where there are some
def found(*items: Drawn | Letters) -> list[tuple[str, str]]:
    return [(c.text, c.other) for c in collisions(Sheet(A4, items))]


WORD = Letters("HALF", (50.0, 50.0), 5.0)


def test_a_text_over_another_is_found():
    assert found(WORD, Letters("SOME", (55.0, 52.0), 5.0)) == [("HALF", "SOME")]
    assert found(WORD, Letters("SOME", (50.0, 60.0), 5.0)) == []


def test_a_line_through_a_text_is_found_and_one_past_its_corner_is_not():
    box = WORD.box
    through = Drawn((line((box.left - 5, box.bottom - 5), (box.right, box.top)),), NARROW)
    past = Drawn((line((box.left - 5, box.bottom + 1), (box.left + 1, box.bottom - 5)),), NARROW)
    assert found(WORD, through) == [("HALF", "narrow")]
    assert found(WORD, past) == []


def test_an_arc_whose_box_holds_a_text_but_which_runs_round_it_is_no_collision():
    middle = WORD.box.centre
    assert found(WORD, Drawn((arc(middle, 15.0, 0.0, 6.0),), NARROW)) == []
    assert found(WORD, Drawn((arc(middle, 5.0, 0.0, 6.0),), NARROW)) == [("HALF", "narrow")]


def test_a_line_that_begins_in_a_text_is_found():
    middle = WORD.box.centre
    assert found(WORD, Drawn((line(middle, (150.0, 250.0)),), NARROW, name="leader")) == [("HALF", "leader")]
    assert found(WORD, Drawn((line(middle, (middle[0] + 0.5, middle[1])),), NARROW)) == [("HALF", "narrow")]


def test_a_text_over_the_edge_of_the_sheet_is_found():
    assert found(Letters("HALF", (205.0, 50.0), 5.0)) == [("HALF", "edge of the sheet")]
