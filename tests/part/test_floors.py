"""Floors as plates, far corners and what is bonded, against closed forms."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st
from part_samples import CREST, RECIPE, crest, disc, plan_of, plate, stock, taken

from generator.formulas import plates
from generator.outline.create import rectangle
from generator.outline.region import Region
from generator.part.floors import floors
from generator.part.metals import adhesive_of, after_cuts, far_corners, temperatures, warmth
from generator.part.part import Face, Feature
from generator.recipe.model_conditions import Conditions
from generator.recipe.model_inlay import Artwork


def pocket(region: Region, depth: float = 5.0) -> Feature:
    return Feature("bottom-pocket", "bottom-pocket", Face.BOTTOM, region, 0.0, depth, path="clearance")


def oblong(width: float, height: float) -> Region:
    return Region((rectangle(-width / 2.0, -height / 2.0, width / 2.0, height / 2.0),))


@given(st.floats(10.0, 60.0), st.floats(1.05, 5.0))
def test_a_rectangle_counts_as_itself(short, ratio):
    (floor,) = floors(plate(pocket(oblong(short * ratio, short))))
    assert (floor.short_mm, floor.long_mm) == (pytest.approx(short), pytest.approx(short * ratio))
    assert not floor.is_disc
    assert floor.thickness_mm == pytest.approx(3.0)


def test_a_disc_counts_as_itself():
    (floor,) = floors(
        plan_of(replace(RECIPE, original=replace(RECIPE.original, footprint=disc(20.0)), inlays={})).cover
    )
    assert floor.is_disc
    assert floor.short_mm == pytest.approx(2.0 * 20.3)
    assert floor.deflection(100.0, 70e3, 2.0) == pytest.approx(plates.disc_under_load(100.0, 20.3, 70e3, 2.0))


def test_recesses_thin_the_floor_under_them_and_over_most_of_it_the_whole():
    small, large = oblong(10.0, 8.0), oblong(38.0, 28.0)
    part = plate(pocket(oblong(40.0, 30.0)), taken(small, 6.0, 8.0, name="inlay-pocket-a"))
    assert [(f.name, f.thickness_mm) for f in floors(part)] == [("bottom-pocket", 3.0), ("inlay-pocket-a", 1.0)]
    part = plate(pocket(oblong(40.0, 30.0)), taken(large, 6.0, 8.0, name="inlay-pocket-a"))
    assert [f.thickness_mm for f in floors(part)] == [1.0, 1.0]
    beside = replace(
        taken(oblong(4.0, 50.0), 4.0, 8.0, name="inlay-pocket-a"), region=Region((rectangle(30, 0, 35, 9),))
    )
    assert [f.name for f in floors(plate(pocket(oblong(40.0, 30.0)), beside))] == ["bottom-pocket"]
    broken = taken(small, 4.0, 8.0, name="inlay-pocket-a")
    assert [f.name for f in floors(plate(pocket(oblong(40.0, 30.0)), broken))] == ["bottom-pocket"]


def test_the_far_corner_of_an_insert():
    (far,) = far_corners(plan_of(RECIPE).inserts[0].profile)
    assert far.corner_mm == pytest.approx(hypot(6.0, 2.0) + 1.95, abs=0.01)
    assert (far.x_mm, far.y_mm) == (pytest.approx(7.95), pytest.approx(3.95))


def test_temperatures_by_environment_and_as_stated():
    assert temperatures(RECIPE) == (5.0, 40.0)
    outdoors = replace(RECIPE, conditions=Conditions(environment="outdoor", hottest=50.0))
    assert temperatures(outdoors) == (-20.0, 50.0)
    assert warmth(outdoors) == (-40.0, 30.0)


def test_what_bonds_an_insert():
    assert adhesive_of(RECIPE, CREST) is not None
    assert adhesive_of(RECIPE, replace(CREST, fit="press")) is None
    assert adhesive_of(RECIPE, replace(CREST, adhesive="none")) is None
    named = adhesive_of(RECIPE, replace(CREST, fit="press", adhesive="epoxy"))
    assert named is not None
    assert named.name == "epoxy"


def test_the_face_of_an_insert_is_without_what_is_cut_through():
    recipe = crest(
        artwork={"hole": Artwork(outline=disc(2.0)), "line": Artwork(outline=disc(1.0, (5.0, 0.0)), done="engraved")}
    )
    insert = plan_of(recipe).inserts[0]
    assert len(after_cuts(insert)) == 2
    assert after_cuts(plan_of(RECIPE).inserts[0]) == plan_of(RECIPE).inserts[0].profile


def test_a_thicker_plate_is_stiffer():
    thin, thick = (floors(plan_of(stock(thickness=t)).cover)[0] for t in (10.0, 14.0))
    assert thin.thickness_mm < thick.thickness_mm
    assert thick.stress(100.0, 5.0, thick.thickness_mm) < thin.stress(100.0, 5.0, thin.thickness_mm)
