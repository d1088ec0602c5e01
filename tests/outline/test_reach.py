"""What a cutter reaches: closed forms, Clipper2 on fine facets, laws, and the largest cutter that loses nothing."""

from __future__ import annotations

from math import cos, hypot, inf, pi, sqrt, tan

import numpy as np
import pyclipr
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.base.errors import GeometryError
from generator.outline.combine import difference, intersection, union
from generator.outline.contour import Contour, Point
from generator.outline.create import circle, polygon, rectangle, regular_polygon, ring, slot
from generator.outline.measure import area, length
from generator.outline.opening import opening, residue
from generator.outline.predicates import contains_region, explain_contour
from generator.outline.reach import Limit, largest_cutter, losses, losses_outside, unreachable
from generator.outline.region import EMPTY, Region
from generator.outline.separate import separated
from generator.outline.transform import Axis, mirrored, turned
from tests.oracles import fine_facets
from tests.outline.kernel_cases import KINDS, case, traced
from tests.outline.strategies import numbers
from tests.outline.strategies import regions as any_regions
from tests.outline.test_narrow import DUMBBELL, SLOTTED
from tests.outline.test_offset_corpus import load

calm = settings(derandomize=True, deadline=None, max_examples=25)
regions = any_regions.filter(lambda r: all(explain_contour(c) is None for c in r))
radii = st.sampled_from([0.07, 0.4, 0.8, 2.3])
CORNER = 1.0 - pi / 4.0
"""What a disc of radius 1 leaves in a square corner."""


def box(width: float, height: float, radius: float = 0.0) -> Region:
    return Region((rectangle(0.0, 0.0, width, height, radius),))


# ------------------------------------------------------------------ what is left, closed forms
def test_corners_of_a_box_with_figures() -> None:
    found = losses(box(20.0, 10.0), 1.5)
    assert [x.area_mm2 for x in found] == pytest.approx([CORNER * 1.5**2] * 4)
    assert [x.depth_mm for x in found] == pytest.approx([1.5 * (sqrt(2.0) - 1.0)] * 4)
    assert sorted(x.at for x in found) == [(0.0, 0.0), (0.0, 10.0), (20.0, 0.0), (20.0, 10.0)]


def test_round_corners_lose_what_the_larger_radius_lacks() -> None:
    """A cutter of radius r in a corner of radius R leaves (r² - R²)(1 - π/4), (r - R)(√2 - 1) deep."""
    found = losses(box(20.0, 10.0, 1.0), 2.5)
    assert [x.area_mm2 for x in found] == pytest.approx([CORNER * (2.5**2 - 1.0)] * 4)
    assert [x.depth_mm for x in found] == pytest.approx([1.5 * (sqrt(2.0) - 1.0)] * 4, abs=1e-6)


def test_a_neck_and_a_whole_region_are_left() -> None:
    (neck,) = losses(DUMBBELL, 0.5)
    assert neck.at.x == pytest.approx(0.0, abs=0.3)
    assert neck.depth_mm > 3.0
    (whole,) = losses(DUMBBELL, 4.1)
    assert (whole.area_mm2, whole.depth_mm) == (pytest.approx(area(DUMBBELL)), inf)
    assert unreachable(DUMBBELL, 4.1) == DUMBBELL


@pytest.mark.parametrize("region", [ring((1, 2), 9, 5), Region((circle((0, 0), 3),)), box(9.0, 6.0, 2.0), EMPTY])
def test_nothing_is_left_of_what_is_round_enough(region: Region) -> None:
    assert unreachable(region, 1.99) == EMPTY
    assert unreachable(region, 0.0) == EMPTY
    assert losses(region, 1.99) == losses(region, 0.0) == losses_outside(region, 0.0) == ()


def test_a_cutter_outside_leaves_its_radius_in_inside_corners() -> None:
    ell = Region((polygon([(0, 0), (20, 0), (20, 8), (8, 8), (8, 20), (0, 20)]),))
    (left,) = losses_outside(ell, 2.0)
    assert (left.area_mm2, left.depth_mm) == pytest.approx((CORNER * 4.0, 2.0 * (sqrt(2.0) - 1.0)))
    assert left.at == pytest.approx((8.0, 8.0))
    assert losses_outside(box(20.0, 10.0), 2.0) == ()
    hole = difference(box(20.0, 10.0), Region((rectangle(5, 3, 15, 7),)))
    assert [x.area_mm2 for x in losses_outside(hole, 1.0)] == pytest.approx([CORNER] * 4)


def test_the_comb_of_the_corpus() -> None:
    """Corners of 16 teeth at a cutter that goes into none of the 0.6 mm slots from outside, and fills each tooth."""
    comb = load("comb_a")[1]
    assert area(unreachable(comb, 0.5)) == pytest.approx(32 * CORNER * 0.25, rel=1e-6)
    slots = losses_outside(comb, 0.5)
    dip = 0.25 * np.arcsin(0.6) - 0.3 * sqrt(0.25 - 0.09)
    assert [x.area_mm2 for x in slots] == pytest.approx([0.6 * 16.0 - dip] * 14, rel=1e-6)


def test_a_slot_as_wide_as_the_cutter_is_cut() -> None:
    """Also where it is part of more; the cutter's corners are then a micrometre sharper."""
    groove = Region((slot((0.0, 0.0), (30.0, 12.0), 3.0),))
    assert losses(groove, 1.5) == ()
    key = union(groove, Region((rectangle(-8.0, -8.0, 4.0, 4.0),)))
    corners = [x for x in losses(key, 1.5) if x.at.x > 4.0 or x.at.y > 4.0]
    assert not corners
    assert losses(groove, 1.502)[0].depth_mm == inf
    assert losses_outside(Region.of([rectangle(0, 0, 5, 9), rectangle(8, 0, 13, 9)]), 1.5) == ()


# ------------------------------------------------------------------ what is left, by Clipper2 on fine facets
def opened_area(region: Region, radius: float, e: float) -> tuple[float, float]:
    """Return area and length of the opening by an integer polygon clipper on facets of chord error e."""
    paths = [fine_facets.polygon(c, e) for c in region]
    for distance in (-radius, radius):
        engine = pyclipr.ClipperOffset()
        engine.scaleFactor = fine_facets.SCALE
        engine.arcTolerance = e * fine_facets.SCALE
        engine.addPaths(paths, pyclipr.JoinType.Round, pyclipr.EndType.Polygon)
        paths = [np.asarray(p) for p in engine.execute(distance)]
        if not paths:
            return 0.0, 0.0
    return sum(map(fine_facets.signed_area, paths)), sum(map(fine_facets.perimeter, paths))


NAMES = ("bracket_a", "comb_a", "exactradii_a", "gear_a", "glyph_SansMono_at_30", "glyph_Sans_amp_30",
         "glyph_Serif_8_30", "holes_a", "islands_a", "neck_a", "nested_a", "star_a", "superellipse_a",
         "waist_a")  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("radius", [0.17, 0.7, 2.2])
def test_against_an_integer_polygon_clipper(name: str, radius: float) -> None:
    region, e = load(name)[1], 2e-5
    reached, around = opened_area(region, radius, e)
    mine = area(region) - area(unreachable(region, radius))
    # facets lose e along the source and along both offsets; noise that is left out is narrower than 1 µm
    assert mine == pytest.approx(reached, abs=4.0 * e * (length(region) + around) + 1e-3 * length(region) / 4.0)
    tight = area(region) - area(residue(region, radius))
    assert tight == pytest.approx(reached, abs=4.0 * e * (length(region) + around))


# ------------------------------------------------------------------ laws
@calm
@given(regions, radii, st.floats(0.0, 2.0 * pi), st.booleans())
def test_turning_and_mirroring_change_nothing(region: Region, radius: float, angle: float, flip: bool) -> None:
    image = turned(region, angle)
    image = mirrored(image, Axis(Point(1.0, 2.0), 0.4)) if flip else image
    assert area(unreachable(image, radius)) == pytest.approx(area(unreachable(region, radius)), abs=1e-6)


@calm
@given(regions, numbers(0.05, 4.0), numbers(0.05, 4.0))
def test_a_larger_cutter_reaches_no_more(region: Region, r: float, s: float) -> None:
    small, large = sorted((r, s))
    a, b = unreachable(region, small), unreachable(region, large)
    assert area(a) <= area(b) + 1e-6
    assert area(difference(a, b)) <= 1e-3 * length(region)


@calm
@given(
    st.one_of(regions, st.builds(lambda k, s: case(k, s).region, st.sampled_from(KINDS[:4]), st.integers(0, 99))), radii
)
def test_what_is_reached_and_what_is_left_are_the_region(region: Region, radius: float) -> None:
    assume(all(explain_contour(c) is None for c in region))
    reached, left = opening(region, radius), unreachable(region, radius)
    assert area(intersection(reached, left)) == pytest.approx(0.0, abs=1e-6)
    assert area(union(reached, left)) == pytest.approx(area(region), abs=1e-3 * length(region))
    assert not left or contains_region(region, left)


@calm
@given(regions)
def test_pieces_are_the_region(region: Region) -> None:
    pieces = separated(region)
    assert Region.of(c for p in pieces for c in p) == Region.of(region)
    assert all(sum(area(c) > 0.0 for c in p) == 1 for p in pieces)


# ------------------------------------------------------------------ the largest cutter
@pytest.mark.parametrize(
    ("region", "radius", "why"),
    [
        (box(20.0, 5.0), 0.0, Limit.SHARP),
        (box(20.0, 5.0, 2.0), 2.0, Limit.ROUND),
        (Region((circle((0.0, 0.0), 3.0),)), 3.0, Limit.ROUND),
        (Region((slot((0.0, 0.0), (20.0, 5.0), 6.0),)), 3.0, Limit.ROUND),
        (ring((1.0, 2.0), 9.0, 5.0), 2.0, Limit.NECK),
        (DUMBBELL, 0.3, Limit.NECK),
        (SLOTTED, 0.0, Limit.SHARP),
        (Region.of([Contour.of([(-9, 0, 0), (9, 0, tan(pi / 8)), (10, 1, 0), (10, 9, 0), (-10, 9, 0), (-10, 1, 0.2)])]),
         0.0, Limit.SHARP),
    ],
)  # fmt: skip
def test_largest_cutter_of_plain_shapes(region: Region, radius: float, why: Limit) -> None:
    found = largest_cutter(region)
    assert (found.radius_mm, found.why) == (pytest.approx(radius, abs=1e-9), why)


def test_the_place_that_limits_is_told() -> None:
    one_sharp = Region((polygon([(0, 0), (20, 0), (20, 10)]),))
    assert largest_cutter(one_sharp).at in [(0.0, 0.0), (20.0, 0.0), (20.0, 10.0)]
    assert largest_cutter(DUMBBELL).at == pytest.approx((0.0, 0.0), abs=1e-9)
    corner = largest_cutter(box(20.0, 10.0, 2.0)).at
    assert min(hypot(corner.x - x, corner.y - y) for x in (2, 18) for y in (2, 8)) == pytest.approx(2.0)


def test_a_fillet_in_several_pieces_is_one() -> None:
    step = pi / 2.0 / 400.0
    fillet = [(5.0 + 3.0 * cos(-pi / 2 + k * step), 3.0 - 3.0 * cos(k * step), tan(step / 4)) for k in range(400)]
    region = Region((Contour.of([(0, 0), (5, 0, tan(step / 4)), *fillet[1:], (8, 3), (8, 30), (0, 30)]),))
    rounded_ends = largest_cutter(region)
    assert rounded_ends.why is Limit.SHARP  # its other corners
    assert largest_cutter(region, leaves_mm=10.0).radius_mm > 3.0


def test_a_polygon_of_many_sides_is_as_good_as_its_circle() -> None:
    """360 corners of 1 degree: a cutter of the inscribed radius 5 leaves 5 (1 / cos 0.5° - 1) = 0.19 µm."""
    found = largest_cutter(Region((regular_polygon((3.0, 1.0), 360, 10.0),)))
    assert found.radius_mm == pytest.approx(5.0, rel=2e-4)
    coarse = largest_cutter(Region((regular_polygon((3.0, 1.0), 36, 10.0),)))
    assert coarse.why is Limit.CORNER
    assert coarse.radius_mm == pytest.approx(1e-3 / (1.0 / cos(pi / 36.0) - 1.0), rel=1e-3)


@calm
@given(regions)
def test_the_largest_cutter_loses_nothing_and_a_larger_one_something(region: Region) -> None:
    found = largest_cutter(region)
    if found.radius_mm:
        deep = [x for x in losses(region, found.radius_mm - 2e-3) if x.depth_mm > 1.5e-3]
        assert not deep
        assert max((x.depth_mm for x in losses(region, found.radius_mm * 1.05 + 0.02)), default=0.0) > 1e-4
    else:
        assert any(hypot(x.at.x - found.at.x, x.at.y - found.at.y) < 0.3 for x in losses(region, 0.25))


@calm
@given(st.sampled_from([k for k in KINDS if k is not traced]), st.integers(500, 560))
def test_the_largest_cutter_of_hard_outlines_loses_nothing(kind, seed: int) -> None:
    region = case(kind, seed).region
    assume(all(explain_contour(c) is None for c in region))
    found = largest_cutter(region)
    if found.radius_mm:
        assert max((x.depth_mm for x in losses(region, found.radius_mm - 2e-3)), default=0.0) < 2e-3


def test_an_empty_region_has_no_largest_cutter() -> None:
    with pytest.raises(GeometryError):
        largest_cutter(EMPTY)
