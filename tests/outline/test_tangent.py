"""Constructions: residues of tangency, published figures, and refusals that say what would do."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, cos, hypot, inf, nan, pi, sin, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.errors import GeometryError
from generator.outline.carrier import Circle, tangents
from generator.outline.contour import Point, Segment, Vertex
from generator.outline.measure import signed_area
from generator.outline.predicates import explain_contour
from generator.outline.tangent import (
    Hand,
    arc_by_radius,
    arc_from_direction,
    arc_through,
    arc_to_direction,
    bulging_arc,
    crossing_tangent,
    hollow_arc,
    outer_tangent,
    swept_arc,
    tangent_from,
    tangent_to,
)
from tests.outline.facet_oracle import turn_residue
from tests.outline.strategies import chain, links, numbers, places

calm = settings(derandomize=True, deadline=None, max_examples=60)
hands = st.sampled_from(list(Hand))
circles = st.builds(Circle, places, numbers(0.5, 30.0))
ORIGIN = Point(0.0, 0.0)
FAR = Circle(Point(50.0, 0.0), 5.0)


@st.composite
def apart(draw):
    """Two circles of which neither lies in the other."""
    a, r, angle = draw(circles), draw(numbers(0.5, 30.0)), draw(numbers(0.0, 6.3))
    d = abs(a.radius_mm - r) + draw(numbers(0.5, 100.0))
    return a, Circle(Point(a.centre.x + d * cos(angle), a.centre.y + d * sin(angle)), r)


def side_of_way(a: Circle, b: Circle, p: Point) -> float:
    (ax, ay), (bx, by) = a.centre, b.centre
    return (bx - ax) * (p.y - ay) - (by - ay) * (p.x - ax)


def radial(circle: Circle, p: Point, q: Point) -> float:
    """Return how far the way from p to q is from square to the radius at p, and p from the circle, mm."""
    (cx, cy), r = circle
    along = ((p.x - cx) * (q.x - p.x) + (p.y - cy) * (q.y - p.y)) / max(r, 1e-9) / hypot(q.x - p.x, q.y - p.y)
    return max(abs(along), abs(hypot(p.x - cx, p.y - cy) - r))


# ------------------------------------------------------------------ lines
@given(apart(), hands)
@calm
def test_outer_tangent_touches_both_on_the_same_hand(pair, hand):
    a, b = pair
    join = outer_tangent(a, b, hand)
    assert max(radial(a, join.start, join.end), radial(b, join.end, join.start)) < 1e-11
    assert side_of_way(a, b, join.start) * hand.sign > 0
    assert side_of_way(a, b, join.end) * hand.sign > 0


@given(apart(), hands)
@calm
def test_crossing_tangent_changes_hands(pair, hand):
    a, b = pair
    if hypot(b.centre.x - a.centre.x, b.centre.y - a.centre.y) < a.radius_mm + b.radius_mm + 1e-3:
        return
    join = crossing_tangent(a, b, hand)
    assert max(radial(a, join.start, join.end), radial(b, join.end, join.start)) < 1e-9
    assert side_of_way(a, b, join.start) * hand.sign > 0
    assert side_of_way(a, b, join.end) * hand.sign < 0


def test_open_and_crossed_belt_lengths():
    """Length of belts round two pulleys, standard handbook formulas; distances between tangent points."""
    a, b = Circle(ORIGIN, 5.0), Circle(Point(40.0, 0.0), 8.0)
    join = outer_tangent(a, b, Hand.LEFT)
    assert hypot(join.end.x - join.start.x, join.end.y - join.start.y) == pytest.approx(sqrt(40**2 - 3**2))
    join = crossing_tangent(a, b, Hand.LEFT)
    assert hypot(join.end.x - join.start.x, join.end.y - join.start.y) == pytest.approx(sqrt(40**2 - 13**2))


@given(circles, places, hands)
@calm
def test_tangent_from_and_to_a_point(circle, p, hand):
    if hypot(p.x - circle.centre.x, p.y - circle.centre.y) < circle.radius_mm + 1e-3:
        return
    q = tangent_from(p, circle, hand)
    assert radial(circle, q, p) < 1e-9
    other = Hand.LEFT if hand is Hand.RIGHT else Hand.RIGHT
    assert tangent_to(circle, p, other) == pytest.approx(q, abs=1e-9)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: outer_tangent(Circle(ORIGIN, 10), Circle(Point(3, 0), 2), Hand.LEFT), "at least 8 apart, not 3"),
        (lambda: crossing_tangent(Circle(ORIGIN, 10), Circle(Point(11, 0), 2), Hand.LEFT), "at least 12 apart, not 11"),
        (lambda: outer_tangent(Circle(ORIGIN, 10), Circle(ORIGIN, 2), Hand.LEFT), "same centre"),
        (lambda: tangent_from(Point(1, 0), Circle(ORIGIN, 2), Hand.LEFT), "at least 2 apart, not 1"),
        (lambda: hollow_arc(Circle(ORIGIN, 5), FAR, 12, Hand.LEFT), "12 is too small: at least 20$"),
        (lambda: bulging_arc(Circle(ORIGIN, 5), FAR, 12, Hand.LEFT), "12 is too small: at least 30$"),
        (lambda: bulging_arc(Circle(ORIGIN, 15), Circle(Point(5, 0), 5), 99, Hand.LEFT), "more than 10 apart, not 5"),
        (lambda: hollow_arc(Circle(ORIGIN, 5), Circle(Point(50, 0), 5), nan, Hand.LEFT), "too small"),
        (lambda: arc_by_radius(ORIGIN, Point(10, 0), 4, ccw=True), "radius 4 is too small: at least 5$"),
        (lambda: arc_by_radius(ORIGIN, ORIGIN, 4, ccw=True), "two different ends"),
        (lambda: arc_through(ORIGIN, Point(20, 0), Point(10, 0)), "between the ends"),
        (lambda: arc_through(ORIGIN, ORIGIN, Point(10, 0)), "three different"),
        (lambda: arc_from_direction(ORIGIN, pi, Point(10, 0)), "straight behind"),
        (lambda: arc_to_direction(ORIGIN, Point(10, 0), pi), "straight behind"),
        (lambda: swept_arc(ORIGIN, Point(1, 0), 7.0), "less than a full turn"),
        (lambda: swept_arc(ORIGIN, Point(1, 0), inf), "less than a full turn"),
    ],
)  # fmt: skip
def test_refusals_carry_figures(make, words):
    with pytest.raises(GeometryError, match=words):
        make()


# ------------------------------------------------------------------ arcs between circles
@given(apart(), hands, numbers(0.0, 200.0))
@calm
def test_hollow_arc(pair, hand, more):
    a, b = pair
    d = hypot(b.centre.x - a.centre.x, b.centre.y - a.centre.y)
    radius = max(0.5, (d - a.radius_mm - b.radius_mm) / 2 + 0.1) + more
    join = hollow_arc(a, b, radius, hand)
    s = Segment(join.start, join.end, join.path[0].bulge)
    assert len(join.path) == 1
    assert s.radius_mm == pytest.approx(radius, rel=1e-9)
    for c in pair:
        assert hypot(s.centre.x - c.centre.x, s.centre.y - c.centre.y) == pytest.approx(radius + c.radius_mm, rel=1e-9)
    assert side_of_way(a, b, s.centre) * hand.sign > 0
    assert s.bulge * hand.sign > 0


@given(apart(), hands, numbers(0.1, 200.0))
@calm
def test_bulging_arc(pair, hand, more):
    a, b = pair
    d = hypot(b.centre.x - a.centre.x, b.centre.y - a.centre.y)
    radius = (d + a.radius_mm + b.radius_mm) / 2 + more
    join = bulging_arc(a, b, radius, hand)
    s = Segment(join.start, join.end, join.path[0].bulge)
    assert s.radius_mm == pytest.approx(radius, rel=1e-8)
    for c in pair:
        assert hypot(s.centre.x - c.centre.x, s.centre.y - c.centre.y) == pytest.approx(radius - c.radius_mm, rel=1e-8)
    assert side_of_way(a, b, s.centre) * hand.sign < 0
    assert s.bulge * hand.sign < 0


@given(links())
@calm
def test_links_run_without_a_corner(contour):
    assert turn_residue(contour) < 1e-12 * 200
    assert explain_contour(contour) is None
    assert signed_area(contour) > 0


def test_belt_round_three_pulleys():
    wheels = [Circle(ORIGIN, 4.0), Circle(Point(50, 5), 9.0), Circle(Point(20, 40), 6.0)]
    joins = [outer_tangent(wheels[i], wheels[(i + 1) % 3], Hand.RIGHT) for i in range(3)]
    assert turn_residue(chain(wheels, joins)) < 1e-13


# ------------------------------------------------------------------ single arcs
def segments(path: tuple[Vertex, ...], end: Point) -> list[Segment]:
    starts = [*path, Vertex(*end)]
    return [Segment(Point(*p[:2]), Point(*q[:2]), p.bulge) for p, q in pairwise(starts)]


@given(numbers(0.5, 90.0), numbers(-6.0, 6.0).filter(lambda s: abs(s) > 0.05), numbers(0.0, 6.2), numbers(0.1, 0.9))
@calm
def test_arcs_found_again(radius, sweep, first, share):
    """A known arc is found again from its middle point, radius, directions and sweep."""

    def at(k: float) -> Point:
        return Point(3.0 + radius * cos(first + k * sweep), 4.0 + radius * sin(first + k * sweep))

    start, end, quarter = at(0), at(1), (pi / 2 if sweep > 0 else -pi / 2)
    paths = [
        swept_arc(start, end, sweep),
        arc_through(start, at(share), end),
        arc_by_radius(start, end, radius, ccw=sweep > 0, large=abs(sweep) > pi),
        arc_from_direction(start, first + quarter, end),
        arc_to_direction(start, end, first + sweep + quarter),
    ]
    for path in paths:
        parts = segments(path, end)
        # the radius from a short chord is as exact as the chord allows
        slack = 1e-6 * radius if abs(abs(sweep) - pi) < 1e-3 else 1e-8 * radius
        assert sum(s.sweep for s in parts) == pytest.approx(sweep, abs=1e-6)
        assert all(s.radius_mm == pytest.approx(radius, abs=slack) for s in parts)
        assert all(s.centre == pytest.approx((3.0, 4.0), abs=1e-6 * radius) for s in parts)


def test_half_circle_has_a_bulge_of_one():
    assert arc_by_radius(ORIGIN, Point(10, 0), 5, ccw=True) == (Vertex(0, 0, 1.0),)
    assert arc_through(ORIGIN, Point(5, 5), Point(10, 0)) == (Vertex(0, 0, -1.0),)


def test_three_points_on_a_line():
    assert arc_through(ORIGIN, Point(3, 0), Point(10, 0)) == (Vertex(0, 0, 0.0),)


def test_direction_at_the_end_is_a_line():
    assert arc_from_direction(ORIGIN, 0.0, Point(10, 0)) == (Vertex(0, 0, 0.0),)


@given(places, places, numbers(-3.0, 3.0))
@calm
def test_arc_leaves_in_its_direction(start, end, direction):
    if hypot(end.x - start.x, end.y - start.y) < 1e-3:
        return
    turn = atan2(end.y - start.y, end.x - start.x) - direction
    if cos(turn) < -0.999:
        return
    u = tangents(segments(arc_from_direction(start, direction, end), end)[0])[0]
    assert u == pytest.approx((cos(direction), sin(direction)), abs=1e-9)
    u = tangents(segments(arc_to_direction(start, end, direction), end)[-1])[1]
    assert u == pytest.approx((cos(direction), sin(direction)), abs=1e-9)
