"""Radii of outside corners: those of the recipe, told in the notes of the drawing."""

from __future__ import annotations

import pytest
from drawing_recipes import DEMO, demo
from part_samples import box, cover, disc, plan_of

from generator.paper.drawing.drawing import drawing_of
from generator.paper.drawing.outline_corners import outside_radii


@pytest.mark.parametrize("radius", [0.0, 2.5, 8.0])
def test_the_corners_of_a_rectangle_have_its_radius(radius):
    part = plan_of(cover(outer=box(80.0, 50.0, round_mm=radius))).cover
    assert outside_radii(part) == ((pytest.approx(radius),) if radius else ())


def test_a_disc_has_no_corners():
    assert outside_radii(plan_of(cover(outer=disc(45.0))).cover) == ()


def test_the_ends_of_a_bent_band_are_told_with_its_sides():
    _, plan = demo(next(p for p in DEMO if p.stem == "door-bell"))
    insert = next(p for p in plan.inserts if p.name == "insert-name")
    ends = {round(s.radius_mm, 4) for c in insert.profile for s in c.segments() if s.bulge > 0.0}
    assert set(outside_radii(insert)) == ends
    assert min(ends) < 4.0


def test_the_drawing_of_an_insert_tells_the_radius_of_its_corners():
    """The insert of 30 by 15 with corners of 3 mm, smaller than that by its gap all round."""
    recipe, plan = demo(next(p for p in DEMO if p.stem == "gate-latch"))
    (insert,) = plan.inserts
    (radius,) = outside_radii(insert)
    texts = " ".join(t.text for sheet in drawing_of(recipe, plan, insert).sheets for t in sheet.letters())
    assert f"Outside radii of the outline: R{radius:g}." in texts
