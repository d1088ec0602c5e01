"""Every fault once, at its segment and point; touching told apart from crossing; an independent library agrees."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import atan, atan2, cos, hypot, inf, nan, pi, sin, sqrt, tan

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.base.units import MODEL
from generator.outline.contour import Contour, Vertex
from generator.outline.create import circle, polygon, rectangle, regular_polygon, slot
from generator.outline.intersect import Meetings, meet_segments, nearest_share
from generator.outline.spans import spans_of
from generator.outline.transform import Axis, mirrored, moved, turned
from generator.outline.validity import Fault, _go_on, explain_contour, touching_points
from tests.outline.facet_oracle import facet_polygon
from tests.outline.strategies import angles, contours, numbers, places

calm = settings(derandomize=True, deadline=None, max_examples=60)
BOW_TIE = Contour.of([(0, 0), (10, 10), (10, 0), (0, 10)])
HOURGLASS = Contour.of([(0, 0), (10, 0), (5, 5), (10, 10), (0, 10), (5, 5)])  # its waist touches, and does not cross
HALF = 1.0


def found(contour: Contour, **kwargs):
    problem = explain_contour(contour, **kwargs)
    return None if problem is None else (problem.fault, problem.segment, problem.point)


# ------------------------------------------------------------------ every fault once
@pytest.mark.parametrize(
    ("vertices", "fault", "segment", "point"),
    [
        ([], Fault.TOO_FEW, -1, None),
        ([(1, 2)], Fault.TOO_FEW, -1, None),
        ([(0, 0), (nan, 1), (5, 5)], Fault.NOT_FINITE, 1, None),
        ([(0, 0), (5, 0), (5, inf)], Fault.NOT_FINITE, 2, None),
        ([(0, 0), (5, 0, nan), (5, 5)], Fault.NOT_FINITE, 1, None),
        ([(0, 0), (5, 0, -1.001), (5, 5)], Fault.BULGE, 1, (5, 0)),
        ([(0, 0), (5, 0), (5, 0), (5, 5)], Fault.NO_LENGTH, 1, (5, 0)),
        ([(0, 0), (5, 0), (5, 5), (5e-7, 0)], Fault.NO_LENGTH, 3, (5e-7, 0)),
        ([(0, 0), (10, 0), (10, 10), (10, -5), (0, -5)], Fault.DOUBLES_BACK, 2, (10, 0)),
        ([(0, 0), (10, 10), (10, 0), (0, 10)], Fault.CROSSES, 2, (5, 5)),
    ],
)
def test_every_fault(vertices, fault, segment, point):
    problem = explain_contour(Contour.of(vertices))
    assert (problem.fault, problem.segment) == (fault, segment)
    assert problem.point == (None if point is None else pytest.approx(point, abs=1e-12))


@pytest.mark.parametrize(
    ("contour", "words"),
    [
        (Contour(()), "a contour needs at least 2 vertices, not 0"),
        (Contour.of([(0, 0), (1, nan), (2, 2)]), "vertex 1 is not a finite number"),
        (Contour.of([(0, 0, 1.5), (5, 0)]), "segment 0 sweeps more than a half circle (bulge 1.5)"),
        (Contour.of([(0, 0), (0, 0), (5, 0)]), "segment 0 has no length"),
        (BOW_TIE, "segment 2 crosses segment 0 at (5, 5)"),
        (Contour.of([(0, 0), (5, 0)]), "segments 0 and 1 run along each other from (0, 0)"),
    ],
)
def test_sentences(contour, words):
    assert explain_contour(contour).message == words


def test_touching_is_a_fault_only_when_asked():
    assert explain_contour(HOURGLASS) is None
    problem = explain_contour(HOURGLASS, touching_allowed=False)
    assert problem.fault is Fault.TOUCHES
    assert problem.point == (5.0, 5.0)
    assert problem.message.endswith("at (5, 5)")


# ------------------------------------------------------------------ crossing or touching
@pytest.mark.parametrize(
    ("contour", "fault", "point"),
    [
        # a vertex on the middle of a segment: from one side, and through it
        (Contour.of([(0, 0), (20, 0), (20, 10), (10, 0), (0, 10)]), Fault.TOUCHES, (10, 0)),
        (Contour.of([(0, 0), (20, 0), (10, 10), (10, 0), (10, -10)]), Fault.CROSSES, (10, 0)),
        # two vertices on each other
        (HOURGLASS, Fault.TOUCHES, (5, 5)),
        (Contour.of([(0, 0), (5, 5), (10, 10), (10, 0), (5, 5), (0, 10)]), Fault.CROSSES, (5, 5)),
        # a line touches an arc from outside and from inside, and cuts it
        (Contour.of([(-5, 0, -HALF), (5, 0), (9, 0), (9, 5), (-9, 5), (-9, 0)]), Fault.TOUCHES, (0, 5)),
        (Contour.of([(-5, 0, -HALF), (5, 0), (9, 0), (9, 4), (-9, 4), (-9, 0)]), Fault.CROSSES, (-3, 4)),
        # two arcs: tangent from outside, and through each other
        (
            Contour.of([(-5, 0, -HALF), (5, 0), (9, 0), (9, 10), (5, 10, -HALF), (-5, 10), (-9, 10), (-9, 0)]),
            Fault.TOUCHES,
            (0, 5),
        ),
        (
            Contour.of([(-5, 0, -HALF), (5, 0), (9, 0), (9, 8), (5, 8, -HALF), (-5, 8), (-9, 8), (-9, 0)]),
            Fault.CROSSES,
            (-3, 4),
        ),
        # the first and the last of all segments cross as neighbours once more
        (Contour.of([(0, 0, 0.9), (10, 0), (10, -1), (4, -9), (4, -1)]), Fault.CROSSES, None),
    ],
)
def test_touching_is_told_apart_from_crossing(contour, fault, point):
    for image in (contour, contour.reversed(), mirrored(contour), mirrored(contour).reversed()):
        problem = explain_contour(image, touching_allowed=False)
        assert problem.fault is fault
    problem = explain_contour(contour, touching_allowed=False)
    if point is not None:
        assert problem.point == pytest.approx(point, abs=1e-12)
        every = {p.fault for p in touching_points(contour)}
        assert every == ({Fault.TOUCHES} if fault is Fault.TOUCHES else every)


def test_every_place_of_touching():
    comb = [(0, 0), (50, 0), (50, 10), (40, 0), (30, 10), (20, 0), (10, 10), (0, 5)]
    places = sorted(p.point for p in touching_points(Contour.of(comb)))
    assert places == [(20.0, 0.0), (40.0, 0.0)]
    assert touching_points(circle((0, 0), 5)) == []
    assert touching_points(Contour.of([(0, 0)])) == []


def test_no_length_between_first_and_last():
    closed_twice = Contour.of([(0, 0), (10, 0), (10, 10), (0, 0)])
    assert found(closed_twice) == (Fault.NO_LENGTH, 3, (0.0, 0.0))


@pytest.mark.parametrize(
    "vertices",
    [
        [(0, 0), (10, 0), (5, 0), (5, 5)],  # straight back along the segment before
        [(0, 0), (5, 0)],
        [(0, 0, 0.5), (10, 0, -0.5)],  # an arc there and back
        [(-5, 0, 1), (5, 0, 1), (-5, 0, 1), (5, 0, 1)],  # twice round the same circle
        [(0, 0), (10, 0), (10, 5), (20, 5), (20, 0), (5, 0), (5, -5), (0, -5)],  # along a far segment
        [(0, 0, -tan(pi / 8)), (10, 10), (10, 20), (20, 20), (20, 10), (10, 10, tan(pi / 8)), (0, 0), (0, 30)],
    ],
)
def test_runs_along_itself(vertices):
    contour = Contour.of(vertices)
    problem = explain_contour(contour)
    assert problem.fault is Fault.DOUBLES_BACK
    assert explain_contour(contour.reversed()).fault is Fault.DOUBLES_BACK


def test_the_worse_fault_is_told_even_if_a_touch_comes_first():
    c = Contour.of([(0, 0), (40, 0), (40, 20), (30, 0), (20, 20), (20, -5), (10, -5), (10, 20), (0, 20)])
    assert explain_contour(c, touching_allowed=False).fault is Fault.CROSSES


def test_two_half_circles_are_sound_and_two_of_one_hand_are_not_more_than_a_half():
    assert explain_contour(Contour.of([(-5, 0, 1.0), (5, 0, 1.0)])) is None
    assert explain_contour(Contour.of([(-5, 0, 1.0), (5, 0, 0.2)])) is None
    assert explain_contour(Contour.of([(-5, 0, 1.0), (5, 0, 0.0)])) is None
    assert explain_contour(Contour.of([(-5, 0, 1.0), (5, 0, -0.2)])) is None  # a crescent


# ------------------------------------------------------------------ tolerance
def test_tolerance_is_an_argument():
    c = Contour.of([(0, 0), (20, 0), (20, 10), (10, 0.01), (0, 10)])
    assert explain_contour(c, touching_allowed=False) is None
    assert found(c, touching_allowed=False, tol=replace(MODEL, same_mm=0.02))[0] is Fault.TOUCHES
    assert found(rectangle(0, 0, 5, 0.01), tol=replace(MODEL, same_mm=0.02))[0] is Fault.NO_LENGTH


@pytest.mark.parametrize("gap", [2e-6, 1e-4])
def test_narrow_gaps_are_sound(gap):
    c = Contour.of([(0, 0), (20, 0), (20, 10), (10, gap), (0, 10)])
    assert explain_contour(c, touching_allowed=False) is None
    slit = Contour.of([(0, 0), (20, 0), (20, gap), (10, gap), (10, 10), (20, 10), (20, 20), (0, 20)])
    assert explain_contour(slit, touching_allowed=False) is None


@pytest.mark.parametrize("at", [(0.0, 0.0), (1e5, -1e5)])
@pytest.mark.parametrize("bulge", [1e-9, -1e-9, 1e-4])
def test_hardly_bent_neighbours_do_not_touch(bulge, at):
    c = moved(Contour.of([(0, 0, bulge), (50, 0, bulge), (100, 0), (100, 50), (0, 50)]), *at)
    assert explain_contour(c, touching_allowed=False) is None


@pytest.mark.parametrize("angle", [1e-3, 1e-4, 1e-5])
def test_sharp_spikes_are_sound(angle):
    c = Contour.of([(0, 0), (50, 0), (0, 50 * tan(angle))])
    assert explain_contour(c, touching_allowed=False) is None


# ------------------------------------------------------------------ at random
@given(contours, angles, places)
@calm
def test_sound_contours_stay_sound(contour, angle, at):
    for image in (contour, contour.reversed(), turned(contour, angle, at), mirrored(contour, Axis(at, angle))):
        assert explain_contour(image, touching_allowed=False) is None


@given(st.lists(st.tuples(numbers(0.0, 50.0), numbers(0.0, 50.0)), min_size=3, max_size=7), st.data())
@settings(calm, max_examples=150)
def test_random_polygons_of_lines_and_arcs_against_facets(points, data):
    bulges = [data.draw(st.sampled_from([0.0, 0.0, 0.3, -0.4, 0.9])) for _ in points]
    c = Contour(tuple(Vertex(*p, b) for p, b in zip(points, bulges, strict=True)))
    problem = explain_contour(c, touching_allowed=False)
    assume(problem is None or problem.fault is Fault.CROSSES)
    assume(problem is None or min(hypot(v.x - problem.point.x, v.y - problem.point.y) for v in c.vertices) > 0.5)
    assert facet_polygon(c).exterior.is_simple == (problem is None)
    if problem is not None:
        segment = list(c.segments())[problem.segment]
        assert nearest_share(segment, problem.point)[1] < 1e-9


def windings(c: Contour) -> set[int]:
    """Return how often the polygon goes round the faces it makes, by the sum of the angles seen from inside each."""
    ring = facet_polygon(c).exterior
    faces = shapely.polygonize([shapely.node(ring)]).geoms
    out = {0}
    for p in (face.representative_point() for face in faces):
        bearings = [atan2(y - p.y, x - p.x) for x, y in ring.coords]
        out.add(round(sum((b - a + pi) % (2 * pi) - pi for a, b in pairwise(bearings)) / (2 * pi)))
    return out


def passes(c: Contour, p) -> float:
    """Return how many ways lead through a point."""
    shares = [nearest_share(s, p) for s in c.segments()]
    return sum(0.5 if share in (0.0, 1.0) else 1.0 for share, off in shares if off < 1e-9)


@given(st.lists(st.tuples(st.integers(0, 4), st.integers(0, 4)), min_size=4, max_size=8, unique=True))
@settings(calm, max_examples=400)
def test_on_a_grid_where_much_touches(points):
    """Round a crossing three winding numbers meet (w - 1, w, w + 1); a way that only touches itself has two in all."""
    c = Contour.of(points)
    problem = explain_contour(c)
    assume(problem is None or problem.fault is not Fault.DOUBLES_BACK)
    values = windings(c)
    if problem is None:
        assert len(values) == 2
        assert all(p.fault is Fault.TOUCHES for p in touching_points(c))
        assert bool(touching_points(c)) == (not facet_polygon(c).exterior.is_simple)
    else:
        assert len(values) > 2 or passes(c, problem.point) > 2


@given(st.integers(5, 40), st.integers(2, 19), angles)
@calm
def test_stars_cross_themselves(n, step, angle):
    assume(1 < step < n / 2)
    corners = [(30 * cos(angle + 2 * pi * step * k / n), 30 * sin(angle + 2 * pi * step * k / n)) for k in range(n)]
    problem = explain_contour(Contour.of(corners))
    assert problem.fault in (Fault.CROSSES, Fault.DOUBLES_BACK)
    if n % step and all(n % d or step % d for d in range(2, step + 1)):
        assert problem.fault is Fault.CROSSES
        # the crossing chords of a star polygon {n/k} lie on the circles of its inner points
        p = problem.point
        radii = [30 * cos(pi * step / n) / cos(pi * j / n) for j in range(step)]
        assert min(abs(sqrt(p.x**2 + p.y**2) - r) for r in radii) < 1e-9


# ------------------------------------------------------------------ thousands of segments
def cogwheel(teeth: int) -> Contour:
    steps = ((k, 100.0 if k % 4 < 2 else 96.0) for k in range(4 * teeth))
    return polygon([(r * cos(2 * pi * k / (4 * teeth)), r * sin(2 * pi * k / (4 * teeth))) for k, r in steps])


def test_thousands_of_segments_sound_and_not():
    wheel = cogwheel(1250)
    assert len(wheel) == 5000
    assert explain_contour(wheel, touching_allowed=False) is None
    vs = list(wheel.vertices)
    vs[1234], vs[1235] = vs[1235], vs[1234]
    problem = explain_contour(Contour(tuple(vs)))
    assert problem.fault is Fault.CROSSES
    assert abs(problem.segment - 1235) <= 2


def test_long_segments_across_thousands():
    wheel = regular_polygon((0, 0), 5000, 200.0)
    vs = wheel.vertices
    pierced = Contour((*vs[:2000], Vertex(-150.0, -150.0), Vertex(150.0, 1.0), *vs[2000:]))
    assert explain_contour(pierced).fault is Fault.CROSSES


def test_slots_and_circles_of_any_size_are_sound():
    for size in (1e-3, 1.0, 1e4):
        assert explain_contour(circle((1e3, 1e3), size), touching_allowed=False) is None
        assert explain_contour(slot((0, 0), (size, size), size / 3), touching_allowed=False) is None


@given(numbers(-1.0, 1.0), numbers(-1.0, 1.0), numbers(0.01, 9.0), numbers(-3.0, 3.0))
@settings(calm, max_examples=300)
def test_followers_that_are_not_compared_meet_at_their_joint_alone(first, second, length, turn):
    """The first runs to the origin along +x, the second leaves it turned; the way back lies far off."""
    back = 2.0 * atan(first)
    leave = turn + 2.0 * atan(second)
    a = Vertex(-3.0 * cos(-back), -3.0 * sin(-back), first)
    b = Vertex(0.0, 0.0, second)
    c = Vertex(length * cos(leave), length * sin(leave))
    spans = spans_of(Contour((a, b, c)))
    one, two = np.array([0]), np.array([1])
    if not _go_on(spans, one, two, MODEL)[0]:
        return
    segments = list(Contour((a, b, c)).segments())
    meeting = meet_segments(segments[0], segments[1])
    assert isinstance(meeting, Meetings)
    assert [(k.on_a, k.on_b) for k in meeting.contacts] == [(1.0, 0.0)]
