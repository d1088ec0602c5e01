"""Winding numbers and sides of points against sums of angles, an independent library and known lobes."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, cos, pi, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.outline.contour import Contour
from generator.outline.create import circle, rectangle, regular_polygon, ring
from generator.outline.distance import boundary_points
from generator.outline.measure import bounds, contours_of
from generator.outline.region import EMPTY, Region
from generator.outline.winding import INSIDE, ON, OUTSIDE, sides, winding_numbers
from tests.outline.facet_oracle import facet_polygon, sagitta
from tests.outline.strategies import angles, contours, numbers, regions

calm = settings(derandomize=True, deadline=None, max_examples=40)
shares = st.lists(st.tuples(numbers(-0.1, 1.1), numbers(-0.1, 1.1)), min_size=1, max_size=20)


def spread(outline, shares) -> np.ndarray:
    b = bounds(outline)
    return np.array([(b.xmin + s * b.width_mm, b.ymin + t * b.height_mm) for s, t in shares])


def turns(outline, p) -> int:
    """Return the winding number as the sum of the angles that facets take up, seen from the point."""
    total = 0.0
    for contour in contours_of(outline):
        bearings = [atan2(y - p[1], x - p[0]) for x, y in facet_polygon(contour).exterior.coords]
        total += sum((b - a + pi) % (2 * pi) - pi for a, b in pairwise(bearings))
    return round(total / (2 * pi))


def clear(outline, points: np.ndarray) -> np.ndarray:
    """Return the points that facets cannot put on the wrong side."""
    lines = shapely.MultiLineString([facet_polygon(c).exterior for c in contours_of(outline)])
    return points[shapely.distance(lines, shapely.points(points)) > sagitta(outline) + 1e-6]


@given(regions, shares)
@calm
def test_against_sums_of_angles(shape, where):
    points = clear(shape, spread(shape, where))
    assert winding_numbers(shape, points).tolist() == [turns(shape, p) for p in points]


@given(contours, shares)
@calm
def test_either_way_round(contour, where):
    points = clear(contour, spread(contour, where))
    once = winding_numbers(contour, points)
    assert set(once.tolist()) <= {0, 1}
    assert (winding_numbers(contour.reversed(), points) == -once).all()
    assert (sides(contour, points, 1e-6) == sides(contour.reversed(), points, 1e-6)).all()


def test_twice_round():
    around = ((9 * cos(0.8 * pi * k), 9 * sin(0.8 * pi * k)) for k in range(5))
    star = Contour.of(around)  # five corners, twice round its middle
    assert winding_numbers(star, [(0, 0), (8.5, 0), (9.5, 0), (-8.5, 0)]).tolist() == [2, 1, 0, 0]
    bow_tie = Contour.of([(0, 0), (10, 10), (10, 0), (0, 10)])
    assert winding_numbers(bow_tie, [(2, 5), (8, 5), (5, 8), (5, 2)]).tolist() == [1, -1, 0, 0]


def test_rays_through_vertices_and_along_segments():
    """Points level with vertices, with flat segments and with the tops of arcs."""
    diamond = Contour.of([(0, -5), (5, 0), (0, 5), (-5, 0)])
    assert winding_numbers(diamond, [(0, 0), (-4.9, 0), (-5.1, 0), (5.1, 0), (-9, 5), (-9, -5)]).tolist() == [
        1, 1, 0, 0, 0, 0,
    ]  # fmt: skip
    box = rectangle(0, 0, 10, 10)
    assert winding_numbers(box, [(-1, 0), (-1, 10), (-1, 5), (5, 5), (11, 0)]).tolist() == [0, 0, 0, 1, 0]
    disc = circle((0, 0), 5)
    assert winding_numbers(disc, [(-9, 5), (-9, -5), (-9, 0), (0, 0), (4.9, 0), (0, 4.999), (-5.001, 0)]).tolist() == [
        0, 0, 0, 1, 1, 1, 0,
    ]  # fmt: skip


@given(st.integers(0, 400), angles)
@calm
def test_points_on_the_chord_of_an_arc_are_on_one_side(k, angle):
    """On the line that halves a disc every point is inside, whatever the rounding of that line."""
    u = (cos(angle), sin(angle))
    disc = Contour.of([(-5 * u[0], -5 * u[1], 1.0), (5 * u[0], 5 * u[1], 1.0)])
    s = (k - 200) / 200 * 4.999
    assert winding_numbers(disc, [(s * u[0], s * u[1])]).tolist() == [1]


def test_no_points_and_no_outline():
    assert winding_numbers(circle((0, 0), 1), np.zeros((0, 2))).shape == (0,)
    assert sides(EMPTY, [(0, 0)], 1e-6).tolist() == [OUTSIDE]


def test_many_points_against_thousands_of_segments():
    wheel = regular_polygon((0, 0), 4000, 100.0)
    points = np.random.default_rng(3).uniform(-60, 60, (4000, 2))
    r = np.hypot(points[:, 0], points[:, 1])
    points = points[np.abs(r - 50.0) > 0.01]
    inside = np.hypot(points[:, 0], points[:, 1]) < 50.0
    assert (winding_numbers(wheel, points) == inside).all()
    assert (sides(wheel, points, 1e-6) == np.where(inside, INSIDE, OUTSIDE)).all()


# ------------------------------------------------------------------ sides
@pytest.mark.parametrize(
    ("point", "side"),
    [
        ((0, 0), OUTSIDE),  # in the hole
        ((15, 0), INSIDE),
        ((25, 0), OUTSIDE),
        ((20, 0), ON),
        ((0, -10), ON),
        ((20 + 9e-7, 0), ON),
        ((20 - 9e-7, 0), ON),
        ((20 + 1.1e-6, 0), OUTSIDE),
        ((20 - 1.1e-6, 0), INSIDE),
    ],
)
def test_ring(point, side):
    assert sides(ring((0, 0), 20, 10), [point], 1e-6).tolist() == [side]


def test_tolerance_is_an_argument():
    disc = Region.of([circle((0, 0), 5)])
    assert sides(disc, [(5.09, 0), (4.91, 0), (5.11, 0)], 0.1).tolist() == [ON, ON, OUTSIDE]


def test_a_lone_hole_has_no_material_but_a_lone_contour_has_an_inside():
    hole = circle((0, 0), 5).reversed()
    assert sides(Region.of([hole]), [(0, 0)], 1e-6).tolist() == [OUTSIDE]
    assert sides(hole, [(0, 0)], 1e-6).tolist() == [INSIDE]


@given(regions, shares)
@calm
def test_vertices_and_middles_are_on(shape, where):
    assert set(sides(shape, boundary_points(shape, 3.0), 1e-6).tolist()) == {ON}
    points = clear(shape, spread(shape, where))
    expected = [INSIDE if turns(shape, p) > 0 else OUTSIDE for p in points]
    assert sides(shape, points, 1e-6).tolist() == expected
