"""Section properties against handbook formulas, fine facets, series in exact fractions, and how they transform."""

from __future__ import annotations

from fractions import Fraction
from math import atan2, cos, hypot, pi, sin, sqrt, tan

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.errors import GeometryError
from generator.outline.contour import Contour, Point
from generator.outline.create import circle, polygon, rectangle, ring, sector, slot
from generator.outline.distance import boundary_points
from generator.outline.measure import area, bounds, centroid, length, second_moments, signed_area
from generator.outline.region import EMPTY, Region
from generator.outline.transform import Axis, mirrored, moved, scaled, turned
from tests.outline.facet_oracle import facet_region, missed_area, sagitta
from tests.outline.strategies import angles, contours, numbers, places, regions

calm = settings(derandomize=True, deadline=None, max_examples=40)


# ------------------------------------------------------------------ closed forms (standard handbook formulas)
@pytest.mark.parametrize("at", [(0.0, 0.0), (13.0, -7.0), (1e5, 3e5)])
@pytest.mark.parametrize("r", [0.05, 1.0, 5.0, 1200.0])
def test_circle(at, r):
    c = circle(at, r)
    assert signed_area(c) == pytest.approx(pi * r * r, rel=1e-9)
    assert length(c) == pytest.approx(2 * pi * r, rel=1e-9)
    m = second_moments(c)
    assert m.ixx == pytest.approx(pi / 4 * r**4, rel=1e-8)
    assert m.iyy == pytest.approx(pi / 4 * r**4, rel=1e-8)
    assert m.polar == pytest.approx(pi / 2 * r**4, rel=1e-8)
    assert m.ixy == pytest.approx(0.0, abs=1e-8 * r**4)
    assert bounds(c) == pytest.approx((at[0] - r, at[1] - r, at[0] + r, at[1] + r), rel=1e-15)


def test_ring():
    region = ring((3.0, 4.0), 10.0, 6.0)
    assert area(region) == pytest.approx(64 * pi, rel=1e-14)
    assert length(region) == pytest.approx(32 * pi, rel=1e-14)
    assert centroid(region) == pytest.approx((3.0, 4.0), abs=1e-12)
    assert second_moments(region).ixx == pytest.approx(pi / 4 * (10.0**4 - 6.0**4), rel=1e-13)


def test_rectangle():
    r = rectangle(2.0, 1.0, 14.0, 6.0)
    assert second_moments(r) == pytest.approx((12 * 5**3 / 12, 5 * 12**3 / 12, 0.0), rel=1e-13, abs=1e-10)
    assert centroid(r) == pytest.approx((8.0, 3.5))
    assert bounds(r).width_mm == 12.0
    assert bounds(r).height_mm == 5.0
    assert bounds(r).centre == (8.0, 3.5)
    assert bounds(r).diagonal_mm == 13.0


def test_right_triangle():
    b, h = 9.0, 4.0
    t = polygon([(0, 0), (b, 0), (0, h)])
    assert second_moments(t) == pytest.approx((b * h**3 / 36, h * b**3 / 36, -(b**2) * h**2 / 72), rel=1e-13)


def test_half_disc():
    r = 7.0
    c = sector((0.0, 0.0), r, 0.0, pi)
    assert centroid(c) == pytest.approx((0.0, 4 * r / (3 * pi)), abs=1e-13)
    assert second_moments(c).ixx == pytest.approx((pi / 8 - 8 / (9 * pi)) * r**4, rel=1e-13)
    assert second_moments(c).iyy == pytest.approx(pi / 8 * r**4, rel=1e-13)


def test_quarter_disc():
    r = 3.0
    c = sector((50.0, -20.0), r, 0.0, pi / 2)
    m = second_moments(c)
    assert centroid(c) == pytest.approx((50.0 + 4 * r / (3 * pi), -20.0 + 4 * r / (3 * pi)), rel=1e-14)
    assert m.ixx == pytest.approx((pi / 16 - 4 / (9 * pi)) * r**4, rel=1e-11)
    assert m.ixy == pytest.approx((1 / 8 - 4 / (9 * pi)) * r**4, rel=1e-11)


@pytest.mark.parametrize("sweep", [1e-4, 0.01, 0.3, 1.0, 2.0, 3.0, pi])
def test_circular_segment(sweep):
    r = 25.0
    c = Contour.of([(r, 0, tan(sweep / 4)), (r * cos(sweep), r * sin(sweep))])
    exact = float(r * r / 2 * (Fraction(sweep) - sine_series(Fraction(sweep))))
    assert signed_area(c) == pytest.approx(exact, rel=3e-11)
    out = 4 * r * sin(sweep / 2) ** 3 / (3 * exact / (r * r / 2))  # centroid from the centre
    assert centroid(c) == pytest.approx((out * cos(sweep / 2), out * sin(sweep / 2)), rel=1e-9)


def sine_series(x: Fraction) -> Fraction:
    term, total, k = x, Fraction(0), 1
    while abs(term) > Fraction(1, 10**40):
        total += term
        term = -term * x * x / ((k + 1) * (k + 2))
        k += 2
    return total


def exact_segment_share(b: Fraction) -> Fraction:
    """Return area / chord² of a circular segment, with the arcus tangent as a series."""
    atan = sum(((-1) ** k * b ** (2 * k + 1) / (2 * k + 1) for k in range(400)), Fraction(0))
    return ((1 + b * b) ** 2 * atan - b * (1 - b * b)) / (8 * b * b)


@pytest.mark.parametrize("bulge", [1e-12, 1e-6, 1e-3, 0.03, 0.2, 0.2499, 0.25, 0.2501, 0.4, 0.7, 0.9])
def test_area_of_a_segment_keeps_its_digits(bulge):
    c = Contour.of([(0, 0, -bulge), (8, 0, 0)])
    assert signed_area(c) == pytest.approx(-64 * float(exact_segment_share(Fraction(bulge))), rel=2e-15)


@given(numbers(0.0, 60.0), numbers(1.0, 30.0), angles)
@calm
def test_obround(d, width, angle):
    c = slot((3.0, 4.0), (3.0 + d * cos(angle), 4.0 + d * sin(angle)), width)
    assert signed_area(c) == pytest.approx(d * width + pi * width**2 / 4, rel=1e-12)
    assert length(c) == pytest.approx(2 * d + pi * width, rel=1e-12)


def test_parallel_axes_of_two_discs():
    two = Region.of([circle((-30.0, 0.0), 4.0), circle((30.0, 0.0), 4.0)])
    each = pi / 4 * 4.0**4
    assert second_moments(two).iyy == pytest.approx(2 * (each + 16 * pi * 900), rel=1e-14)
    assert second_moments(two).ixx == pytest.approx(2 * each, rel=1e-12)


# ------------------------------------------------------------------ against facets of an independent library
@given(regions)
@settings(derandomize=True, deadline=None, max_examples=40)
def test_against_facets(region):
    facets = facet_region(region)
    assert abs(area(region) - facets.area) <= missed_area(region)
    assert length(region) == pytest.approx(facets.length, rel=1e-4)
    assert bounds(region) == pytest.approx(facets.bounds, abs=sagitta(region))
    c = facets.centroid
    size = hypot(*(b - a for a, b in zip(facets.bounds[:2], facets.bounds[2:], strict=True)))
    assert centroid(region) == pytest.approx((c.x, c.y), abs=size * 2 * missed_area(region) / facets.area)


@given(regions)
@calm
def test_bounds_hold_every_boundary_point(region):
    b = bounds(region)
    p = boundary_points(region, 0.05)
    assert p[:, 0].min() >= b.xmin - 1e-9
    assert p[:, 1].min() >= b.ymin - 1e-9
    assert p[:, 0].max() <= b.xmax + 1e-9
    assert p[:, 1].max() <= b.ymax + 1e-9
    assert shapely.box(*b).area > 0.0


# ------------------------------------------------------------------ how they transform
@given(contours, st.integers(0, 50))
@calm
def test_start_and_direction_do_not_matter(contour, k):
    vs = contour.vertices
    again = Contour(vs[k % len(vs) :] + vs[: k % len(vs)])
    assert signed_area(again) == pytest.approx(signed_area(contour), rel=1e-12)
    assert signed_area(contour.reversed()) == pytest.approx(-signed_area(contour), rel=1e-12)
    assert length(contour.reversed()) == pytest.approx(length(contour), rel=1e-14)
    assert bounds(contour.reversed()) == pytest.approx(bounds(contour), abs=1e-11)
    assert centroid(contour.reversed()) == pytest.approx(centroid(contour), abs=1e-9)


@given(regions, angles, places, numbers(0.1, 10.0))
@calm
def test_turning_moving_scaling_mirroring(region, angle, at, factor):
    size, around = area(region), length(region)
    i = second_moments(region)
    for image in (turned(region, angle, at), moved(region, at.x, at.y), mirrored(region, Axis(at, angle))):
        assert area(image) == pytest.approx(size, rel=1e-10)
        assert length(image) == pytest.approx(around, rel=1e-12)
        assert second_moments(image).polar == pytest.approx(i.polar, rel=1e-9)
        assert all(signed_area(c) * signed_area(d) > 0 for c, d in zip(image, region, strict=True)) or len(region) > 1
    big = scaled(region, factor)
    assert area(big) == pytest.approx(size * factor**2, rel=1e-10)
    assert second_moments(big).ixx == pytest.approx(i.ixx * factor**4, rel=1e-9)
    c, expected = centroid(turned(region, angle)), turned_point(centroid(region), angle)
    assert c == pytest.approx(expected, abs=1e-8)
    principal = sqrt(((i.ixx - i.iyy) / 2) ** 2 + i.ixy**2)
    j = second_moments(turned(region, angle))
    assert sqrt(((j.ixx - j.iyy) / 2) ** 2 + j.ixy**2) == pytest.approx(principal, abs=1e-8 * i.polar)


def turned_point(p: Point, angle: float) -> tuple[float, float]:
    d, a = hypot(p.x, p.y), atan2(p.y, p.x)
    return d * cos(a + angle), d * sin(a + angle)


@given(contours)
@calm
def test_far_from_the_origin_costs_only_the_rounding_of_coordinates(contour):
    far = moved(contour, 3e6, -5e6)
    assert signed_area(far) == pytest.approx(signed_area(contour), rel=1e-7)
    assert second_moments(far).polar == pytest.approx(second_moments(contour).polar, rel=1e-6)


def test_cut_in_two_the_parts_add_up():
    whole = rectangle(0, 0, 40, 20, 6)
    left = Contour.of([(17, 20), (6, 20, bulge := 0.41421356237309503), (0, 14), (0, 6, bulge), (6, 0), (17, 0)])
    right = Contour.of([(17, 0), (34, 0, bulge), (40, 6), (40, 14, bulge), (34, 20), (17, 20)])
    assert signed_area(left) + signed_area(right) == pytest.approx(signed_area(whole), rel=1e-14)


# ------------------------------------------------------------------ nothing to measure
def test_empty_region():
    assert area(EMPTY) == 0.0
    assert length(EMPTY) == 0.0
    for ask in (bounds, centroid, second_moments):
        with pytest.raises(GeometryError, match="empty"):
            ask(EMPTY)


def test_no_area_no_centroid():
    with pytest.raises(GeometryError, match="without area"):
        centroid(Contour.of([(0, 0), (5, 5)]))
