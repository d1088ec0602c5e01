"""The feature table and main dimensions."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest
from part_samples import COVER, RECIPE, plan_of, plate, round_hole, taken

from generator.outline.create import rectangle
from generator.outline.region import Region
from generator.part.describe import dimensions, feature_rows, floor_left_mm
from generator.part.part import Face
from generator.recipe.model_bolts import Seat


def test_feature_table_of_the_sample() -> None:
    rows = {r.name: r for r in feature_rows(plan_of(RECIPE).cover)}
    assert list(rows) == [
        "bottom-pocket", "hole-bolt-1", "hole-bolt-2", "seat-bolt-1", "seat-bolt-2", "opening-cable",
        "inlay-pocket-crest",
    ]  # fmt: skip
    pocket, hole, seat, inlay = (rows[n] for n in ("bottom-pocket", "hole-bolt-1", "seat-bolt-1", "inlay-pocket-crest"))
    assert (pocket.face, pocket.depth_mm, pocket.shape) == (Face.BOTTOM, 3.4, "flat floor")
    assert pocket.floor_mm == pytest.approx(12 - 3.4 - 6.4)  # under the seats, its thinnest place
    assert (hole.shape, hole.floor_mm, hole.depth_mm) == ("through", 0.0, 12.0)
    assert (hole.diameter_mm, hole.area_mm2) == pytest.approx((6.6, pi * 3.3**2))
    assert seat.floor_mm == pytest.approx(2.2)
    assert (inlay.depth_mm, inlay.diameter_mm) == (1.5, 0.0)
    assert (inlay.width_mm, inlay.height_mm) == pytest.approx((16.0, 8.0))
    assert inlay.floor_mm == pytest.approx(12 - 3.4 - 1.5)


def test_a_countersink_is_told_by_its_widest_diameter() -> None:
    recipe = replace(RECIPE, cover=replace(COVER, seats=Seat(screw="ISO 10642")))
    row = next(r for r in feature_rows(plan_of(recipe).cover) if r.name == "seat-bolt-1")
    assert (row.shape, row.diameter_mm) == ("countersink", pytest.approx(13.71))


def test_floor_beside_a_pocket_is_the_plate() -> None:
    pocket = taken(round_hole(5.0), 0.0, 3.0, name="bottom", face=Face.BOTTOM)
    beside = taken(round_hole(5.0, (20.0, 0.0)), 6.0, 8.0, name="beside")
    over = taken(round_hole(5.0, (2.0, 0.0)), 6.0, 8.0, name="over")
    part = plate(pocket, beside, over)
    assert floor_left_mm(part, beside) == 6.0
    assert floor_left_mm(part, over) == 3.0
    assert floor_left_mm(part, pocket) == 3.0


def test_a_floor_that_is_not_there_is_negative() -> None:
    pocket = taken(round_hole(5.0), 0.0, 3.0, name="bottom", face=Face.BOTTOM)
    deep = taken(round_hole(2.0), 2.5, 8.0, name="deep")
    assert floor_left_mm(plate(pocket, deep), deep) == pytest.approx(-0.5)


def test_main_dimensions() -> None:
    sizes = {d.what: d.value_mm for d in dimensions(plan_of(RECIPE))}
    assert (sizes["cover width"], sizes["cover height"], sizes["cover thickness"]) == pytest.approx((80, 50, 12))
    assert (sizes["footprint width"], sizes["footprint height"]) == pytest.approx((60, 30))
    assert sizes["insert-crest width"] == pytest.approx(15.9)
    assert sizes["bottom-pocket depth"] == 3.4


def test_rows_of_an_insert_are_none() -> None:
    assert feature_rows(plan_of(RECIPE).inserts[0]) == ()


def test_rectangular_pocket_has_no_diameter() -> None:
    (row,) = feature_rows(plate(taken(Region((rectangle(0, 0, 4, 3),)), 5.0, 8.0)))
    assert (row.diameter_mm, row.area_mm2) == (0.0, pytest.approx(12.0))
