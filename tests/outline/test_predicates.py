"""Containment and overlap against an independent library; kinds of contour by definition and by hand."""

from __future__ import annotations

from math import cos, hypot, pi, sin, tan

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.base.units import Tolerance
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.create import arc_slot, circle, polygon, rectangle, regular_polygon, ring, sector, slot
from generator.outline.distance import boundary_distance
from generator.outline.fit import ellipse
from generator.outline.measure import bounds, contours_of
from generator.outline.predicates import (
    Side,
    contains_point,
    contains_points,
    contains_region,
    corner_angles,
    is_ccw,
    is_circle,
    is_convex,
    overlaps,
    tangent_joints,
)
from generator.outline.region import EMPTY, Region
from generator.outline.transform import Axis, mirrored, moved, scaled, turned
from tests.outline.facet_oracle import facet_polygon, missed_area
from tests.outline.strategies import angles, contours, links, numbers, places, regions, rounded_polygons, star_polygons

calm = settings(derandomize=True, deadline=None, max_examples=60)


def region(*parts: Contour) -> Region:
    return Region.of(parts)


def solid(outline) -> shapely.Geometry:
    """Return the area as facets: what lies in an odd number of contours."""
    first, *rest = (facet_polygon(c) for c in contours_of(outline))
    for part in rest:
        first = first.symmetric_difference(part)
    return first


def beside(a: Region, b: Region, share: float, angle: float) -> Region:
    """Return b moved next to a, or into it, so that all cases come up."""
    p, q = bounds(a), bounds(b)
    d = share * (p.diagonal_mm + q.diagonal_mm) / 2
    return moved(b, p.centre.x - q.centre.x + d * cos(angle), p.centre.y - q.centre.y + d * sin(angle))


# ------------------------------------------------------------------ points
def test_sides_by_name():
    plate = ring((0, 0), 20, 10)
    assert contains_point(plate, (15, 0)) is Side.INSIDE
    assert contains_point(plate, (5, 0)) is Side.OUTSIDE
    assert contains_point(plate, (0, 20)) is Side.ON
    assert contains_points(plate, [(15, 0), (10, 0)]) == [Side.INSIDE, Side.ON]
    assert contains_point(EMPTY, (0, 0)) is Side.OUTSIDE
    assert contains_points(plate, np.zeros((0, 2))) == []


def test_island_in_a_hole():
    target = region(circle((0, 0), 20), circle((0, 0), 10).reversed(), circle((0, 0), 5))
    assert contains_points(target, [(0, 0), (7, 0), (15, 0)]) == [Side.INSIDE, Side.OUTSIDE, Side.INSIDE]


@given(regions, st.lists(st.tuples(numbers(-0.1, 1.1), numbers(-0.1, 1.1)), min_size=1, max_size=20))
@calm
def test_points_against_facets(shape, shares):
    b = bounds(shape)
    points = np.array([(b.xmin + s * b.width_mm, b.ymin + t * b.height_mm) for s, t in shares])
    facets = solid(shape)
    clear = shapely.distance(facets.boundary, shapely.points(points)) > 0.05
    expected = [Side.INSIDE if shapely.contains_xy(facets, *p) else Side.OUTSIDE for p in points[clear]]
    assert contains_points(shape, points[clear]) == expected


# ------------------------------------------------------------------ regions
SQUARE = region(rectangle(0, 0, 40, 40))
PIERCED = region(rectangle(0, 0, 40, 40), circle((20, 20), 10).reversed())


@pytest.mark.parametrize(
    ("outer", "inner", "contained", "overlapping"),
    [
        (SQUARE, region(circle((20, 20), 5)), True, True),
        (SQUARE, region(circle((20, 20), 20)), True, True),  # touches all four sides
        (SQUARE, region(circle((20, 20), 20.001)), False, True),
        (SQUARE, SQUARE, True, True),
        (SQUARE, region(rectangle(0, 0, 10, 10)), True, True),  # along two sides
        (SQUARE, region(rectangle(40, 0, 50, 40)), False, False),  # shares a side
        (SQUARE, region(rectangle(40, 40, 50, 50)), False, False),  # shares a corner
        (SQUARE, region(circle((45, 20), 5)), False, False),  # touches in a point
        (SQUARE, region(circle((44.999, 20), 5)), False, True),
        (SQUARE, region(circle((60, 20), 5)), False, False),
        (SQUARE, region(rectangle(-5, 10, 45, 20)), False, True),  # no vertex of either in the other
        (SQUARE, PIERCED, True, True),
        (PIERCED, SQUARE, False, True),
        (PIERCED, region(circle((20, 20), 10)), False, False),  # fills the hole
        (PIERCED, region(circle((20, 20), 5)), False, False),  # in the hole
        (PIERCED, region(circle((20, 20), 15)), False, True),  # round the hole
        (PIERCED, region(circle((20, 20), 15), circle((20, 20), 10).reversed()), True, True),
        (PIERCED, region(circle((20, 20), 15), circle((20, 20), 12).reversed()), True, True),
        (PIERCED, region(circle((20, 20), 15), circle((20, 20), 8).reversed()), False, True),
        (PIERCED, region(rectangle(0, 0, 10, 40)), True, True),  # touches the hole
        (SQUARE, region(circle((10, 10), 5), circle((60, 10), 5)), False, True),
        (SQUARE, region(circle((10, 10), 5), circle((30, 10), 5)), True, True),
        (region(circle((10, 10), 5), circle((30, 10), 5)), SQUARE, False, True),
        (region(circle((0, 0), 20)), region(Contour.of([(-20, 0, 1), (20, 0)])), True, True),  # half of it
        (region(Contour.of([(-20, 0, 1), (20, 0)])), region(Contour.of([(20, 0, 1), (-20, 0)])), False, False),
        (SQUARE, EMPTY, True, False),
        (EMPTY, SQUARE, False, False),
        (EMPTY, EMPTY, True, False),
    ],
)
def test_by_hand(outer, inner, contained, overlapping):
    across = Axis(Point(3.0, 4.0), 1.1)
    for place in (lambda r: r, lambda r: moved(turned(r, 0.7), 31.0, -17.0), lambda r: mirrored(r, across)):
        assert contains_region(place(outer), place(inner)) is contained
        assert overlaps(place(outer), place(inner)) is overlapping
        assert overlaps(place(inner), place(outer)) is overlapping


@given(regions, regions, numbers(0.0, 1.2), numbers(0.05, 1.5), angles)
@settings(calm, max_examples=100)
def test_regions_against_facets(a, b, share, factor, angle):
    b = beside(a, scaled(b, factor), share, angle)
    assume(boundary_distance(a, b).distance_mm == 0.0 or boundary_distance(a, b).distance_mm > 1e-5)
    fa, fb = solid(a), solid(b)
    slack = missed_area(a) + missed_area(b)
    common, over = fa.intersection(fb).area, fb.difference(fa).area
    assume(not 0 < common <= 10 * slack)
    assume(not 0 < over <= 10 * slack)
    assert overlaps(a, b) is (common > 0)
    assert contains_region(a, b) is (over == 0)


@given(regions)
@calm
def test_a_region_contains_and_overlaps_itself(shape):
    assert contains_region(shape, shape)
    assert overlaps(shape, shape)
    b = bounds(shape)
    box = region(rectangle(b.xmin, b.ymin, b.xmax, b.ymax))
    assert contains_region(box, shape)
    assert overlaps(box, shape)


@given(regions)
@calm
def test_outer_contours_contain_the_region_and_holes_do_not_overlap_it(shape):
    outer = region(shape.contours[0])
    assert contains_region(outer, shape)
    for hole in shape.contours[1:]:
        if not is_ccw(hole) and not any(is_ccw(c) for c in shape.contours[1:]):
            assert not overlaps(shape, region(hole.reversed()))


def test_tolerance_is_an_argument():
    loose = Tolerance(same_mm=0.01)
    out = region(circle((20, 20), 20.005))
    assert not contains_region(SQUARE, out)
    assert contains_region(SQUARE, out, tol=loose)
    near = region(circle((44.995, 20), 5))
    assert overlaps(SQUARE, near)
    assert not overlaps(SQUARE, near, tol=loose)
    assert contains_point(SQUARE, (40.005, 5), tol=loose) is Side.ON


# ------------------------------------------------------------------ corners
def test_corner_angles_by_hand():
    c = Contour.of([(0, 0), (10, 0), (10, 10), (5, 5), (0, 10)])
    assert corner_angles(c) == pytest.approx([pi / 2, pi / 2, 3 * pi / 4, -pi / 2, 3 * pi / 4])
    assert corner_angles(c.reversed()) == pytest.approx([-3 * pi / 4, pi / 2, -3 * pi / 4, -pi / 2, -pi / 2])
    assert corner_angles(sector((0, 0), 5, 0.0, pi / 2)) == pytest.approx([pi / 2] * 3)


@given(contours, angles, places)
@calm
def test_corners_and_sweeps_add_up_to_one_turn(contour, angle, at):
    """Hopf's theorem of turning tangents: a simple closed curve turns once."""
    sweeps = 4 * np.arctan(contour.array[:, 2])
    assert corner_angles(contour).sum() + sweeps.sum() == pytest.approx(2 * pi, abs=1e-9)
    assert corner_angles(turned(contour, angle, at)) == pytest.approx(corner_angles(contour), abs=1e-9)


def test_tangent_joints():
    assert tangent_joints(slot((0, 0), (30, 0), 10)).all()
    assert tangent_joints(circle((0, 0), 5)).all()
    assert tangent_joints(rectangle(0, 0, 20, 10)).sum() == 0
    assert tangent_joints(sector((0, 0), 5, 0, 4.0)).tolist() == [False, False, True, False]
    bent = Contour.of([(0, 0), (10, 0), (20, 1e-5), (20, 10), (0, 10)])
    assert not tangent_joints(bent, angle_rad=1e-7)[1]
    assert tangent_joints(bent, angle_rad=1e-5)[1]


# ------------------------------------------------------------------ convex
@pytest.mark.parametrize(
    ("contour", "convex"),
    [
        (rectangle(0, 0, 20, 10), True),
        (rectangle(0, 0, 20, 10, 3), True),
        (slot((0, 0), (30, 5), 8), True),
        (circle((3, 4), 5), True),
        (ellipse((0, 0), 40, 12), True),
        (regular_polygon((0, 0), 7, 20), True),
        (sector((0, 0), 10, 0, pi), True),
        (sector((0, 0), 10, 0, 3.5), False),
        (arc_slot((0, 0), 20, 0, 2, 5), False),
        (polygon([(0, 0), (10, 0), (10, 10), (5, 5), (0, 10)]), False),
        (polygon([(0, 0), (5, 0), (10, 0), (10, 10), (0, 10)]), True),  # a vertex on a side
        (Contour.of([(0, 0, -0.01), (10, 0), (10, 10), (0, 10)]), False),  # hardly hollow
        (Contour.of([(0, 0, 0.01), (10, 0), (10, 10), (0, 10)]), True),
        (Contour.of([(cos(0.8 * pi * k), sin(0.8 * pi * k)) for k in range(5)]), False),  # turns twice
        (Contour.of([(0, 0)]), False),
        (Contour(()), False),
    ],
)
def test_convex_by_hand(contour, convex):
    assert is_convex(contour) is convex
    assert is_convex(contour.reversed()) is convex


@given(star_polygons() | rounded_polygons() | links(), angles)
@calm
def test_convex_against_the_area_of_the_hull(contour, angle):
    facets = facet_polygon(contour)
    lacking = facets.convex_hull.area - facets.area
    assume(not 1e-9 < lacking < 1e-3)
    assert is_convex(turned(contour, angle)) is (lacking <= 1e-9)


# ------------------------------------------------------------------ circles
@given(places, numbers(0.01, 500.0), st.lists(numbers(0.1, 1.0), min_size=2, max_size=9), angles, st.booleans())
@calm
def test_circle_cut_anywhere_is_found(at, radius, shares, start, back):
    total = sum(shares)
    sweeps = [2 * pi * s / total for s in shares]
    assume(max(sweeps) <= pi)
    starts = [start + sum(sweeps[:k]) for k in range(len(sweeps))]
    c = Contour(
        tuple(
            Vertex(at.x + radius * cos(a), at.y + radius * sin(a), tan(s / 4))
            for a, s in zip(starts, sweeps, strict=True)
        )
    )
    found = is_circle(c.reversed() if back else c)
    assert found is not None
    assert found.radius_mm == pytest.approx(radius, abs=1e-9)
    assert hypot(found.centre.x - at.x, found.centre.y - at.y) < 1e-9


@pytest.mark.parametrize(
    "contour",
    [
        rectangle(0, 0, 10, 10, 4.999),
        slot((0, 0), (1e-3, 0), 10),
        ellipse((0, 0), 10, 9.99),
        sector((0, 0), 5, 0, pi),
        regular_polygon((0, 0), 200, 10),
        Contour.of([(-5, 0, 1), (5, 0, 0.999)]),
        Contour.of([(-5, 0, 1), (5, 0, -1)]),
        Contour.of([(-5, 0, 1), (5, 0, 1), (-5, 0, 1), (5, 0, 1)]),  # twice round
        Contour.of([(0, 0, 1)]),
        Contour(()),
    ],
)
def test_what_is_no_circle(contour):
    assert is_circle(contour) is None


def test_full_radius_square_is_a_circle():
    found = is_circle(rectangle(0, 0, 20, 20, 10))
    assert found.centre == pytest.approx((10.0, 10.0))
    assert found.radius_mm == pytest.approx(10.0, rel=1e-15)


def test_direction_of_travel():
    assert is_ccw(circle((0, 0), 5))
    assert not is_ccw(circle((0, 0), 5).reversed())
    assert is_ccw(mirrored(rectangle(0, 0, 3, 4)))
