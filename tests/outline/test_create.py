"""Contours from dimensions: sound, counter-clockwise, of the area that the handbook says; bad dimensions refused."""

from __future__ import annotations

from math import cos, hypot, inf, nan, pi, sin, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.errors import ContourError, GeometryError
from generator.outline.contour import Contour, Point
from generator.outline.create import arc_slot, circle, polygon, rectangle, regular_polygon, ring, sector, slot
from generator.outline.measure import area, bounds, length, signed_area
from generator.outline.predicates import corner_angles, explain_contour, is_circle, is_convex
from tests.outline.facet_oracle import turn_residue
from tests.outline.strategies import angles, numbers, places

calm = settings(derandomize=True, deadline=None, max_examples=50)


def test_circle_starts_leftmost():
    assert circle((3, 4), 5) == Contour.of([(-2, 4, 1), (8, 4, 1)])
    assert is_circle(circle((3, 4), 5)) == (Point(3.0, 4.0), 5.0)


@given(numbers(1.0, 90.0), numbers(1.0, 90.0), numbers(0.0, 1.0))
@calm
def test_rounded_rectangle(w, h, share):
    r = share * min(w, h) / 2
    c = rectangle(-w / 2, 3.0, w / 2, 3.0 + h, r)
    assert explain_contour(c) is None
    assert signed_area(c) == pytest.approx(w * h - (4 - pi) * r * r if r > 1e-6 else w * h, rel=1e-12)
    assert bounds(c) == pytest.approx((-w / 2, 3.0, w / 2, 3.0 + h), abs=1e-12)
    assert is_convex(c)


def test_full_radius_leaves_no_straight_pieces():
    assert len(rectangle(0, 0, 40, 20, 10)) == 6
    assert is_circle(rectangle(0, 0, 20, 20, 10)) is not None


def test_radius_too_large_names_the_largest():
    with pytest.raises(ContourError, match=r"radius 11 does not fit; at most 10$"):
        rectangle(0, 0, 40, 20, 11)


def test_polygon_is_turned_counter_clockwise():
    points = [(0, 0), (0, 5), (5, 0)]
    assert signed_area(polygon(points)) == 12.5
    assert polygon(points) == polygon(points[::-1])


@pytest.mark.parametrize("points", [[], [(0, 0)], [(0, 0), (1, 1)], [(0, 0), (1, 1), (2, 2)]])
def test_polygons_that_are_none(points):
    with pytest.raises(ContourError, match=r"polygon"):
        polygon(points)


@given(st.integers(3, 12), numbers(1.0, 60.0), angles, places)
@calm
def test_regular_polygon(n, flats, turn, at):
    c = regular_polygon(at, n, flats, turn_rad=turn)
    assert signed_area(c) == pytest.approx(n * (flats / 2) ** 2 * tan(pi / n), rel=1e-11)
    assert corner_angles(c) == pytest.approx([2 * pi / n] * n, abs=1e-9)


@given(numbers(0.5, 60.0), numbers(0.5, 30.0), angles, places)
@calm
def test_slot(d, width, angle, at):
    c = slot(at, (at.x + d * cos(angle), at.y + d * sin(angle)), width)
    assert explain_contour(c) is None
    assert signed_area(c) == pytest.approx(d * width + pi * width**2 / 4, rel=1e-11)
    assert turn_residue(c) < 1e-11


def test_slot_of_no_length_is_a_circle():
    assert slot((3, 4), (3, 4), 10) == circle((3, 4), 5)


@given(numbers(6.0, 60.0), angles, numbers(-4.0, 4.0).filter(lambda s: abs(s) > 0.05), numbers(0.5, 6.0))
@calm
def test_arc_slot(radius, start, sweep, width):
    c = arc_slot((1.0, 2.0), radius, start, sweep, width)
    assert explain_contour(c) is None
    assert signed_area(c) == pytest.approx(radius * abs(sweep) * width + pi * width**2 / 4, rel=1e-11)
    assert length(c) == pytest.approx(2 * radius * abs(sweep) + pi * width, rel=1e-11)
    assert turn_residue(c) < 1e-10


@given(numbers(1.0, 60.0), angles, numbers(0.05, 6.2))
@calm
def test_sector(radius, start, sweep):
    c = sector((1.0, 2.0), radius, start, sweep)
    assert signed_area(c) == pytest.approx(radius**2 * sweep / 2, rel=1e-11)
    assert all(hypot(v.x - 1.0, v.y - 2.0) == pytest.approx(radius) for v in c.vertices[1:])
    assert signed_area(sector((1.0, 2.0), radius, start, -sweep)) == pytest.approx(radius**2 * sweep / 2)


def test_ring_has_its_hole():
    assert area(ring((0, 0), 5, 4)) == pytest.approx(9 * pi)


@pytest.mark.parametrize("bad", [0.0, -1.0, nan, inf])
@pytest.mark.parametrize(
    "make",
    [
        lambda v: circle((0, 0), v),
        lambda v: rectangle(0, 0, v, 5),
        lambda v: regular_polygon((0, 0), 6, v),
        lambda v: slot((0, 0), (9, 0), v),
        lambda v: arc_slot((0, 0), 10, 0, 1, v),
        lambda v: arc_slot((0, 0), v, 0, 1, 1),
        lambda v: sector((0, 0), v, 0, 1),
        lambda v: ring((0, 0), 5, v),
        lambda v: rectangle(0, 0, 10, 10, -1.0 if v == 0 else v),
    ],
)
def test_bad_sizes_are_refused(make, bad):
    with pytest.raises(GeometryError):
        make(bad)


@pytest.mark.parametrize("bad", [nan, inf])
def test_bad_places_are_refused(bad):
    for make in (
        lambda: circle((bad, 0), 1),
        lambda: slot((0, bad), (1, 1), 1),
        lambda: polygon([(0, 0), (1, bad), (2, 2)]),
    ):
        with pytest.raises(GeometryError):
            make()


def test_shapes_that_close_on_themselves():
    for make in (
        lambda: ring((0, 0), 4, 5),
        lambda: arc_slot((0, 0), 10, 0, 6.2, 4),
        lambda: arc_slot((0, 0), 2, 0, 1, 4),
        lambda: sector((0, 0), 4, 0, 7),
        lambda: regular_polygon((0, 0), 2, 5),
    ):
        with pytest.raises(GeometryError):
            make()
