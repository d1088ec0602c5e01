"""Fitted arcs against the curves themselves: dense search both ways, published perimeters and areas, symmetry."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, comb, gamma, hypot, inf, nan, pi, sqrt

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.base.errors import GeometryError
from generator.outline.contour import Contour, Point, Segment, Vertex
from generator.outline.create import circle
from generator.outline.fit import Bezier, ellipse, fit_arcs, fit_bezier, superellipse
from generator.outline.measure import area, bounds, length
from generator.outline.predicates import explain_contour, is_convex, tangent_joints
from tests.outline.facet_oracle import facet_segment
from tests.outline.strategies import angles, numbers, places

calm = settings(derandomize=True, deadline=None, max_examples=40)
FIT = 2e-3  # mm, the promise


# ------------------------------------------------------------------ oracles: Bernstein sums and dense search
def bezier_points(controls, t) -> np.ndarray:
    """Return points by the definition of the Bernstein polynomials."""
    n = len(controls) - 1
    c = np.array(controls, dtype=float)
    return sum(comb(n, k) * np.outer((1 - t) ** (n - k) * t**k, c[k]) for k in range(n + 1))


def pieces(vertices: list[Vertex], end) -> list[Segment]:
    chain = [*vertices, Vertex(float(end[0]), float(end[1]))]
    return [Segment(Point(*p[:2]), Point(*q[:2]), p.bulge) for p, q in pairwise(chain)]


def to_segments(q: np.ndarray, segments: list[Segment]) -> np.ndarray:
    """Return how far points lie from the nearest segment, by angle round the centre of each arc."""
    best = np.full(len(q), inf)
    for s in segments:
        off = np.minimum(np.hypot(*(q - s.start).T), np.hypot(*(q - s.end).T))
        if s.is_arc:
            c, sign = s.centre, np.sign(s.bulge)
            turn = np.arctan2(q[:, 1] - c.y, q[:, 0] - c.x) - atan2(s.start.y - c.y, s.start.x - c.x)
            beside = (sign * turn) % (2 * pi) <= abs(s.sweep)
            off = np.where(beside, np.abs(np.hypot(*(q - c).T) - s.radius_mm), off)
        elif s.chord_mm > 0:
            u = np.subtract(s.end, s.start) / s.chord_mm
            along, across = (q - s.start) @ u, (q - s.start) @ (-u[1], u[0])
            off = np.where((along >= 0) & (along <= s.chord_mm), np.abs(across), off)
        best = np.minimum(best, off)
    return best


def to_polyline(p: np.ndarray, q: np.ndarray) -> np.ndarray:
    """Return how far points p lie from the polyline through q."""
    d = np.diff(q, axis=0)
    square = (d * d).sum(axis=1)
    square[square == 0] = 1.0
    best = []
    for point in p:
        v = point - q[:-1]
        share = np.clip((v * d).sum(axis=1) / square, 0, 1)
        best.append(np.hypot(*(v - share[:, None] * d).T).min())
    return np.array(best)


def samples(segments: list[Segment], count: int = 16) -> np.ndarray:
    points = [p for s in segments for p in (facet_segment(s, count) if s.is_arc else [s.start, s.end])]
    return np.array([*points, segments[-1].end])


def off_both_ways(controls, vertices) -> tuple[float, float]:
    """Return how far the curve strays from the segments, and the segments from the curve, mm.

    The polyline of 6,000 chords lies within |B''| / (8 · 6000²) of the curve (remainder of linear interpolation);
    for controls within 100 mm of each other that is below 4e-6 mm.
    """
    q = bezier_points(controls, np.linspace(0.0, 1.0, 6001))
    segments = pieces(vertices, q[-1])
    return float(to_segments(q[::4], segments).max()), float(to_polyline(samples(segments), q).max())


def turns(segments: list[Segment]) -> float:
    """Return the largest corner between neighbours, radians, from the directions that the bulges say."""

    def direction(s: Segment, sign: float) -> float:
        return atan2(s.end.y - s.start.y, s.end.x - s.start.x) + sign * s.sweep / 2

    gaps = (direction(b, -1) - direction(a, 1) for a, b in pairwise(segments))
    return max((abs((g + pi) % (2 * pi) - pi) for g in gaps), default=0.0)


# ------------------------------------------------------------------ Bézier curves
spots = st.tuples(numbers(0.0, 60.0), numbers(0.0, 60.0))
coarse = st.tuples(st.integers(0, 3), st.integers(0, 3)).map(lambda p: (10.0 * p[0], 10.0 * p[1]))
smooth_or_not = st.lists(spots, min_size=3, max_size=4) | st.lists(coarse, min_size=3, max_size=4)


@given(smooth_or_not)
@calm
def test_curve_and_arcs_lie_within_tolerance_of_each_other(controls):
    vertices = fit_bezier(controls)
    assume(vertices)
    there, back = off_both_ways(controls, vertices)
    assert there <= FIT
    assert back <= FIT + 5e-6


@given(st.lists(spots, min_size=3, max_size=4), st.sampled_from([0.2, 0.02, 1e-4]))
@settings(calm, max_examples=15)
def test_other_tolerances(controls, tol):
    assume(min(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(controls)) > 1.0)
    there, back = off_both_ways(controls, fit_bezier(controls, tol_mm=tol))
    assert there <= tol
    assert back <= tol + 5e-6


@given(st.lists(spots, min_size=3, max_size=4))
@calm
def test_smooth_curves_get_no_corner(controls):
    speed = np.diff(bezier_points(controls, np.linspace(0, 1, 2001)), axis=0)
    assume(np.hypot(*speed.T).min() > 1e-4)  # no cusp
    end = controls[-1]
    segments = pieces(fit_bezier(controls), end)
    assert turns(segments) < 1e-6
    first, last = np.subtract(controls[1], controls[0]), np.subtract(controls[-1], controls[-2])
    s, e = segments[0], segments[-1]
    leave = atan2(s.end.y - s.start.y, s.end.x - s.start.x) - s.sweep / 2
    arrive = atan2(e.end.y - e.start.y, e.end.x - e.start.x) + e.sweep / 2
    assert np.cos(leave - atan2(first[1], first[0])) == pytest.approx(1.0, abs=1e-10)
    assert np.cos(arrive - atan2(last[1], last[0])) == pytest.approx(1.0, abs=1e-10)


DEGENERATE = {
    "cusp": [(0, 0), (30, 30), (0, 30), (30, 0)],
    "almost a cusp": [(0, 0), (30, 30), (0.001, 30), (30, 0)],
    "loop": [(0, 0), (60, 40), (-30, 40), (30, 0)],
    "drop": [(0, 0), (40, 40), (-40, 40), (0, 0)],
    "inflection": [(0, 0), (10, 30), (20, -30), (30, 0)],
    "no first handle": [(0, 0), (0, 0), (20, 20), (30, 0)],
    "no last handle": [(0, 0), (10, 20), (30, 0), (30, 0)],
    "hardly a first handle": [(0, 0), (1e-9, 1e-9), (20, 20), (30, 0)],
    "hairpin": [(0, 0), (20, 0.01), (0, 0.02)],
    "double in the middle": [(30, 30), (20, 10), (30, 20), (30, 20), (10, 10)],
    "quartic": [(0, 0), (10, 30), (20, -30), (30, 0), (50, 50)],
}


@pytest.mark.parametrize("controls", DEGENERATE.values(), ids=DEGENERATE.keys())
@pytest.mark.filterwarnings("error")
def test_odd_curves(controls):
    there, back = off_both_ways(controls, fit_bezier(controls))
    assert there <= FIT
    assert back <= FIT + 5e-6


def test_limit_of_the_direction_where_a_handle_has_no_length():
    b = Bezier((Point(0, 0), Point(0, 0), Point(3, 4), Point(9, 9)))
    u = b.tangent(np.array([0.0]))[0]
    assert u / np.hypot(*u) == pytest.approx((0.6, 0.8))
    b = Bezier((Point(0, 0), Point(5, 9), Point(9, 9), Point(9, 9)))
    u = b.tangent(np.array([1.0]))[0]
    assert u / np.hypot(*u) == pytest.approx((1.0, 0.0))


def test_mirrored_curve_gives_mirrored_arcs():
    controls = [(0, 0), (10, 25), (30, -10), (45, 5)]
    image = fit_bezier([(x, -y) for x, y in controls])
    assert image == [Vertex(v.x, -v.y, -v.bulge) for v in fit_bezier(controls)]


# ------------------------------------------------------------------ flat ones
def corners(controls) -> list[tuple[float, float]]:
    vertices = fit_bezier(controls)
    assert all(v.bulge == 0.0 for v in vertices)
    return [v[:2] for v in vertices]


@pytest.mark.parametrize(
    "controls",
    [
        [(0, 0), (30, 30)],
        [(0, 0), (10, 10), (30, 30)],
        [(0, 0), (10, 10), (20, 20), (30, 30)],
        [(0, 0), (0, 0), (30, 30), (30, 30)],
        [(0, 0), (0, 0), (0, 0), (30, 30)],
        [(0, 0), (10, 10 + 1e-7), (20, 20 - 1e-7), (30, 30)],
        [(0, 0), (40, 40), (-10, -10), (30, 30)],  # goes back on the way, but not beyond its ends
    ],
)
def test_flat_curves_are_one_line(controls):
    assert corners(controls) == [(0.0, 0.0)]


@pytest.mark.parametrize(
    ("controls", "way"),
    [
        ([(0, 0), (40, 0), (30, 0)], [(0, 0), (32, 0)]),  # 80 t - 50 t² is greatest at 0.8
        ([(0, 0), (40, 0), (0, 0)], [(0, 0), (20, 0)]),
        # 300 - 600 t² + 500 t³ is least at 0.8
        ([(300, 0), (300, 0), (100, 0), (200, 0)], [(300, 0), (172, 0)]),
        # 5 - 45 t + 135 t² - 90 t³ turns at (1 ∓ 1/√3) / 2
        ([(0, 5), (0, -10), (0, 20), (0, 5)], [(0, 5), (0, 5 - 7.5 / sqrt(3)), (0, 5 + 7.5 / sqrt(3))]),
    ],
)
def test_flat_curves_reach_as_far_as_the_curve(controls, way):
    found = corners(controls)
    q = bezier_points(controls, np.linspace(0, 1, 200_001))
    assert np.min([*found, controls[-1]], axis=0) == pytest.approx(q.min(axis=0), abs=1e-6)
    assert np.max([*found, controls[-1]], axis=0) == pytest.approx(q.max(axis=0), abs=1e-6)
    assert np.array(found) == pytest.approx(np.array(way, dtype=float), abs=1e-9)


@given(st.lists(st.integers(-9, 9), min_size=3, max_size=5), angles)
@calm
def test_flat_curves_at_any_angle(shares, angle):
    controls = [(7.0 + s * np.cos(angle), -3.0 + s * np.sin(angle)) for s in shares]
    vertices = fit_bezier(controls)
    assume(vertices)
    assert all(v.bulge == 0.0 for v in vertices)
    there, back = off_both_ways(controls, vertices)
    assert there < 2e-6
    assert back < 5e-6


def test_straight_stretch_of_a_curve_is_one_line():
    class Bend:
        """20 mm straight, then a quarter of a circle of radius 10."""

        def point(self, t):
            a = np.maximum(t - 20.0, 0.0) / 10.0
            return np.column_stack([np.minimum(t, 20.0) + 10.0 * np.sin(a), 10.0 - 10.0 * np.cos(a)])

        def tangent(self, t):
            a = np.maximum(t - 20.0, 0.0) / 10.0
            return np.column_stack([np.cos(a), np.sin(a)])

    straight = fit_arcs(Bend(), 0.0, 20.0)
    assert straight == [Vertex(0.0, 0.0)]
    whole = pieces(fit_arcs(Bend(), 0.0, 20.0 + 5.0 * pi), (30.0, 10.0))
    assert len(whole) <= 6
    assert sum(s.sweep for s in whole) == pytest.approx(pi / 2)


# ------------------------------------------------------------------ nothing, and nonsense
@pytest.mark.parametrize("controls", [[(3, 4)] * 2, [(3, 4)] * 4])
def test_curve_of_no_extent(controls):
    assert fit_bezier(controls) == []


@pytest.mark.parametrize("controls", [[], [(0, 0)], [(0, 0), (nan, 1), (2, 2)], [(0, 0), (1, inf)]])
def test_curves_that_are_none(controls):
    with pytest.raises(GeometryError, match="two control points"):
        fit_bezier(controls)


@pytest.mark.parametrize("tol", [0.0, -1.0, nan, inf])
def test_bad_tolerances(tol):
    with pytest.raises(GeometryError, match="tolerance"):
        fit_bezier([(0, 0), (5, 9), (10, 0)], tol_mm=tol)
    with pytest.raises(GeometryError, match="tolerance"):
        ellipse((0, 0), 5, 3, tol_mm=tol)


def test_too_fine_is_refused():
    with pytest.raises(GeometryError, match="more than 20000 arcs"):
        fit_bezier([(0, 0), (1e5, 2e5), (2e5, -2e5), (3e5, 0)], tol_mm=1e-10)


def test_backwards_is_the_same_curve():
    b = Bezier((Point(0, 0), Point(10, 20), Point(30, -10), Point(40, 5)))
    q = b.point(np.linspace(0, 1, 3001))
    back = pieces(fit_arcs(b, 1.0, 0.0), (0.0, 0.0))
    assert back[0].start == (40.0, 5.0)
    assert to_segments(q, back).max() <= FIT


# ------------------------------------------------------------------ ellipses and superellipses
def ellipse_perimeter(a: float, b: float) -> float:
    """Return the perimeter by the arithmetic-geometric mean (DLMF 19.8.6 with 19.9.9: 4 a E(e))."""
    x, y, square, power = a, b, a * a - b * b, 0.5
    total = power * square
    while abs(x - y) > 1e-15 * a:
        x, y, half = (x + y) / 2, sqrt(x * y), (x - y) / 2
        power *= 2.0
        total += power * half * half
    return 2 * pi / x * (a * a - total)


def superellipse_area(a: float, b: float, n: float) -> float:
    """Return ``4 a b Γ(1 + 1/n)² / Γ(1 + 2/n)``: Dirichlet's integral, Whittaker and Watson § 12.5."""
    return 4 * a * b * gamma(1 + 1 / n) ** 2 / gamma(1 + 2 / n)


def curve_points(rx: float, ry: float, n: float, count: int = 20_001) -> np.ndarray:
    """Return points of the first quadrant in the usual parameter, from (rx, 0) to (0, ry)."""
    t = np.linspace(0.0, pi / 2, count)
    c, s = np.cos(t), np.sin(t)
    c[-1] = 0.0
    return np.column_stack([rx * c ** (2 / n), ry * s ** (2 / n)])


def implicit_off(p: np.ndarray, rx: float, ry: float, n: float) -> np.ndarray:
    """Return distances from the curve to first order: value of the radial function over its slope."""
    x, y = np.abs(p[:, 0]) / rx, np.abs(p[:, 1]) / ry
    f = (x**n + y**n) ** (1 / n)
    k = f ** (1 - n)
    slope = np.hypot(k * x ** (n - 1) / rx, k * y ** (n - 1) / ry)
    return np.abs(f - 1) / slope


def test_the_oracle_knows_published_perimeters():
    assert ellipse_perimeter(1, 1) == pytest.approx(2 * pi, rel=1e-15)
    # Ramanujan's second approximation (1914), good to about 3e-6 here
    h = ((5 - 3) / (5 + 3)) ** 2
    assert ellipse_perimeter(5, 3) == pytest.approx(pi * 8 * (1 + 3 * h / (10 + sqrt(4 - 3 * h))), rel=1e-9)
    assert ellipse_perimeter(1, 1e-9) == pytest.approx(4.0, rel=1e-9)


@pytest.mark.parametrize(
    ("rx", "ry", "n", "most"),
    [(40, 12, 2.0, 62), (12, 40, 2.0, 62), (40, 25, 3.2, 76), (100, 1, 2.0, 52), (5, 5, 1.5, 44), (40, 25, 40.0, 60)],
)
def test_follows_the_curve_with_few_arcs(rx, ry, n, most):
    c = superellipse((0, 0), rx, ry, n)
    assert len(c) <= most
    assert to_segments(curve_points(rx, ry, n), list(c.segments())).max() <= FIT
    assert implicit_off(samples(list(c.segments())), rx, ry, n).max() <= FIT * 1.02
    assert tangent_joints(c, angle_rad=1e-9).all()
    assert explain_contour(c) is None
    assert n > 10.0 or is_convex(c)  # almost straight sides may sag by less than the tolerance
    assert bounds(c) == pytest.approx((-rx, -ry, rx, ry), abs=FIT)


@given(numbers(0.5, 120.0), numbers(0.5, 120.0))
@calm
def test_perimeter_and_area_of_ellipses(rx, ry):
    c = ellipse((0, 0), rx, ry)
    around = ellipse_perimeter(max(rx, ry), min(rx, ry))
    # a curve within d of another that turns once differs in length by no more than 2 π d
    assert length(c) == pytest.approx(around, abs=2 * pi * FIT)
    assert area(c) == pytest.approx(pi * rx * ry, abs=around * FIT)
    assert explain_contour(c) is None


@given(numbers(1.0, 120.0), numbers(1.0, 120.0), numbers(1.5, 40.0))
@calm
def test_area_of_superellipses(rx, ry, n):
    c = superellipse((0, 0), rx, ry, n)
    assert area(c) == pytest.approx(superellipse_area(rx, ry, n), abs=4 * (rx + ry) * FIT)
    assert explain_contour(c) is None
    assert tangent_joints(c).all()


@given(numbers(1.0, 90.0), numbers(1.0, 90.0), st.sampled_from([1.3, 2.0, 2.5, 4.0]))
@settings(calm, max_examples=20)
def test_symmetric_to_the_last_digit(rx, ry, n):
    c = superellipse((0, 0), rx, ry, n)
    segments = {(s.start, s.end, s.bulge) for s in c.segments()}
    flip_x = {(Point(-b.x, b.y), Point(-a.x, a.y), k) for a, b, k in segments}
    flip_y = {(Point(b.x, -b.y), Point(a.x, -a.y), k) for a, b, k in segments}
    assert len(segments) == len(c)
    assert flip_x == segments
    assert flip_y == segments


@given(numbers(2.0, 60.0), numbers(2.0, 60.0), angles, places)
@settings(calm, max_examples=20)
def test_placed_and_turned(rx, ry, angle, at):
    c = ellipse(at, rx, ry, angle)
    v = c.array[:, :2] - at
    back = np.column_stack(
        [v[:, 0] * np.cos(angle) + v[:, 1] * np.sin(angle), v[:, 1] * np.cos(angle) - v[:, 0] * np.sin(angle)]
    )
    assert implicit_off(back, rx, ry, 2.0).max() <= FIT * 1.02
    assert area(c) > 0


def test_equal_radii_are_a_circle():
    assert ellipse((3, 4), 5, 5) == circle((3, 4), 5)
    assert ellipse((3, 4), 5, 5, pi / 2).array[:, 2].tolist() == [1.0, 1.0]


def test_finer_tolerance_takes_more_arcs():
    counts = [len(ellipse((0, 0), 40, 25, tol_mm=tol)) for tol in (0.2, 2e-2, 2e-3, 2e-4)]
    assert counts == sorted(set(counts))
    # a biarc's deviation grows with the third power of its length: a tenth of it, 2.15 times as many
    assert counts[3] / counts[2] == pytest.approx(10 ** (1 / 3), rel=0.1)


@pytest.mark.parametrize("bad", [0.0, -3.0, nan, inf])
def test_bad_radii(bad):
    with pytest.raises(GeometryError, match="rx must be a positive"):
        ellipse((0, 0), bad, 5)
    with pytest.raises(GeometryError, match="ry must be a positive"):
        superellipse((0, 0), 5, bad, 3)


@pytest.mark.parametrize("bad", [1.0, 0.0, -2.0, 41.0, nan, inf])
def test_bad_exponents(bad):
    with pytest.raises(GeometryError, match="exponent must be above 1 and at most 40"):
        superellipse((0, 0), 5, 3, bad)


def test_vertices_are_plain_numbers():
    c = superellipse((0, 0), 40, 25, 3.2)
    assert isinstance(c, Contour)
    assert {type(x) for v in c.vertices for x in v} == {float}


def test_arcs_that_meet_at_an_axis_stay_two_where_one_would_be_more_than_a_half_circle():
    c = superellipse((0, 0), 1, 32, 1.125)
    assert explain_contour(c) is None
    assert tangent_joints(c).all()
    assert (0.0, 32.0) in {v[:2] for v in c.vertices}
