"""Meetings of two segments: by hand, against an independent library on fine facets, and as they transform."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, cos, hypot, pi, sin, sqrt, tan

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.base.units import MODEL
from generator.outline.carrier import Circle, Line, meet
from generator.outline.contour import Point, Segment
from generator.outline.intersect import (
    Apart,
    Contact,
    Meetings,
    Overlap,
    direction_at,
    meet_segments,
    nearest_share,
    point_at,
)
from tests.outline.facet_oracle import facet_segment
from tests.outline.strategies import angles, numbers

calm = settings(derandomize=True, deadline=None, max_examples=150)


def line(x0, y0, x1, y1) -> Segment:
    return Segment(Point(float(x0), float(y0)), Point(float(x1), float(y1)), 0.0)


def arc(cx, cy, r, start_deg, sweep_deg) -> Segment:
    a, b = start_deg * pi / 180, (start_deg + sweep_deg) * pi / 180
    ends = (Point(cx + r * cos(a), cy + r * sin(a)), Point(cx + r * cos(b), cy + r * sin(b)))
    return Segment(*ends, tan(sweep_deg * pi / 720))


def back(s: Segment) -> Segment:
    return Segment(s.end, s.start, -s.bulge)


def contacts(a: Segment, b: Segment) -> tuple[Contact, ...]:
    meeting = meet_segments(a, b)
    assert isinstance(meeting, Meetings)
    return meeting.contacts


# ------------------------------------------------------------------ along one segment
QUARTER = arc(3, 4, 10, 0, 90)


def test_points_and_directions_along_an_arc():
    for share in (0.0, 0.25, 0.5, 1.0):
        a = share * pi / 2
        assert point_at(QUARTER, share) == pytest.approx((3 + 10 * cos(a), 4 + 10 * sin(a)), abs=1e-13)
        assert direction_at(QUARTER, share) == pytest.approx((-sin(a), cos(a)), abs=1e-14)


def test_ends_come_back_to_the_last_digit():
    assert point_at(QUARTER, 0.0) == QUARTER.start
    assert point_at(QUARTER, 1.0) == QUARTER.end


@pytest.mark.parametrize("bulge", [0.0, 1e-300, 1e-12, 1e-9, 1e-7, 1e-3])
def test_almost_straight_arcs(bulge):
    s = Segment(Point(0.0, 0.0), Point(80.0, 0.0), -bulge)
    assert point_at(s, 0.5) == pytest.approx((40.0, 40.0 * bulge), abs=1e-6)
    share, off = nearest_share(s, Point(20.0, 5.0))
    assert share == pytest.approx(0.25, abs=1e-3)
    assert off == pytest.approx(5.0 - 30.0 * bulge, abs=1e-5)


@pytest.mark.parametrize(
    ("p", "share", "off"),
    [
        ((3 + 20 / sqrt(2), 4 + 20 / sqrt(2)), 0.5, 10.0),
        ((3 + 5 * cos(0.3), 4 + 5 * sin(0.3)), 0.3 / (pi / 2), 5.0),
        ((20.0, 4.0), 0.0, 7.0),
        ((13.0, -2.0), 0.0, 6.0),  # before the start
        ((-3.0, 14.0), 1.0, 6.0),  # past the end
        ((3.0 - 30.0, 4.0 - 10.0), 1.0, hypot(30, 20)),  # behind, nearer to the end
    ],
)
def test_nearest_share_of_an_arc(p, share, off):
    assert nearest_share(QUARTER, Point(*p)) == pytest.approx((share, off), abs=1e-12)


def test_nearest_share_of_a_segment_without_length():
    assert nearest_share(line(1, 1, 1, 1), Point(4, 5)) == (0.0, 5.0)


# ------------------------------------------------------------------ by hand
@pytest.mark.parametrize(
    ("a", "b", "points"),
    [
        (line(0, 0, 10, 10), line(0, 10, 10, 0), [(5, 5)]),
        (line(0, 0, 10, 0), line(4, 0, 4, 9), [(4, 0)]),  # a T
        (line(0, 0, 10, 0), line(10, 0, 10, 9), [(10, 0)]),  # an L
        (line(0, 0, 10, 0), line(10, 0, 20, 0), [(10, 0)]),  # one after the other
        (line(-9, 3, 9, 3), arc(0, 0, 5, 0, 180), [(-4, 3), (4, 3)]),
        (line(-9, 3, 0, 3), arc(0, 0, 5, 0, 180), [(-4, 3)]),
        (line(-9, 5, 9, 5), arc(0, 0, 5, 0, 180), [(0, 5)]),  # touches
        (line(0, 0, 0, 9), arc(0, 0, 5, 0, 180), [(0, 5)]),
        (line(0, 0, 9, 0), arc(0, 0, 5, 0, 180), [(5, 0)]),  # at the arc's start
        (arc(0, 0, 5, 0, 180), arc(6, 0, 5, 0, 180), [(3, 4)]),
        (arc(0, 0, 5, -90, 180), arc(6, 0, 5, 90, 180), [(3, -4), (3, 4)]),
        (arc(0, 0, 5, -90, 180), arc(8, 0, 3, 90, 180), [(5, 0)]),  # touch from outside
        (arc(0, 0, 5, -90, 180), arc(2, 0, 3, -90, 180), [(5, 0)]),  # touch from inside
        (arc(0, 0, 5, 0, 180), arc(0, 0, 5, 180, 180), [(5, 0), (-5, 0)]),  # the halves of a circle
        (arc(0, 0, 5, 0, 90), arc(0, 0, 5, 90, 90), [(0, 5)]),
    ],
)
def test_meetings_by_hand(a, b, points):
    for one, other in ((a, b), (a, back(b))):
        found = contacts(one, other)
        assert [c.point for c in found] == [pytest.approx(p, abs=1e-12) for p in points]
        for c in found:
            assert point_at(one, c.on_a) == pytest.approx(c.point, abs=1e-9)
            assert point_at(other, c.on_b) == pytest.approx(c.point, abs=1e-9)
    assert [c.point for c in contacts(back(a), b)] == [pytest.approx(p, abs=1e-12) for p in reversed(points)]


@pytest.mark.parametrize(
    ("a", "b"),
    [
        (line(0, 0, 10, 0), line(0, 1, 10, 1)),
        (line(0, 0, 10, 0), line(11, 0, 20, 0)),  # on one line, one behind the other
        (line(0, 0, 10, 10), line(6, 5, 9, 0)),
        (line(-9, 6, 9, 6), arc(0, 0, 5, 0, 180)),
        (line(-9, -3, 9, -3), arc(0, 0, 5, 0, 180)),  # meets the circle, not the arc
        (line(-2, 1, 2, 1), arc(0, 0, 5, 0, 180)),  # within
        (arc(0, 0, 5, 0, 180), arc(0, 0, 6, 0, 180)),
        (arc(0, 0, 5, 0, 80), arc(0, 0, 5, 100, 80)),  # on one circle
        (arc(0, 0, 5, 0, 180), arc(20, 0, 5, 0, 180)),
        (arc(0, 0, 9, 0, 180), arc(1, 0, 2, 0, 180)),
    ],
)
def test_apart(a, b):
    assert meet_segments(a, b) == Apart()
    assert meet_segments(b, back(a)) == Apart()


@pytest.mark.parametrize(
    ("a", "b", "first", "last"),
    [
        (line(0, 0, 10, 0), line(4, 0, 20, 0), (4, 0), (10, 0)),
        (line(0, 0, 10, 0), line(20, 0, 4, 0), (4, 0), (10, 0)),
        (line(0, 0, 10, 0), line(2, 0, 3, 0), (2, 0), (3, 0)),
        (line(2, 0, 3, 0), line(0, 0, 10, 0), (2, 0), (3, 0)),
        (line(0, 0, 10, 0), line(0, 0, 10, 0), (0, 0), (10, 0)),
        (line(0, 0, 10, 0), line(10, 0, 0, 0), (0, 0), (10, 0)),
        (arc(0, 0, 5, 0, 180), arc(0, 0, 5, 90, 180), (0, 5), (-5, 0)),
        (arc(0, 0, 5, 0, 180), arc(0, 0, 5, 180, -90), (0, 5), (-5, 0)),
        (arc(0, 0, 5, 0, 180), arc(0, 0, 5, 45, 90), (5 / sqrt(2), 5 / sqrt(2)), (-5 / sqrt(2), 5 / sqrt(2))),
    ],
)
def test_shared_stretches(a, b, first, last):
    meeting = meet_segments(a, b)
    assert isinstance(meeting, Overlap)
    assert meeting.first.point == pytest.approx(first, abs=1e-6)
    assert meeting.last.point == pytest.approx(last, abs=1e-6)
    assert meeting.first.on_a < meeting.last.on_a
    assert meeting.first.tangent
    assert meeting.last.tangent


def test_within_the_tolerance_of_each_other_all_along_is_a_shared_stretch():
    meeting = meet_segments(line(0, 0, 10, 0), line(-5, 1e-7, 10, -1e-7))
    assert isinstance(meeting, Overlap)
    assert (meeting.first.point, meeting.last.point) == ((0.0, 0.0), (10.0, 0.0))


def test_tangent_contacts_are_marked():
    assert contacts(line(-9, 5, 9, 5), arc(0, 0, 5, 0, 180))[0].tangent
    assert not contacts(line(-9, 3, 9, 3), arc(0, 0, 5, 0, 180))[0].tangent
    assert contacts(arc(0, 0, 5, -90, 180), arc(8, 0, 3, 90, 180))[0].tangent
    assert contacts(line(0, 0, 9, 0), line(9, 0, 20, 0))[0].tangent


def test_ends_keep_their_digits():
    a, b = line(0.1, 0.2, 0.3, 0.7), line(0.3, 0.7, 9, 9)
    found = contacts(a, b)
    assert found == (Contact(a.end, 1.0, 0.0, tangent=False),)


def test_segments_without_length():
    dot = line(5, 0, 5, 0)
    assert contacts(line(0, 0, 9, 0), dot)[0].point == (5.0, 0.0)
    assert contacts(dot, dot)[0].point == (5.0, 0.0)
    assert meet_segments(line(0, 1, 9, 1), dot) == Apart()


# ------------------------------------------------------------------ within the tolerance and not
@pytest.mark.parametrize("gap", [0.0, 4e-7, 9e-7])
@pytest.mark.parametrize("angle", [0.0, 0.7, 2.0])
def test_almost_touching_within_the_tolerance_is_one_contact(gap, angle):
    u = (cos(angle), sin(angle))
    big = arc(0, 0, 20, angle * 180 / pi - 60, 120)
    left, right = ((u[0] * (20 + gap) - k * u[1], u[1] * (20 + gap) + k * u[0]) for k in (9, -9))
    for other in (
        arc((27 + gap) * u[0], (27 + gap) * u[1], 7, angle * 180 / pi + 120, 120),  # from outside
        arc((13 - gap) * u[0], (13 - gap) * u[1], 7, angle * 180 / pi - 60, 120),  # from inside
        arc((gap - 13) * u[0], (gap - 13) * u[1], 33, angle * 180 / pi - 60, 120),  # round it
        line(*left, *right),
    ):
        for one, two in ((big, other), (other, big)):
            found = contacts(one, two)
            assert len(found) <= 2  # a gap of 0 may round to two crossings a few nm apart
            for c in found:
                assert hypot(c.point.x - 20 * u[0], c.point.y - 20 * u[1]) < 1e-3


@pytest.mark.parametrize("gap", [2.1e-6, 1e-5])  # a point between may be within the tolerance of both
def test_beyond_the_tolerance_is_apart(gap):
    big = arc(0, 0, 20, -60, 120)
    assert meet_segments(big, arc(27 + gap, 0, 7, 120, 120)) == Apart()
    assert meet_segments(big, arc(13 - gap, 0, 7, -60, 120)) == Apart()
    assert meet_segments(big, line(20 + gap, -9, 20 + gap, 9)) == Apart()
    assert meet_segments(line(0, 0, 9, 0), line(9 + gap, -5, 9 + gap, 5)) == Apart()


def test_tolerance_is_an_argument():
    a, b = line(0, 0, 9, 0), line(9.01, -5, 9.01, 5)
    assert isinstance(meet_segments(a, b, tol=replace(MODEL, same_mm=0.02)), Meetings)


# ------------------------------------------------------------------ at random
spots = st.builds(Point, numbers(-30.0, 30.0), numbers(-30.0, 30.0))
bulges = st.just(0.0) | numbers(-1.0, 1.0).filter(lambda b: abs(b) > 1e-3)
segments = st.builds(Segment, spots, spots, bulges).filter(lambda s: s.chord_mm > 0.5)
FACETS = 4000


def facets(s: Segment) -> shapely.LineString:
    return shapely.LineString([*facet_segment(s, FACETS), s.end])


def far_off(s: Segment) -> float:
    """Return how far the facets lie from the segment, mm."""
    return s.radius_mm * (1 - cos(s.sweep / FACETS / 2)) if s.is_arc else 0.0


def points_of(geometry) -> list[tuple[float, float]]:
    parts = getattr(geometry, "geoms", [geometry])
    return [p.coords[0] for p in parts if not p.is_empty]


@given(segments, segments)
@calm
def test_against_facets(a, b):
    meeting = meet_segments(a, b)
    fa, fb = facets(a), facets(b)
    assume(not isinstance(meeting, Overlap))
    if isinstance(meeting, Apart):
        # the facets may cross where the segments only just miss each other
        assert all(close_call(a, b, p) for p in points_of(fa.intersection(fb)))
        return
    sines = [abs(cross(direction_at(a, c.on_a), direction_at(b, c.on_b))) for c in meeting.contacts]
    room = min_room(a, b, [c.point for c in meeting.contacts])
    for c in meeting.contacts:
        at = shapely.Point(c.point)
        assert fa.distance(at) <= far_off(a) + 1.1e-6
        assert fb.distance(at) <= far_off(b) + 1.1e-6
    assume(min(sines) > 0.02 and room > 1e-3)
    reference = points_of(fa.intersection(fb))
    assert len(reference) == len(meeting.contacts)
    slack = (far_off(a) + far_off(b)) / min(sines) + 1e-9
    for c in meeting.contacts:
        assert min(hypot(c.point.x - x, c.point.y - y) for x, y in reference) <= slack


def cross(u, v) -> float:
    return u[0] * v[1] - u[1] * v[0]


def close_call(a: Segment, b: Segment, p) -> bool:
    """Return True at an end, or where both run almost the same way."""
    u, v = (direction_at(s, nearest_share(s, Point(*p))[0]) for s in (a, b))
    return min_room(a, b, [p]) < 1e-3 or abs(cross(u, v)) < 0.02


def min_room(a: Segment, b: Segment, points) -> float:
    """Return how far points are from the ends of both, mm."""
    ends = (a.start, a.end, b.start, b.end)
    return min((hypot(p[0] - e.x, p[1] - e.y) for p in points for e in ends), default=0.0)


@given(segments, segments)
@calm
def test_the_other_way_round_is_the_same_meeting(a, b):
    one, other = meet_segments(a, b), meet_segments(b, a)
    assert type(one) is type(other)
    if isinstance(one, Meetings):
        there = sorted((c.point, c.on_a, c.on_b) for c in one.contacts)
        again = sorted((c.point, c.on_b, c.on_a) for c in other.contacts)
        for (p, s, t), (q, u, v) in zip(there, again, strict=True):
            assert p == pytest.approx(q, abs=1e-9)
            assert (s, t) == pytest.approx((u, v), abs=1e-7)


@given(segments, segments, angles, spots)
@calm
def test_turned_and_moved_together(a, b, angle, by):
    def place(p: Point) -> Point:
        return Point(by.x + p.x * cos(angle) - p.y * sin(angle), by.y + p.x * sin(angle) + p.y * cos(angle))

    def image(s: Segment) -> Segment:
        return Segment(place(s.start), place(s.end), s.bulge)

    before, after = meet_segments(a, b), meet_segments(image(a), image(b))
    assume(not_on_edge(a, b))
    assert type(before) is type(after)
    if isinstance(before, Meetings):
        for c, d in zip(before.contacts, after.contacts, strict=True):
            assert d.point == pytest.approx(place(c.point), abs=1e-7)


def not_on_edge(a: Segment, b: Segment) -> bool:
    """Return True when whether they meet does not hang on the last digits."""
    kinds = {type(meet_segments(a, b, tol=replace(MODEL, same_mm=MODEL.same_mm * k))) for k in (0.5, 1.0, 2.0)}
    return len(kinds) == 1


@given(spots, numbers(1.0, 25.0), angles, numbers(5.0, 180.0), numbers(0.1, 0.9), angles)
@calm
def test_known_crossing_is_found(centre, radius, start, sweep, share, angle):
    """A line drawn through a known point of an arc meets it there."""
    s = arc(centre.x, centre.y, radius, start * 180 / pi, sweep)
    a = start + share * sweep * pi / 180
    p = (centre.x + radius * cos(a), centre.y + radius * sin(a))
    u = (cos(angle), sin(angle))
    assume(abs(cos(a - angle)) > 0.05)
    through = line(p[0] - 7 * u[0], p[1] - 7 * u[1], p[0] + 9 * u[0], p[1] + 9 * u[1])
    found = [c for c in contacts(s, through) if hypot(c.point.x - p[0], c.point.y - p[1]) < 1e-9]
    assert len(found) == 1
    assert found[0].on_a == pytest.approx(share, abs=1e-9)
    assert found[0].on_b == pytest.approx(7 / 16, abs=1e-9)


# ------------------------------------------------------------------ carriers
def test_circles_meet_left_of_the_way_first():
    a, b = Circle(Point(0.0, 0.0), 5.0), Circle(Point(6.0, 0.0), 5.0)
    assert meet(a, b) == [pytest.approx((3, 4)), pytest.approx((3, -4))]
    assert meet(b, a) == [pytest.approx((3, -4)), pytest.approx((3, 4))]


def test_line_meets_circle_in_its_own_order():
    c = Circle(Point(0.0, 0.0), 5.0)
    assert meet(Line(Point(0.0, 3.0), Point(1.0, 0.0)), c) == [pytest.approx((-4, 3)), pytest.approx((4, 3))]
    assert meet(c, Line(Point(0.0, 3.0), Point(-1.0, 0.0))) == [pytest.approx((4, 3)), pytest.approx((-4, 3))]
    assert meet(Line(Point(0.0, 5.0), Point(1.0, 0.0)), c) == [pytest.approx((0, 5))]
    assert meet(Line(Point(0.0, 6.0), Point(1.0, 0.0)), c) == []


def test_parallels_and_concentric_circles_share_nothing():
    assert meet(Line(Point(0.0, 0.0), Point(1.0, 0.0)), Line(Point(0.0, 1.0), Point(-1.0, 0.0))) == []
    assert meet(Circle(Point(0.0, 0.0), 5.0), Circle(Point(0.0, 0.0), 5.0)) == []


@given(numbers(1.0, 50.0), numbers(1.0, 50.0), numbers(0.1, 0.9), angles)
@calm
def test_triangle_of_two_radii_by_the_law_of_cosines(r, s, share, angle):
    """Two circles whose centres and a crossing make a triangle of known sides."""
    d = abs(r - s) + share * (r + s - abs(r - s))
    assume(d > 0.05)
    found = meet(Circle(Point(0.0, 0.0), r), Circle(Point(d * cos(angle), d * sin(angle)), s))
    assert len(found) == 2
    for p in found:
        assert hypot(*p) == pytest.approx(r, rel=1e-9)
        assert hypot(p.x - d * cos(angle), p.y - d * sin(angle)) == pytest.approx(s, rel=1e-9)
    # law of cosines for the angle at the first centre
    bearing = (atan2(found[0].y, found[0].x) - angle) % (2 * pi)
    assert cos(bearing) == pytest.approx((r * r + d * d - s * s) / (2 * r * d), abs=1e-9)
    assert bearing < pi
