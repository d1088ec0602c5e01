"""Numbers that do not go together are refused in plain words, with figures that do, each tried here again."""

from __future__ import annotations

import pytest

from generator.base.errors import GeometryError
from generator.outline.contour import Point
from generator.outline.measure import bounds
from generator.outline.offset import offset_region
from generator.shapes.shape import Context
from tests.shapes.outer.told import changed, refusal, ways
from tests.shapes.outer.walls import around, exact_wall
from tests.shapes.recipe_form import drawn

NAME = "oval-two-bolt"


def mended(kind, params, way):
    outer = drawn({kind: changed(params, way)}, around(NAME))
    assert exact_wall(outer, NAME) >= params["margin"] - 1e-3
    return outer


@pytest.mark.parametrize("given", [{"count": 100, "depth": 6}, {"count": 24, "depth": 9}, {"count": 100, "depth": 1}])
def test_scallops_that_do_not_fit_are_refused_not_grown(given):
    params = {"margin": 5, **given}
    told = {key: value for way in ways(refusal("scalloped", params, NAME)) for key, value in way.items()}
    assert told["count"] < given["count"]
    assert told["depth"] < given["depth"]
    for key, value in told.items():
        box = bounds(mended("scalloped", params, {key: value}))
        assert box.width_mm < 140  # the original with its margin is 98.6 wide


def test_one_scallop_more_than_told_is_refused():
    params = {"margin": 5, "count": 100, "depth": 6}
    (most,) = (way["count"] for way in ways(refusal("scalloped", params, NAME)) if "count" in way)
    mended("scalloped", params, {"count": most})
    refusal("scalloped", {**params, "count": int(most) + 1}, NAME)


@pytest.mark.parametrize(
    ("kind", "count", "keys"),
    [("rosette", 60, {"count"}), ("rounded_star", 40, {"count", "hollow_radius"})],
)
def test_largest_count_or_radius_is_told(kind, count, keys):
    params = {"margin": 5, "count": count}
    told = ways(refusal(kind, params, NAME))
    assert keys <= {key for way in told for key in way}
    for way in told:
        mended(kind, params, way)
    (most,) = (way["count"] for way in told if "count" in way)
    refusal(kind, {**params, "count": int(most) + 1}, NAME)


@pytest.mark.parametrize(
    ("kind", "sizes"),
    [
        ("stadium", {"length": 80, "width": 40}),
        ("stadium", {"length": 40, "width": 52}),
        ("notched", {"width": 60, "height": 40}),
        ("arched", {"width": 70, "height": 40}),
        ("drop", {"reach": 40, "width": 50}),
        ("shield", {"width": 50, "reach": 30}),
    ],
)
def test_two_sizes_that_are_both_too_small_get_a_pair(kind, sizes):
    params = {"margin": 5, **sizes}
    why = refusal(kind, params, NAME)
    (way,) = ways(why)
    assert set(way) == set(sizes)
    assert "leave out" not in why
    box = bounds(mended(kind, params, way))
    assert max(box.width_mm, box.height_mm) < 140
    for key, value in way.items():  # neither can be less while the other is as told
        assert value > sizes[key]
        refusal(kind, changed(params, {**way, key: value - 0.03}), NAME)


def test_only_what_is_too_small_of_two_sizes_is_told():
    """A length that is nearly enough does not grow with a width that is far too small."""
    (way,) = ways(refusal("stadium", {"margin": 5, "length": 98, "width": 20}, NAME))
    assert way["length"] < 105
    assert way["width"] < 75


@pytest.mark.parametrize("sizes", [{"width": 120, "rise": 61}, {"rise": 90}, {"width": 120, "height": 40, "rise": 60}])
def test_rise_that_is_too_large_is_told(sizes):
    params = {"margin": 5, **sizes}
    told = ways(refusal("arched", params, NAME))
    assert any("rise" in way or "height" in way for way in told)
    for way in told:
        mended("arched", params, way)


def test_rise_as_high_as_half_the_width_is_a_half_circle():
    outer = drawn({"arched": {"margin": 5, "width": 120, "rise": 60}}, around(NAME))
    assert outer == drawn({"arched": {"margin": 5, "width": 120}}, around(NAME))
    assert outer == drawn({"arched": {"margin": 5, "width": 120, "rise": 59.999_999_9}}, around(NAME))


@pytest.mark.parametrize("kind", ["stadium", "notched", "arched", "drop", "shield"])
def test_no_count_is_asked_of_shapes_that_have_none(kind):
    for sizes in ({"width": 20}, {"width": 20, "margin": 40}):
        assert "count" not in refusal(kind, {"margin": 5, **sizes}, NAME)


@pytest.mark.parametrize("reach", [73, 73.87, 90, 110])
def test_the_smallest_of_a_few_reaches_that_do_is_told(reach):
    """Below 112 mm the wall is too thin; beyond 125 mm a star of this depth has no hollows any more."""
    footprint = drawn({"rectangle": {"size": [120, 18]}, "at": [30, -12]})
    seats = ((Point(0.0, -12.0), 6.0), (Point(60.0, -12.0), 6.0))
    context = Context(footprint=footprint, pocket=offset_region(footprint, 0.3), seats=seats)
    star = {"margin": 9.67, "direction": 239.26, "depth": 16.22, "centre": [0.35, -1.94]}
    with pytest.raises(GeometryError) as told:
        drawn({"rounded_star": {**star, "reach": reach}}, context)
    (least,) = (way["reach"] for way in ways(str(told.value)) if "reach" in way)
    assert 112 < least < 112.1
    drawn({"rounded_star": {**star, "reach": least}}, context)
    with pytest.raises(GeometryError, match="it leaves a wall of only"):
        drawn({"rounded_star": {**star, "reach": least - 0.02}}, context)


@pytest.mark.parametrize("depth", [7.1, 7.2, 7.5, 9])
def test_a_window_of_sizes_however_narrow_is_found(depth):
    """Where the wall is too thin below and the hollows vanish above, the reaches between are few, and found."""
    params = {"margin": 5, "count": 6, "reach": 40, "depth": depth}
    told = ways(refusal("rounded_star", params, NAME))
    (least,) = (way["reach"] for way in told if set(way) == {"reach"})
    for reach in range(41, int(least), 4):
        refusal("rounded_star", {**params, "reach": reach}, NAME)
    mended("rounded_star", params, {"reach": least})
    refusal("rounded_star", {**params, "reach": least - 0.02}, NAME)
