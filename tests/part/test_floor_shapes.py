"""What a floor counts as, against solved plates of its own outline, and by what must hold for every clamped plate."""

from __future__ import annotations

from math import cos, pi, radians, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.formulas import plates
from generator.outline.combine import union
from generator.outline.contour import Contour
from generator.outline.create import circle, polygon, rectangle
from generator.outline.distance import points_depth
from generator.outline.fit import ellipse
from generator.outline.region import Region
from generator.outline.transform import moved, turned
from generator.part.equivalent_plate import equivalent
from tests.oracles.clamped_plates import deflection


def rounded(width: float, height: float, radius: float = 0.0) -> Contour:
    return rectangle(-width / 2.0, -height / 2.0, width / 2.0, height / 2.0, radius)


def bosses(left: float, right: float, web: float) -> Contour:
    parts = (circle((-32.0, 0.0), left), circle((32.0, 0.0), right), rounded(64.0, web))
    return union(*(Region((c,)) for c in parts)).contours[0]


def regular(corners: int, *radii: float) -> Contour:
    angle = 2.0 * pi / corners
    return polygon(
        [(radii[k % len(radii)] * cos(k * angle), radii[k % len(radii)] * sin(k * angle)) for k in range(corners)]
    )


L = [(0.0, 0.0), (40.0, 0.0), (40.0, 20.0), (20.0, 20.0), (20.0, 40.0), (0.0, 40.0)]
SHAPES = {
    "rectangle": (rounded(70.6, 40.6), 1.01),
    "corners of 2.3": (rounded(70.6, 40.6, 2.3), 1.01),
    "corners of 6.3": (rounded(70.6, 40.6, 6.3), 1.01),
    "corners of 12": (rounded(70.6, 40.6, 12.0), 1.01),
    "short slot": (rounded(70.6, 40.6, 20.3), 1.02),
    "long slot": (rounded(90.0, 26.0, 13.0), 1.02),
    "square with corners": (rounded(40.0, 40.0, 12.0), 1.02),
    "nearly a disc": (rounded(50.0, 40.0, 20.0), 1.05),
    "disc": (rounded(40.0, 40.0, 20.0), 1.01),
    "ellipse": (ellipse((0.0, 0.0), 20.0, 10.0), 1.1),
    "rounder ellipse": (ellipse((0.0, 0.0), 14.0, 10.0), 1.1),
    "hexagon": (regular(6, 20.0), 1.1),
    "two bosses, wide web": (bosses(13.0, 13.0, 20.0), 1.3),
    "two bosses, narrow web": (bosses(13.0, 13.0, 10.0), 1.45),
    "unequal bosses": (bosses(16.0, 10.0, 16.0), 1.45),
    "L": (polygon(L), 1.3),
    "triangle": (polygon([(0.0, 0.0), (60.0, 0.0), (30.0, 52.0)]), 1.3),
    "star": (regular(10, 30.0, 15.0), 1.3),
}
"""Outlines and how much too large what they count as may be."""
SOLVER = 0.015
"""How far the solver is off: discs and rectangles of the next test."""


def solved(contour: Contour) -> float:
    """Deflection under a load at the weakest place, times stiffness over load."""
    region, box = Region((contour,)), contour.box

    def depth(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        return points_depth(region, np.column_stack([x.ravel(), y.ravel()])).reshape(x.shape)

    fine = np.meshgrid(np.linspace(box.xmin, box.xmax, 91), np.linspace(box.ymin, box.ymax, 91))
    return deflection(depth, box, 2.0 * float(depth(*fine).max()))


@pytest.mark.parametrize(
    ("contour", "closed"),
    [
        (rounded(2.0, 2.0, 1.0), 1.0 / (16.0 * pi)),  # Timoshenko, section 19: r² / (16 π)
        (rounded(1.0, 1.0), 0.00560),  # Timoshenko, table 37, clamped square
        (rounded(2.0, 1.0), 0.00722),  # the same, 2 : 1
    ],
)
def test_the_solver_gives_what_is_printed(contour, closed):
    assert solved(contour) == pytest.approx(closed, rel=SOLVER)


@pytest.mark.parametrize(("contour", "most"), SHAPES.values(), ids=SHAPES)
def test_no_floor_counts_as_stiffer_than_it_is_nor_as_much_softer(contour, most):
    told = equivalent(contour).gives / solved(contour)
    assert 1.0 - SOLVER <= told <= most + SOLVER


@settings(max_examples=40, deadline=None)
@given(st.floats(10.0, 60.0), st.floats(1.0, 4.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_rounding_corners_never_makes_a_floor_softer(short, ratio, less, more):
    less, more = sorted((less, more))
    sharp, round_ = (equivalent(rounded(short * ratio, short, 0.4999 * short * r)).gives for r in (less, more))
    assert round_ <= sharp * 1.0001


@settings(max_examples=40, deadline=None)
@given(st.sampled_from([c for c, _ in SHAPES.values()]), st.floats(0.5, 0.99), st.floats(0.0, 180.0))
def test_the_larger_and_the_turned_plate(contour, share, degrees):
    # all go with the square of the size; no direction is special
    whole = equivalent(contour)
    small = equivalent(Contour.of([(v.x * share, v.y * share, v.bulge) for v in contour.vertices]))
    assert small.gives == pytest.approx(share**2 * whole.gives, rel=1e-3)
    assert equivalent(moved(turned(contour, radians(degrees)), 300.0, -40.0)).gives == pytest.approx(
        whole.gives, rel=0.02
    )


@settings(max_examples=40, deadline=None)
@given(st.floats(12.0, 20.0), st.floats(8.0, 20.0), st.floats(0.0, 1.0), st.floats(0.0, 2.0))
def test_a_plate_within_another_is_no_softer(boss, web, less_web, less_boss):
    outer = equivalent(bosses(boss, boss - 1.0, web)).gives
    inner = equivalent(bosses(boss - less_boss, boss - 1.0 - less_boss, web - less_web)).gives
    assert inner <= outer * 1.0005


@settings(max_examples=40, deadline=None)
@given(st.floats(10.0, 60.0), st.floats(1.05, 5.0), st.floats(0.0, 90.0))
def test_a_rectangle_counts_as_itself_whichever_way_it_lies(short, ratio, degrees):
    like = equivalent(turned(rounded(short * ratio, short), radians(degrees)))
    assert (like.short_mm, like.long_mm) == (pytest.approx(short), pytest.approx(short * ratio))
    assert not like.is_disc


def test_the_weakest_place_of_bosses_is_in_the_larger_one():
    assert equivalent(bosses(16.0, 10.0, 16.0)).at == pytest.approx((-32.0, 0.0), abs=0.1)


def test_the_floor_of_a_pocket_that_was_told_far_too_soft():
    # finite differences of a clamped 70.6 x 40.6 mm floor of 1.5 mm under 100 N: 0.0546 mm, whatever its corners
    for radius in (0.0, 2.3, 6.3, 12.0):
        like = equivalent(rounded(70.6, 40.6, radius))
        given_mm = plates.rectangle_under_load(100.0, like.short_mm, like.long_mm, 70_000.0, 1.5)
        assert given_mm == pytest.approx(0.0546, rel=0.01)
