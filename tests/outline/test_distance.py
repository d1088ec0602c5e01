"""Distances in closed form, against an independent library on fine facets, by brute force, and as they transform."""

from __future__ import annotations

from functools import reduce
from math import cos, hypot, pi, sin, sqrt, tan

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.errors import GeometryError
from generator.outline.contour import Contour, Point
from generator.outline.create import circle, polygon, rectangle, regular_polygon, ring, slot
from generator.outline.distance import (
    boundary_distance,
    boundary_points,
    close_contours,
    hausdorff,
    least_gap,
    point_distance,
    points_depth,
    points_distance,
    region_distance,
)
from generator.outline.intersect import nearest_share
from generator.outline.measure import bounds, contours_of, length
from generator.outline.region import EMPTY, Region
from generator.outline.transform import Axis, mirrored, moved, turned
from tests.outline.facet_oracle import facet_polygon, facet_segment, sagitta
from tests.outline.strategies import angles, contours, numbers, places, regions

calm = settings(derandomize=True, deadline=None, max_examples=40)
few = settings(calm, max_examples=20)


def region(*parts: Contour) -> Region:
    return Region.of(parts)


def lines(outline) -> shapely.Geometry:
    """Return the boundary as facets."""
    return shapely.MultiLineString([facet_polygon(c).exterior for c in contours_of(outline)])


def solid(outline) -> shapely.Geometry:
    """Return the area as facets: what lies in an odd number of contours."""
    return reduce(lambda a, b: a.symmetric_difference(b), [facet_polygon(c) for c in contours_of(outline)])


def bow(chord: float, bulge: float) -> Contour:
    """Return an arc over a chord on the x axis from 0, closed by the chord, the arc first."""
    return Contour.of([(0.0, 0.0, bulge), (chord, 0.0)])


# ------------------------------------------------------------------ points, closed form
@pytest.mark.parametrize(
    ("point", "distance", "foot"),
    [
        ((10.0, 0.0), 5.0, (5.0, 0.0)),
        ((3.0, 0.0), 2.0, (5.0, 0.0)),  # inside counts just as much
        ((0.0, -9.0), 4.0, (0.0, -5.0)),
        ((30.0, 40.0), 45.0, (3.0, 4.0)),
        ((-3.0, 4.0), 0.0, (-3.0, 4.0)),
    ],
)
def test_point_and_circle(point, distance, foot):
    found = point_distance(circle((0, 0), 5), point)
    assert found.distance_mm == pytest.approx(distance, abs=1e-14)
    assert found.point == pytest.approx(foot, abs=1e-14)


def test_centre_of_a_circle_is_a_radius_away_from_some_point_of_it():
    found = point_distance(circle((3, 4), 5), (3, 4))
    assert found.distance_mm == pytest.approx(5.0, rel=1e-15)
    assert hypot(found.point.x - 3, found.point.y - 4) == pytest.approx(5.0, rel=1e-15)


@pytest.mark.parametrize(
    ("point", "distance"),
    [((5, 5), 5), ((5, 2), 2), ((-3, -4), 5), ((25, 5), 5), ((13, 14), 4), ((20, 10), 0), ((10, 0), 0)],
)
def test_point_and_rectangle(point, distance):
    assert point_distance(rectangle(0, 0, 20, 10), point).distance_mm == pytest.approx(distance, abs=1e-14)


def test_beyond_the_ends_of_an_arc_its_ends_are_nearest():
    quarter = bow(sqrt(200.0), tan(pi / 8))  # radius 10, below its chord
    assert point_distance(quarter, (-3.0, 4.0)).distance_mm == pytest.approx(5.0)
    assert point_distance(quarter, (sqrt(50.0), -20.0)).distance_mm == pytest.approx(20.0 - 10.0 + sqrt(50.0))


@pytest.mark.parametrize("bulge", [1e-15, 1e-12, 1e-9, 1e-6, 1e-3])
def test_almost_straight_arcs_cost_no_digits(bulge):
    c = Contour.of([(0, 0, -bulge), (100, 0), (100, -50), (0, -50)])
    rise = 50.0 * bulge
    assert point_distance(c, (50.0, 7.0)).distance_mm == pytest.approx(7.0 - rise, rel=1e-14)


def test_hole_counts_as_boundary():
    plate = ring((0, 0), 20, 5)
    assert point_distance(plate, (7, 0)).distance_mm == pytest.approx(2.0)
    assert points_distance(plate, [(7, 0), (19, 0), (0, 0)]) == pytest.approx([2.0, 1.0, 5.0])
    assert points_depth(plate, [(7, 0), (19, 0), (0, 0), (23, 0)]) == pytest.approx([2.0, 1.0, -5.0, -3.0])


@given(regions, places)
@calm
def test_point_against_facets(shape, at):
    b = bounds(shape)
    p = (b.xmin + (at.x + 200) / 400 * 1.5 * b.width_mm, b.ymin + (at.y + 200) / 400 * 1.5 * b.height_mm)
    found = point_distance(shape, p)
    reference = lines(shape).distance(shapely.Point(p))
    assert found.distance_mm == pytest.approx(reference, abs=sagitta(shape) + 1e-8)
    assert hypot(found.point.x - p[0], found.point.y - p[1]) == pytest.approx(found.distance_mm, abs=1e-10)
    assert point_distance(shape, found.point).distance_mm < 1e-10


@given(contours, st.lists(places, min_size=1, max_size=5))
@few
def test_many_points_are_as_one_by_one_and_as_segment_by_segment(contour, points):
    together = points_distance(contour, points)
    one_by_one = [point_distance(contour, p).distance_mm for p in points]
    by_segment = [min(nearest_share(s, p)[1] for s in contour.segments()) for p in points]
    assert together == pytest.approx(one_by_one, abs=1e-12)
    assert together == pytest.approx(by_segment, abs=1e-9)


def test_pruning_changes_nothing():
    """With thousands of segments blocks are left out; the answer is that of each part alone."""
    wheel = regular_polygon((0, 0), 3000, 100.0)
    parts = [wheel, moved(wheel, 130.0, 0.0)]
    chance = np.random.default_rng(1)
    points = chance.uniform(-80, 210, (300, 2))
    both = points_distance(Region.of(parts), points)
    apart = [[point_distance(c, tuple(p)).distance_mm for p in points] for c in parts]
    assert both == pytest.approx(np.min(apart, axis=0), abs=1e-12)
    rim = np.abs(np.hypot(*(points - [0.0, 0.0]).T) - 50.0)
    assert np.abs(points_distance(wheel, points) - rim).max() < 50.0 / cos(pi / 3000) - 50.0 + 1e-12


# ------------------------------------------------------------------ outlines, closed form
@pytest.mark.parametrize(
    ("a", "b", "gap"),
    [
        (circle((0, 0), 5), circle((20, 0), 3), 12.0),
        (circle((0, 0), 5), circle((3, 4), 2), 2.0 - 2.0),  # crosses
        (circle((0, 0), 10), circle((3, 0), 2), 5.0),  # inside, off centre
        (circle((0, 0), 10), circle((0, 0), 2), 8.0),  # concentric
        (circle((0, 0), 10), circle((0, 0), 10), 0.0),
        (circle((0, 0), 5), circle((8, 0), 3), 0.0),  # touches from outside
        (circle((0, 0), 5), circle((2, 0), 3), 0.0),  # touches from inside
        (circle((0, 0), 5), rectangle(7, -40, 9, 40), 2.0),
        (circle((0, 0), 5), rectangle(-9, -9, 9, 9), 4.0),
        (circle((0, 0), 5), rectangle(6, 8, 9, 9), 5.0),  # a corner
        (rectangle(0, 0, 5, 5), rectangle(8, 9, 20, 20), 5.0),
        (rectangle(0, 0, 5, 5), rectangle(8, 2, 20, 3), 3.0),
        (rectangle(0, 0, 5, 5), rectangle(5, 5, 20, 20), 0.0),
        (rectangle(0, 0, 40, 40), rectangle(12, 15, 20, 21), 12.0),
        (slot((0, 0), (30, 0), 10), slot((0, 14), (30, 14), 10), 4.0),
        (polygon([(0, 0), (10, 0), (0, 10)]), polygon([(10, 10), (11, 10), (10, 11)]), 5.0 * sqrt(2.0)),
    ],
)
def test_known_gaps(a, b, gap):
    found = boundary_distance(a, b)
    assert found.distance_mm == pytest.approx(gap, abs=1e-13)
    assert hypot(found.on_b.x - found.on_a.x, found.on_b.y - found.on_a.y) == pytest.approx(gap, abs=1e-12)
    assert boundary_distance(b, a).distance_mm == pytest.approx(gap, abs=1e-13)


@given(numbers(1.0, 40.0), numbers(1.0, 40.0), numbers(0.0, 120.0), angles)
@calm
def test_two_circles(r, s, d, angle):
    """``d - r - s`` apart, ``|r - s| - d`` one in the other, else they cross."""
    found = boundary_distance(circle((0, 0), r), circle((d * cos(angle), d * sin(angle)), s))
    assert found.distance_mm == pytest.approx(max(0.0, d - r - s, abs(r - s) - d), abs=1e-12)


@given(numbers(1.0, 40.0), numbers(2.0, 40.0), numbers(0.05, 3.0), numbers(0.05, 3.0), angles, angles)
@calm
def test_concentric_arcs(r, more, sweep, other, start, turn):
    """Two arcs round one centre: the difference of radii where they face each other, else between ends."""
    s = r + more
    a = arc_and_far_corner(r, start, sweep)
    b = arc_and_far_corner(s, turn, other)
    facing = (turn - start) % (2 * pi) <= sweep or (start - turn) % (2 * pi) <= other
    arc_a, arc_b = next(a.segments()), next(b.segments())
    ends = min(
        min(nearest_share(arc_a, p)[1] for p in (arc_b.start, arc_b.end)),
        min(nearest_share(arc_b, p)[1] for p in (arc_a.start, arc_a.end)),
    )
    expected = more if facing else ends
    facets = [shapely.LineString([*facet_segment(arc, 3000), arc.end]) for arc in (arc_a, arc_b)]
    slack = s * (1 - cos(3.0 / 6000))
    assert facets[0].distance(facets[1]) == pytest.approx(expected, abs=2 * slack)
    found = boundary_distance(a, b)
    assert found.distance_mm <= expected + 1e-11
    whole = lines(a).distance(lines(b))
    assert found.distance_mm == pytest.approx(whole, abs=sagitta(a) + sagitta(b))


def arc_and_far_corner(r: float, start: float, sweep: float) -> Contour:
    """Return an arc round the origin, closed by its chord."""
    first, last = (r * cos(start), r * sin(start)), (r * cos(start + sweep), r * sin(start + sweep))
    return Contour.of([(*first, tan(sweep / 4)), last])


@given(contours, contours, numbers(0.0, 150.0), angles)
@settings(calm, max_examples=60)
def test_outlines_against_facets(a, b, d, angle):
    b = moved(b, bounds(a).centre.x - bounds(b).centre.x, bounds(a).centre.y - bounds(b).centre.y)
    b = moved(b, d * cos(angle), d * sin(angle))
    found = boundary_distance(a, b)
    reference = lines(a).distance(lines(b))
    assert found.distance_mm == pytest.approx(reference, abs=sagitta(a) + sagitta(b) + 1e-8)
    assert found.distance_mm == pytest.approx(hypot(found.on_b.x - found.on_a.x, found.on_b.y - found.on_a.y), abs=1e-9)
    assert point_distance(a, found.on_a).distance_mm < 1e-9
    assert point_distance(b, found.on_b).distance_mm < 1e-9
    again = boundary_distance(b, a).distance_mm
    assert again == pytest.approx(found.distance_mm, abs=1e-10)


@given(contours, contours, angles, places)
@few
def test_turned_moved_mirrored_together(a, b, angle, at):
    gap = boundary_distance(a, b).distance_mm
    for change in (
        lambda c: turned(c, angle, at),
        lambda c: moved(c, at.x, at.y),
        lambda c: mirrored(c, Axis(at, angle)),
        lambda c: c.reversed(),
    ):
        assert boundary_distance(change(a), change(b)).distance_mm == pytest.approx(gap, abs=1e-9)


@given(contours, numbers(0.05, 60.0), angles)
@few
def test_no_sample_is_closer(contour, d, angle):
    other = moved(contour, d * cos(angle), d * sin(angle))
    gap = boundary_distance(contour, other)
    assert points_distance(other, boundary_points(contour, 0.5)).min() >= gap.distance_mm - 1e-10
    assert points_distance(contour, boundary_points(other, 0.5)).min() >= gap.distance_mm - 1e-10


def test_thousands_of_segments():
    wheel = regular_polygon((0, 0), 5000, 100.0)
    ring_gear = regular_polygon((0, 0), 5000, 104.0)
    assert boundary_distance(wheel, ring_gear).distance_mm == pytest.approx(2.0, abs=1e-4)
    assert boundary_distance(wheel, moved(wheel, 101.0, 0.0)).distance_mm == pytest.approx(1.0, abs=1e-4)


# ------------------------------------------------------------------ regions
def test_regions_that_overlap_or_touch_have_no_distance():
    plate = region(rectangle(0, 0, 40, 40))
    assert region_distance(plate, region(circle((20, 20), 3))).distance_mm == 0.0
    assert region_distance(region(circle((20, 20), 3)), plate).distance_mm == 0.0
    assert region_distance(plate, region(rectangle(40, 10, 50, 20))).distance_mm == 0.0
    assert region_distance(plate, region(circle((45, 20), 5))).distance_mm == pytest.approx(0.0, abs=1e-14)


def test_what_lies_in_a_hole_is_apart():
    pierced = ring((0, 0), 20, 10)
    assert region_distance(pierced, region(circle((0, 0), 4))).distance_mm == pytest.approx(6.0)
    assert region_distance(region(circle((5, 0), 4)), pierced).distance_mm == pytest.approx(1.0)


def test_island_in_a_hole_is_material():
    target = region(circle((0, 0), 20), circle((0, 0), 10).reversed(), circle((0, 0), 5))
    inner = region(circle((0, 0), 1))
    assert region_distance(target, inner).distance_mm == 0.0
    p = region_distance(target, inner).on_a
    assert hypot(*p) <= 5.0


@given(regions, regions, numbers(0.0, 120.0), angles)
@few
def test_regions_against_facets(a, b, d, angle):
    b = moved(b, bounds(a).centre.x - bounds(b).centre.x, bounds(a).centre.y - bounds(b).centre.y)
    b = moved(b, d * cos(angle), d * sin(angle))
    reference = solid(a).distance(solid(b))
    assert region_distance(a, b).distance_mm == pytest.approx(reference, abs=sagitta(a) + sagitta(b) + 1e-8)


@pytest.mark.parametrize("ask", [region_distance, boundary_distance])
def test_nothing_has_no_distance(ask):
    for pair in ((EMPTY, region(circle((0, 0), 1))), (region(circle((0, 0), 1)), EMPTY)):
        with pytest.raises(GeometryError, match="empty"):
            ask(*pair)


def test_nothing_has_no_distance_to_points():
    for call in (
        lambda: point_distance(EMPTY, (0, 0)),
        lambda: points_distance(EMPTY, [(0, 0)]),
        lambda: points_depth(EMPTY, [(0, 0)]),
        lambda: hausdorff(EMPTY, circle((0, 0), 1), 1.0),
        lambda: least_gap([EMPTY, circle((0, 0), 1)]),
    ):
        with pytest.raises(GeometryError, match="empty"):
            call()


# ------------------------------------------------------------------ the closest two of several
def test_least_gap_names_both():
    holes = [circle((20.0 * k + 0.1 * k * k, 0), 4) for k in range(6)]
    found = least_gap(holes)
    assert (found.first, found.second) == (0, 1)
    assert found.gap.distance_mm == pytest.approx(12.1)
    assert found.gap.on_a == pytest.approx((4.0, 0.0), abs=1e-12)


@given(st.lists(contours, min_size=2, max_size=5))
@few
def test_least_gap_is_the_least_of_all(outlines):
    found = least_gap(outlines)
    every = {
        (i, j): boundary_distance(outlines[i], outlines[j]).distance_mm
        for i in range(len(outlines))
        for j in range(i + 1, len(outlines))
    }
    assert found.gap.distance_mm == pytest.approx(min(every.values()), abs=1e-10)
    assert every[found.first, found.second] == pytest.approx(found.gap.distance_mm, abs=1e-10)


def test_a_gap_needs_two():
    with pytest.raises(GeometryError, match="at least two"):
        least_gap([circle((0, 0), 1)])


# ------------------------------------------------------------------ samples and Hausdorff
@given(regions, numbers(0.3, 20.0))
@few
def test_samples_lie_on_the_boundary_no_further_apart_than_asked(shape, step):
    for contour in shape:
        p = boundary_points(contour, step)
        assert points_distance(contour, p).max() < 1e-9
        apart = np.hypot(*(np.roll(p, -1, axis=0) - p).T)
        assert apart.max() <= step + 1e-9
        assert apart.sum() <= length(contour) + 1e-9
        vertices = {(round(v.x, 9), round(v.y, 9)) for v in contour.vertices}
        assert vertices <= {(round(x, 9), round(y, 9)) for x, y in p.tolist()}
    assert boundary_points(EMPTY, step).shape == (0, 2)


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        (circle((0, 0), 5), circle((0, 0), 9), 4.0),
        (circle((0, 0), 5), circle((2, 0), 5), 2.0),
        (rectangle(0, 0, 40, 20), rectangle(0, 0, 40, 26), 6.0),
        (rectangle(0, 0, 10, 10), rectangle(0, 0, 10, 10, 2), 2 * (sqrt(2) - 1)),
    ],
)
def test_hausdorff(a, b, expected):
    assert hausdorff(a, b, 0.1) == pytest.approx(expected, abs=1e-3)
    assert hausdorff(b, a, 0.1) == hausdorff(a, b, 0.1)


@given(contours, contours)
@few
def test_hausdorff_against_facets(a, b):
    fine_a, fine_b = (shapely.segmentize(lines(c), 0.5) for c in (a, b))
    reference = shapely.hausdorff_distance(fine_a, fine_b)
    # both ask points half a millimetre apart
    assert hausdorff(a, b, 0.5) == pytest.approx(reference, abs=0.25 + sagitta(a) + sagitta(b))
    assert hausdorff(a, a, 0.5) < 1e-10


def test_points_are_plain_numbers():
    found = boundary_distance(circle((0, 0), 5), circle((20, 0), 3))
    assert isinstance(found.on_a, Point)
    assert {type(v) for v in (found.distance_mm, *found.on_a, *found.on_b)} == {float}


def test_close_contours_are_those_that_come_near():
    apart = Region.of([circle((x, 0.0), 1.0) for x in (0.0, 2.0, 5.0)])
    assert close_contours(apart, 1e-3) == ((0, 1),)
    assert close_contours(apart, 1.5) == ((0, 1), (1, 2))
    inside = Region.of([rectangle(-5, -5, 5, 5), circle((0.0, 0.0), 1.0).reversed()])
    assert close_contours(inside, 1e-3) == ()
