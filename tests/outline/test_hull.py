"""Convex hulls against those of fine facets, closed forms, and their own definition."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.errors import GeometryError
from generator.outline.carrier import Circle
from generator.outline.contour import Contour, Point
from generator.outline.create import circle, polygon, rectangle, slot
from generator.outline.distance import hausdorff
from generator.outline.fit import ellipse
from generator.outline.hull import hull
from generator.outline.measure import signed_area
from generator.outline.predicates import Side, contains_points, is_circle, is_convex
from generator.outline.region import EMPTY, Region
from tests.outline.facet_oracle import facet_polygon, facet_region, sagitta
from tests.outline.strategies import contours, numbers

spots = st.builds(Point, numbers(-60.0, 60.0), numbers(-60.0, 60.0))
discs = st.builds(Circle, spots, numbers(0.1, 25.0))
calm = settings(derandomize=True, deadline=None, max_examples=60)


def as_facets(shape) -> shapely.Geometry:
    if isinstance(shape, Contour | Region):
        return facet_region(shape)
    if isinstance(shape, Circle):
        return facet_polygon(circle(*shape))
    return shapely.Point(shape)


@given(st.lists(st.one_of(discs, spots, contours), min_size=1, max_size=8))
@calm
def test_against_facets(shapes):
    if not any(isinstance(s, Circle | Contour) for s in shapes):
        return
    h = hull(shapes)
    facets = [as_facets(s) for s in shapes]
    reference = shapely.union_all(facets).convex_hull
    # hulls of sets that lie within d of each other lie within d of each other
    off = max(sagitta(circle(*s) if isinstance(s, Circle) else s) for s in shapes if not isinstance(s, Point))
    assert signed_area(h) == pytest.approx(reference.area, abs=1.01 * reference.length * off)
    assert shapely.hausdorff_distance(reference.exterior, facet_polygon(h).exterior) <= off + sagitta(h)
    assert is_convex(h, angle_rad=1e-7)


@given(contours)
@calm
def test_hull_of_a_hull_is_itself(contour):
    h = hull([contour])
    assert signed_area(hull([h])) == pytest.approx(signed_area(h), rel=1e-12)
    assert hausdorff(hull([h]), h, 0.5) < 1e-8
    assert Side.OUTSIDE not in contains_points(h, [v[:2] for v in contour.vertices])


def test_two_equal_circles_make_an_obround():
    h = hull([Circle(Point(0, 0), 5), Circle(Point(30, 0), 5)])
    assert signed_area(h) == pytest.approx(signed_area(slot((0, 0), (30, 0), 10)), rel=1e-15)
    assert len(h) == 6  # the leftmost and rightmost points of circles stay vertices


def test_circle_stays_a_circle():
    assert is_circle(hull([circle((3, 4), 5)])) == Circle(Point(3.0, 4.0), 5.0)
    assert hull([circle((3, 4), 5), Circle(Point(3, 4), 5)]) == circle((3, 4), 5)


def test_convex_outlines_are_their_own_hull():
    for c in (rectangle(0, 0, 40, 20, 3), ellipse((0, 0), 40, 12), polygon([(0, 0), (9, 0), (4, 7)])):
        h = hull([c])
        assert len(h) == len(c)
        assert hausdorff(h, c, 0.5) < 1e-10


def test_hollow_parts_vanish():
    bent = Contour.of([(0, 0, -0.5), (10, 0), (10, 10, -0.2), (0, 10)])
    assert hull([bent]) == Contour.of([(0, 0), (10, 0), (10, 10), (0, 10)])


def test_points_under_an_arc_do_not_show():
    h = hull([Circle(Point(0, 0), 10), Point(9.9, 0.5), Point(-9.9, 0.5)])
    assert is_circle(h) is not None


def test_islands_count_and_holes_do_not():
    region = Region.of([rectangle(0, 0, 10, 10), circle((5, 5), 2).reversed(), circle((25, 5), 3)])
    assert signed_area(hull([region])) == pytest.approx(
        signed_area(hull([rectangle(0, 0, 10, 10), circle((25, 5), 3)]))
    )


@pytest.mark.parametrize("shapes", [[], [EMPTY], [Point(0, 0)], [Point(0, 0), Point(1, 1), Point(2, 2)]])
def test_nothing_to_go_round(shapes):
    with pytest.raises(GeometryError, match="convex hull"):
        hull(shapes)
