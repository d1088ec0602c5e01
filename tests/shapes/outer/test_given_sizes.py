"""Keys that are given are kept to the micrometre; the change that a refusal names is the smallest."""

from __future__ import annotations

from math import cos, radians, sin

import pytest
from shapely import affinity

from generator.base.errors import GeometryError
from generator.outline.measure import bounds
from generator.outline.predicates import explain_contour
from tests.shapes.oracle import polygon_of
from tests.shapes.outer.told import drawn_or_told, ways
from tests.shapes.outer.walls import NAMES, around, exact_wall, smooth
from tests.shapes.recipe_form import drawn

MICROMETRE = 1e-3


def sound(outer, name, margin):
    assert len(outer) == 1
    assert explain_contour(outer.contours[0]) is None
    assert smooth(outer)
    assert exact_wall(outer, name) >= margin - MICROMETRE


LEAST = [
    ("rosette", {"reach": 30}, "reach"),
    ("rounded_star", {"reach": 40}, "reach"),
    ("drop", {"reach": 95, "width": 60}, "width"),
    ("stadium", {"length": 90, "width": 80}, "length"),
    ("notched", {"width": 60, "height": 90}, "width"),
    ("arched", {"width": 110, "height": 60}, "height"),
    ("shield", {"width": 100, "reach": 40}, "reach"),
    ("rounded_polygon", {"across_flats": 60}, "across_flats"),
]


@pytest.mark.parametrize(("kind", "sizes", "key"), LEAST)
def test_change_named_is_the_smallest(kind, sizes, key):
    """A fiftieth of a millimetre less is refused again."""
    context = around("oval-two-bolt")
    with pytest.raises(GeometryError) as told:
        drawn({kind: {"margin": 5, **sizes}}, context)
    (value,) = (way[key] for way in ways(str(told.value)) if key in way)
    sound(drawn({kind: {"margin": 5, **sizes, key: value}}, context), "oval-two-bolt", 5)
    with pytest.raises(GeometryError, match=f"{key}: at least"):
        drawn({kind: {"margin": 5, **sizes, key: value - 0.02}}, context)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("direction", [0, 77, 180, 290])
@pytest.mark.parametrize("kind", ["drop", "rosette", "rounded_star"])
def test_reach_is_as_long_as_told(kind, name, direction):
    outer = drawn({kind: {"margin": 3, "direction": direction, "reach": 105, "centre": [1, 2]}}, around(name))
    a = radians(direction)
    far = max((x - 1) * cos(a) + (y - 2) * sin(a) for x, y in polygon_of(outer).exterior.coords)
    assert far == pytest.approx(105, abs=MICROMETRE)


def test_sizes_come_out_as_given():
    context = around("oval-two-bolt")
    box = bounds(drawn({"stadium": {"margin": 3, "length": 131, "width": 77}}, context))
    assert (box.width_mm, box.height_mm) == pytest.approx((131, 77))
    box = bounds(drawn({"notched": {"margin": 3, "width": 121, "height": 91}}, context))
    assert (box.width_mm, box.height_mm) == pytest.approx((121, 91))
    box = bounds(drawn({"arched": {"margin": 3, "width": 121, "height": 91}}, context))
    assert (box.width_mm, box.height_mm) == pytest.approx((121, 91))
    box = bounds(drawn({"rounded_polygon": {"margin": 3, "count": 4, "across_flats": 111}}, context))
    assert (box.width_mm, box.height_mm) == pytest.approx((111, 111))


@pytest.mark.parametrize("kind", ["rosette", "rounded_star", "drop", "shield", "arched", "notched", "stadium"])
def test_symmetric_round_a_symmetric_original(kind):
    """The oval is its own mirror image in y: so is every shape round it that points up."""
    outer = polygon_of(drawn({kind: {"margin": 4}}, around("oval-two-bolt")))
    mirrored = affinity.scale(outer, -1, 1, origin=(0, 0))
    assert outer.symmetric_difference(mirrored).area < 1e-3 * outer.length


@pytest.mark.parametrize("name", ["d-flange", "lever-bracket"])
@pytest.mark.parametrize("count", [3, 4, 5, 7, 12])
@pytest.mark.parametrize("kind", ["rosette", "rounded_star", "rounded_polygon", "hollow_hull"])
def test_any_count_will_do(kind, count, name):
    sound(drawn({kind: {"margin": 4, "count": count}}, around(name)), name, 4)


@pytest.mark.parametrize("name", ["d-flange", "lever-bracket"])
@pytest.mark.parametrize("count", [4, 9, 40, 120])
@pytest.mark.parametrize("scallops", ["outward", "inward"])
def test_any_count_of_scallops_will_do_or_the_next_that_does_is_told(scallops, count, name):
    spec = {"margin": 4, "count": count, "scallops": scallops, "edge_radius": 1}
    outer, why = drawn_or_told("scalloped", spec, name)
    if outer is None:
        (least,) = (way["count"] for way in ways(why) if "count" in way)
        assert count < least <= 12
        outer = drawn({"scalloped": spec | {"count": int(least)}}, around(name))
    sound(outer, name, 4)
