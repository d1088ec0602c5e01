"""The plane of a section: what it dimensions can be read, it steps in plain material, extension lines are short."""

from __future__ import annotations

from math import hypot

import pytest
from drawing_recipes import DEMO, demo

from generator.paper.drawing.drawing import drawing_of
from generator.paper.drawing.section import stretches
from generator.paper.drawing.subject import subject_of
from generator.paper.drawing.told import Told
from generator.paper.drawing.views import section_view
from generator.part.relation import box_of

ON_PAPER_MM = 1.4
"""Shorter than this, twice the 0.7 mm that lines keep apart (ISO 128-2), a cut is a blot."""


@pytest.mark.parametrize("path", DEMO, ids=lambda p: p.stem)
def test_what_is_dimensioned_in_the_section_is_cut_so_long_that_it_can_be_read(path):
    recipe, plan = demo(path)
    drawing = drawing_of(recipe, plan, plan.cover)
    subject = drawing.subject
    for pocket in subject.in_section:
        longest = max(b - a for a, b in stretches(pocket.feature.region, subject.plane))
        assert longest * drawing.section_scale >= ON_PAPER_MM, pocket.mark


@pytest.mark.parametrize("path", DEMO, ids=lambda p: p.stem)
def test_the_plane_goes_through_the_middle_of_a_bolt_and_steps_clear_of_every_hole(path):
    recipe, plan = demo(path)
    subject = subject_of(recipe, plan, plan.cover)
    plane, holes = subject.plane, [h for kind in subject.kinds for h in kind.holes]
    across = 1 if plane.along == "x" else 0
    assert any(abs(run.level - b.at[across]) < 1e-9 for run in plane.runs for b in plan.bolts)
    for first, second in zip(plane.runs[:-1], plane.runs[1:], strict=True):
        for level in (first.level, second.level):
            p = plane.point(first.end, level)
            assert all(hypot(p.x - h.at.x, p.y - h.at.y) > h.outer_mm for h in holes)


def test_letters_are_cut_where_a_stroke_lies_along_the_plane():
    """The strokes of the letters are 2 mm wide: across one nothing of the floor can be seen."""
    recipe, plan = demo(next(p for p in DEMO if p.stem == "bee-house"))
    subject = subject_of(recipe, plan, plan.cover)
    (letters,) = [f for f in plan.cover.features if f.layer.startswith("inlay-pocket")]
    assert max(b - a for a, b in stretches(letters.region, subject.plane)) > 3.0


@pytest.mark.parametrize("path", DEMO, ids=lambda p: p.stem)
def test_a_section_along_y_carries_the_arrow_of_its_turn(path):
    recipe, plan = demo(path)
    drawing = drawing_of(recipe, plan, plan.cover)
    titles = [
        t.text for sheet in drawing.sheets for t in sheet.letters() if t.text.startswith("A-A") and t.height_mm > 3.0
    ]
    assert len(titles) == 1
    assert ("↷" in titles[0]) == (drawing.subject.plane.along == "y")


@pytest.mark.parametrize("path", DEMO, ids=lambda p: p.stem)
def test_extension_lines_of_depths_run_to_the_side_that_is_near(path):
    recipe, plan = demo(path)
    subject = subject_of(recipe, plan, plan.cover)
    block = section_view(subject, 1.0, Told(subject.said), is_main_scale=True)
    box = box_of(plan.cover.profile)
    wide = box.width_mm if subject.plane.along == "x" else box.height_mm
    level = [
        abs(t.vertices[-1].x - t.vertices[0].x)
        for i in block.drawn
        if getattr(i, "name", "") == "dimension"
        for t in i.tracks
        if t.vertices[0].y == t.vertices[-1].y
    ]
    assert level
    assert max(level) < wide / 2.0 + 4.0 + 35.0  # over half of the section, and past two rows of dimensions
