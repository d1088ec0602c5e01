"""Rounded corners: tangent to both sides, of the radius asked for, refused with the largest that fits."""

from __future__ import annotations

from math import nan, pi, tan

import pytest
from hypothesis import assume, given, settings

from generator.base.errors import ContourError, GeometryError
from generator.outline.contour import Contour
from generator.outline.create import circle, polygon, rectangle
from generator.outline.measure import signed_area
from generator.outline.predicates import corner_angles, explain_contour
from generator.outline.rounding import rounded
from tests.outline.facet_oracle import turn_residue
from tests.outline.strategies import arc_chains, numbers, star_polygons

calm = settings(derandomize=True, deadline=None, max_examples=60)
L_SHAPE = polygon([(0, 0), (40, 0), (40, 15), (15, 15), (15, 40), (0, 40)])


def radii(contour: Contour) -> list[float]:
    return [round(s.radius_mm, 9) for s in contour.segments() if s.is_arc]


def test_corner_of_a_triangle_in_closed_form():
    t = polygon([(0, 0), (60, 0), (0, 80)])
    r = 4.0
    # each corner of angle a loses r² (cot(a/2) - (π - a) / 2); the sum of cot(a/2) of a triangle is p / (2 rho)
    inscribed = 4800.0 / (60 + 80 + 100)
    lost = r * r * ((60 + 80 + 100) / 2 / inscribed - pi)
    assert signed_area(rounded(t, r)) == pytest.approx(2400 - lost, rel=1e-14)


def test_convex_and_concave_can_be_chosen():
    assert radii(rounded(L_SHAPE, 3, concave=False)) == [3.0] * 5
    assert radii(rounded(L_SHAPE, 3, convex=False)) == [3.0]
    assert radii(rounded(L_SHAPE, 3)) == [3.0] * 6
    assert signed_area(rounded(L_SHAPE, 3, convex=False)) > signed_area(L_SHAPE) > signed_area(rounded(L_SHAPE, 3))


def test_in_a_hole_a_left_turn_is_a_corner_of_the_material():
    hole = L_SHAPE.reversed()
    assert radii(rounded(hole, 3, concave=False)) == [3.0]


def test_radii_by_corner():
    assert radii(rounded(L_SHAPE, [1, 2, 0, 3, 4, 0])) == [1.0, 2.0, 3.0, 4.0]


@given(star_polygons(), numbers(0.05, 4.0))
@calm
def test_straight_corners(contour, radius):
    try:
        c = rounded(contour, radius)
    except ContourError as error:
        largest = float(str(error).rsplit(" ", 1)[1])
        assert largest < radius * (1 + 1e-5)
        assume(largest > 1e-3)
        c = rounded(contour, largest * (1 - 1e-4))
        with pytest.raises(ContourError):
            rounded(contour, largest * (1 + 1e-4))
    assert turn_residue(c) < 1e-8
    assert explain_contour(c) is None


@given(arc_chains(), numbers(0.05, 2.0))
@calm
def test_corners_of_arcs(contour, radius):
    sharp = abs(corner_angles(contour)) > 1e-3
    assume(sharp.all())
    try:
        c = rounded(contour, radius)
    except ContourError:
        assume(False)
    assert turn_residue(c) < 1e-8
    own = {round(s.radius_mm, 6) for s in contour.segments() if s.is_arc}
    fresh = [s.radius_mm for s in c.segments() if s.is_arc and round(s.radius_mm, 6) not in own]
    assert fresh == pytest.approx([radius] * len(fresh), abs=1e-7)
    assert len(fresh) >= len(contour)


def test_lens_of_two_arcs_in_closed_form():
    """Two circles of radius R whose centres lie h off the chord: a fillet's centre lies at √((R-r)² - h²)."""
    R, half, r = 50.0, 30.0, 5.0
    h = 40.0
    b = tan(0.6435011087932844 / 2)  # half angle asin(30 / 50)
    lens = Contour.of([(-half, 0, b), (half, 0, b)])
    c = rounded(lens, r)
    x = ((R - r) ** 2 - h**2) ** 0.5
    centres = sorted(s.centre.x for s in c.segments() if abs(s.radius_mm - r) < 1e-9)
    assert centres == pytest.approx([-x, x], rel=1e-12)
    with pytest.raises(ContourError, match=r"at most 10$"):
        rounded(lens, 11)


def test_smooth_joints_stay():
    c = rectangle(0, 0, 30, 20, 5)
    assert rounded(c, 2) == c
    assert rounded(circle((0, 0), 5), 2) == circle((0, 0), 5)


def test_no_radius_changes_nothing():
    assert rounded(L_SHAPE, 0) is L_SHAPE
    assert rounded(L_SHAPE, 1e-320) == L_SHAPE


def test_error_names_corner_and_place():
    with pytest.raises(ContourError, match=r"corner 1 at \(50, 0\): radius 6 does not fit; at most 4\.6") as caught:
        rounded(polygon([(0, 0), (50, 0), (3, 10)]), 6)
    assert caught.value.segment == 1
    assert caught.value.point_mm == (50.0, 0.0)


@pytest.mark.parametrize("bad", [-1.0, nan, [1.0, 2.0]])
def test_bad_radii(bad):
    with pytest.raises(GeometryError):
        rounded(L_SHAPE, bad)


def test_segment_without_length():
    with pytest.raises(ContourError, match="no length"):
        rounded(Contour.of([(0, 0), (0, 0), (5, 0), (5, 5)]), 1)
