"""Where two carriers meet: the side decides between two crossings, however near they are."""

from __future__ import annotations

from math import hypot, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.outline.joints import CarrierRow, direction_at, distance_to, foot_on, meet

calm = settings(derandomize=True, deadline=None, max_examples=60)
whole = st.integers(-400, 400).map(lambda k: k / 20.0)
signs = st.sampled_from([-1, 1])


def line(x: float, y: float, ux: float, uy: float) -> CarrierRow:
    size = hypot(ux, uy)
    return False, x, y, 0.0, ux / size, uy / size


def round_(x: float, y: float, r: float) -> CarrierRow:
    return True, x, y, r, 0.0, 0.0


circles = st.builds(round_, whole, whole, st.integers(20, 400).map(lambda k: k / 20.0))
lines = st.builds(line, whole, whole, whole, st.integers(1, 400).map(float))
carriers = st.one_of(circles, lines)


def turn(a: CarrierRow, a_sign: int, b: CarrierRow, b_sign: int, p: tuple[float, float]) -> float:
    (ux, uy), (vx, vy) = direction_at(a, a_sign, p), direction_at(b, b_sign, p)
    return ux * vy - uy * vx


@calm
@given(carriers, carriers, signs, signs, whole, whole)
def test_a_crossing_lies_on_both(a, b, s, t, x, y):
    m = meet(a, s, b, t, (x, y), 0, 0.0)
    if m is not None:
        assert max(distance_to(a, (m.x, m.y)), distance_to(b, (m.x, m.y))) < 1e-6


@calm
@given(carriers, carriers, signs, signs, whole, whole)
def test_the_two_sides_are_the_two_crossings(a, b, s, t, x, y):
    left, right = (meet(a, s, b, t, (x, y), side, 0.0) for side in (1, -1))
    if left is None or not (a[0] or b[0]) or hypot(left.x - right.x, left.y - right.y) < 1e-3:
        return
    assert turn(a, s, b, t, (left.x, left.y)) > 0.0 > turn(a, s, b, t, (right.x, right.y))
    for m in (left, right):
        assert meet(a, s, b, t, (m.x, m.y), 0, 0.0) == m


def test_the_side_decides_where_nearness_is_wrong():
    """A line 1 µm inside a circle of radius 10 crosses it twice, 0.28 mm apart; the hint lies at the wrong one."""
    circle, high = round_(0.0, 0.0, 10.0), line(-50.0, 10.0 - 1e-3, 1.0, 0.0)
    half = sqrt(100.0 - (10.0 - 1e-3) ** 2)
    near, wrong = (half - 0.001, 10.0), meet(high, 1, circle, 1, (half - 0.001, 10.0), 0, 0.0)
    assert wrong.x == pytest.approx(half)
    assert turn(high, 1, circle, 1, (wrong.x, wrong.y)) > 0.0
    assert meet(high, 1, circle, 1, near, -1, 0.0).x == pytest.approx(-half)
    assert meet(high, 1, circle, 1, near, 1, 0.0).x == pytest.approx(half)


@pytest.mark.parametrize("gap", [1e-3, 1e-6, 1e-9])
def test_what_misses_by_a_hair_touches(gap):
    pairs = [
        (round_(0.0, 0.0, 5.0), round_(8.0 + gap, 0.0, 3.0), (5.0 + gap / 2.0, 0.0)),
        (round_(0.0, 0.0, 5.0), round_(2.0 - gap, 0.0, 3.0), (5.0 - gap / 2.0, 0.0)),
        (line(5.0 + gap, 3.0, 0.0, 1.0), round_(0.0, 0.0, 5.0), (5.0 + gap / 2.0, 0.0)),
    ]
    for a, b, at in pairs:
        for one, other in ((a, b), (b, a)):
            m = meet(one, 1, other, 1, at, 1, 2.0 * gap)
            assert m.gap_mm == pytest.approx(gap, rel=1e-4)
            assert (m.x, m.y) == pytest.approx(at, abs=1e-12)
            assert meet(one, 1, other, 1, at, 1, gap / 2.0) is None


def test_what_never_meets():
    assert meet(line(0, 0, 1, 0), 1, line(0, 1, 1, 0), 1, (0.0, 0.0), 1, 10.0) is None
    assert meet(round_(0, 0, 5), 1, round_(0, 0, 4), 1, (5.0, 0.0), 1, 10.0) is None


@calm
@given(carriers, whole, whole)
def test_foot_is_the_nearest_point(a, x, y):
    if a[0] and hypot(x - a[1], y - a[2]) < 1e-6:
        return
    fx, fy = foot_on(a, (x, y))
    assert distance_to(a, (fx, fy)) < 1e-9
    assert hypot(fx - x, fy - y) == pytest.approx(distance_to(a, (x, y)), abs=1e-9)
