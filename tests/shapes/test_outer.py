"""Outer shapes round every original: the least wall holds, joints are tangent, and what is told to be enough is."""

from __future__ import annotations

import re
from functools import cache
from math import acos, cos, pi, radians, sin
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from generator.base.errors import GeometryError
from generator.outline.contour import Point
from generator.outline.measure import area, bounds
from generator.outline.offset import offset_region
from generator.outline.predicates import contains_region, tangent_joints
from generator.outline.region import Region
from generator.shapes.shape import Context
from tests.shapes.oracle import polygon_of
from tests.shapes.outer.told import changed, ways
from tests.shapes.recipe_form import drawn

FOLDER = Path(__file__).parents[1] / "data" / "originals"
NAMES = sorted(p.stem for p in FOLDER.glob("*.json"))
MICROMETRE = 1e-3

few = settings(derandomize=True, deadline=None, max_examples=15, suppress_health_check=list(HealthCheck))


@cache
def around(name: str, seats: bool = False) -> Context:
    recipe = yaml.safe_load((FOLDER / f"{name}.yaml").read_text())["original"]
    footprint = drawn(recipe["footprint"])
    places = [p for g in recipe["bolts"] for p in g.get("at", [])]
    rims = tuple((Point(*map(float, p)), 9.0) for p in places) if seats else ()
    return Context(footprint=footprint, pocket=offset_region(footprint, 0.3), seats=rims)


def wall(outer: Region, context: Context) -> float:
    """The least distance from pocket and seats to the rim, by fine facets of an independent library."""
    rim = polygon_of(outer).boundary
    seats = [rim.distance(polygon_of_point(p)) - r for p, r in context.seats]
    return min([rim.distance(polygon_of(context.pocket)), *seats])


def polygon_of_point(p):
    from shapely.geometry import Point as Spot

    return Spot(*p)


def smooth(outer: Region) -> bool:
    return all(tangent_joints(c).all() for c in outer)


SPECS = [
    {"even_margin": {"margin": 6}},
    {"even_margin": {"margin": 2, "hull": True}},
    {"even_margin": {"margin": 15, "fill_hollows": 25}},
    {"superellipse": {"margin": 6}},
    {"superellipse": {"margin": 2, "exponent": 2}},
    {"superellipse": {"margin": 15, "exponent": 4}},
    {"superellipse": {"margin": 6, "half_width": 75}},
    {"superellipse": {"margin": 6, "half_height": 75, "exponent": 3}},
    {"superellipse": {"margin": 4, "half_height": 90, "half_width": 90}},
    {"pointed": {"margin": 6, "direction": 90, "reach": 75}},
    {"pointed": {"margin": 2, "direction": 205, "reach": 90, "tip_radius": 6}},
    {"pointed": {"margin": 6, "direction": 20, "reach": 110, "sides": {"hollow": 400}}},
    {"pointed": {"margin": 15, "direction": -90, "reach": 90, "sides": {"bulging": 120}, "body": "round"}},
    {"pointed": {"margin": 4, "direction": 130, "reach": 95, "sides": {"bulging": 250}}},
]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("spec", SPECS, ids=lambda s: "-".join([*s, *map(str, next(iter(s.values())))]))
def test_least_wall_holds(name, spec):
    context = around(name, seats=True)
    outer = drawn(spec, context)
    margin = next(iter(spec.values()))["margin"]
    assert len(outer) == 1
    assert wall(outer, context) >= margin - MICROMETRE
    assert smooth(outer)


@pytest.mark.parametrize("name", NAMES)
def test_even_margin_is_even(name):
    context = around(name)
    outer = drawn({"even_margin": {"margin": 5, "fill_hollows": 0}}, context)
    assert outer == offset_region(context.pocket, 5)


def test_hollows_that_are_wide_enough_are_followed():
    """The latch keeper's hollow of radius 60, grown by 0.3 and 5, is one of 54.7."""
    context = around("latch-keeper")
    plain = drawn({"even_margin": {"margin": 5, "fill_hollows": 0}}, context)
    assert area(drawn({"even_margin": {"margin": 5, "fill_hollows": 54}}, context)) == pytest.approx(area(plain))
    assert area(drawn({"even_margin": {"margin": 5, "fill_hollows": 56}}, context)) > area(plain) + 1


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("exponent", [2, 2.5, 5])
def test_superellipse_is_the_smallest(name, exponent):
    """No superellipse with the same centre and 0.1 % less area leaves the wall, whatever its proportions."""
    context = around(name)
    spec = {"margin": 6, "exponent": exponent}
    best = drawn({"superellipse": spec}, context)
    box = bounds(best)
    size = area(best)
    for squeeze in (0.9, 0.97, 0.995, 1.0, 1.005, 1.03, 1.1):
        k = 0.9995
        other = {"half_width": box.width_mm / 2 * squeeze * k, "half_height": box.height_mm / 2 / squeeze * k}
        with pytest.raises(GeometryError, match="too small to leave a wall of 6"):
            drawn({"superellipse": {**spec, **other}}, context)
    assert size > area(offset_region(context.pocket, 6))


def told(error: str) -> dict[str, float]:
    return {k: float(v) for k, v in re.findall(r"(\w+): at least ([0-9.]+)", error)}


@few
@given(
    name=st.sampled_from(NAMES),
    direction=st.integers(0, 359),
    margin=st.sampled_from([2, 5, 12]),
    reach=st.integers(5, 120),
    sides=st.sampled_from(["straight", {"hollow": 15}, {"hollow": 60}, {"bulging": 40}, {"bulging": 90}]),
    body=st.sampled_from(["fitted", "round"]),
)
def test_what_is_told_to_be_enough_is_enough(name, direction, margin, reach, sides, body):
    context = around(name)
    params = {"direction": direction, "margin": margin, "reach": reach, "sides": sides, "body": body}
    try:
        outers = [drawn({"pointed": params}, context)]
    except GeometryError as error:
        outers = [drawn({"pointed": changed(params, way)}, context) for way in ways(str(error))]
    assert outers
    for outer in outers:
        assert wall(outer, context) >= margin - MICROMETRE
        assert smooth(outer)


@few
@given(
    name=st.sampled_from(NAMES),
    size=st.tuples(st.integers(10, 60), st.integers(10, 60)),
    exponent=st.sampled_from([2, 3, 6]),
)
def test_told_size_of_a_superellipse_is_enough(name, size, exponent):
    context = around(name)
    params = {"margin": 4, "exponent": exponent, "half_width": size[0], "half_height": size[1]}
    try:
        outer = drawn({"superellipse": params}, context)
    except GeometryError as error:
        ways = told(str(error))
        assert ways
        if " and half_height" in str(error):
            outer = drawn({"superellipse": {**params, **ways}}, context)
        else:
            for word, value in ways.items():
                outer = drawn({"superellipse": {**params, word: value}}, context)
                assert wall(outer, context) >= 4 - MICROMETRE
    assert wall(outer, context) >= 4 - MICROMETRE


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("direction", [0, 77, 180, 290])
def test_point_reaches_exactly_as_far_as_told(name, direction):
    context = around(name)
    a = radians(direction)
    outer = drawn({"pointed": {"margin": 3, "direction": direction, "reach": 88, "centre": [1, 2]}}, context)
    points = polygon_of(outer).exterior.coords
    reach = max((x - 1) * cos(a) + (y - 2) * sin(a) for x, y in points)
    assert reach == pytest.approx(88, abs=1e-3)
    assert contains_region(outer, offset_region(context.pocket, 3 - 1e-5))


def test_drop_is_two_arcs_and_two_tangents():
    """A round body and a tip joined by straight sides, against the closed form of a belt round two pulleys."""
    context = Context(pocket=drawn({"disc": {"radius": 20}}), footprint=drawn({"disc": {"radius": 20}}))
    outer = drawn({"pointed": {"margin": 5, "direction": 0, "reach": 62, "tip_radius": 2, "body": "round"}}, context)
    r, s, d = 25.0, 2.0, 60.0
    k = (r - s) / d
    half = pi / 2 - acos(k)
    straight = (d * d - (r - s) ** 2) ** 0.5
    expected = straight * (r + s) + r * r * (pi / 2 + half) + s * s * (pi / 2 - half)
    assert area(outer) == pytest.approx(expected, rel=1e-9)
    assert len(outer.contours[0]) <= 6


def test_pieces_are_refused():
    apart = drawn({"union": {"outlines": [{"disc": {"radius": 5}}, {"disc": {"radius": 5}, "at": [60, 0]}]}})
    context = Context(pocket=apart, footprint=apart)
    with pytest.raises(GeometryError, match="falls into 2 pieces: use `hull: true`"):
        drawn({"even_margin": {"margin": 4}}, context)
    assert drawn({"even_margin": {"margin": 4, "hull": True}}, context)
