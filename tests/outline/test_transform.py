"""Moving, turning, mirroring, scaling: exact where exactness is promised."""

from __future__ import annotations

from math import hypot, inf, nan, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.errors import GeometryError
from generator.outline.contour import Contour, Point
from generator.outline.create import circle, rectangle
from generator.outline.measure import signed_area
from generator.outline.predicates import explain_contour
from generator.outline.region import EMPTY
from generator.outline.transform import (
    ACROSS_X,
    ACROSS_Y,
    ORIGIN,
    Axis,
    canonical,
    mirrored,
    moved,
    reoriented,
    scaled,
    turned,
)
from tests.outline.strategies import angles, contours, numbers, places, regions

calm = settings(derandomize=True, deadline=None, max_examples=40)
EXACT_AXES = [ACROSS_X, ACROSS_Y, Axis(ORIGIN, pi), Axis(ORIGIN, pi / 4), Axis(ORIGIN, -pi / 4)]


def test_mirror_across_y_by_hand():
    c = Contour.of([(0, 0, 0.5), (4, 0), (4, 3)])
    assert mirrored(c) == Contour.of([(-4, 3), (-4, 0, 0.5), (0, 0, 0)])


@pytest.mark.parametrize("axis", EXACT_AXES)
@given(contours)
@calm
def test_mirrored_twice_is_the_very_same(axis, contour):
    assert mirrored(mirrored(contour, axis), axis) == contour


@given(regions, st.sampled_from(EXACT_AXES))
@calm
def test_mirrored_region_twice_is_the_very_same(region, axis):
    assert mirrored(mirrored(region, axis), axis) == region


@given(contours, angles, places)
@calm
def test_mirrors_keep_orientation_and_distances(contour, angle, at):
    image = mirrored(contour, Axis(at, angle))
    assert (signed_area(image) > 0) == (signed_area(contour) > 0)
    assert explain_contour(image) == explain_contour(contour) is None
    for v, w in zip(contour.vertices, reversed(image.vertices), strict=True):
        assert hypot(v.x - at.x, v.y - at.y) == pytest.approx(hypot(w.x - at.x, w.y - at.y), abs=1e-9)


@given(contours, st.integers(-9, 9))
@calm
def test_quarter_turns_are_exact(contour, k):
    assert turned(turned(contour, k * pi / 2), -k * pi / 2) == contour
    assert turned(contour, 2 * pi) == contour


@given(contours, angles, places)
@calm
def test_turned_and_back(contour, angle, at):
    there = turned(contour, angle, at)
    back = turned(there, -angle, at)
    for v, w in zip(contour.vertices, back.vertices, strict=True):
        assert w == pytest.approx(v, abs=1e-10)


@given(regions, numbers(-50.0, 50.0), numbers(0.01, 50.0))
@calm
def test_order_of_contours_stays_canonical(region, dx, factor):
    for image in (moved(region, dx, 1.0), scaled(region, factor), scaled(region, -factor), turned(region, dx)):
        sizes = [abs(signed_area(c)) for c in image]
        assert sizes == sorted(sizes, reverse=True)
        assert len(image) == len(region)


def test_negative_factor_is_half_a_turn():
    c = rectangle(1, 2, 5, 9, 1)
    assert scaled(c, -1.0) == turned(c, pi)


@pytest.mark.parametrize("factor", [0.0, nan, inf])
def test_factors_that_leave_nothing(factor):
    with pytest.raises(GeometryError, match="scale factor"):
        scaled(circle((0, 0), 1), factor)


def test_empty_region_stays_empty():
    assert moved(EMPTY, 1, 1) == turned(EMPTY, 1.0) == mirrored(EMPTY) == scaled(EMPTY, 2.0) == EMPTY


@given(contours)
@calm
def test_reoriented(contour):
    assert signed_area(reoriented(contour, ccw=True)) > 0
    assert signed_area(reoriented(contour, ccw=False)) < 0
    assert reoriented(contour, ccw=signed_area(contour) > 0) is contour


@given(contours, st.integers(0, 30))
@calm
def test_canonical_forgets_the_start(contour, k):
    vs = contour.vertices
    again = Contour(vs[k % len(vs) :] + vs[: k % len(vs)])
    assert canonical(again) == canonical(contour)
    assert canonical(contour).vertices[0] == min(vs)


def test_canonical_of_nothing():
    assert canonical(Contour(())) == Contour(())


def test_moved_by_a_point_of_the_plane():
    assert moved(circle((1, 2), 3), 10, 20) == circle((11, 22), 3)
    assert turned(circle((10, 0), 3), pi / 2, Point(10, 0)).vertices[0] == (10.0, -3.0, 1.0)
