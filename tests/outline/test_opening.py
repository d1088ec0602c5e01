"""Opening, closing, residue: closed forms, laws of morphology, radii to the digit."""

from __future__ import annotations

from math import asin, pi, sqrt, tan

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.base.units import MODEL
from generator.outline.combine import difference
from generator.outline.contour import Contour, Segment
from generator.outline.create import circle, polygon, rectangle, regular_polygon, ring, slot
from generator.outline.measure import area
from generator.outline.opening import closing, opening, residue
from generator.outline.predicates import contains_region, explain_contour
from generator.outline.region import EMPTY, Region
from tests.oracles import fine_facets
from tests.oracles.distances import boundary, distances
from tests.outline.kernel_cases import KINDS, case, traced
from tests.outline.strategies import numbers
from tests.outline.strategies import regions as any_regions

calm = settings(derandomize=True, deadline=None, max_examples=30)
regions = any_regions.filter(lambda r: all(explain_contour(c) is None for c in r))
kinds = st.sampled_from([k for k in KINDS if k is not traced])
radii = st.sampled_from([0.07, 0.4, 0.8, 2.3])  # none of the widths the outlines are made of
OUTER_MM = 400.0


@st.composite
def hard(draw: st.DrawFn) -> Region:
    found = case(draw(kinds), draw(st.integers(500, 599)))
    assume(all(explain_contour(c) is None for c in found.region))
    return found.region


def dip(r: float, half: float) -> float:
    """Return how much of a disc dips into a mouth of twice ``half`` whose corners it lies on: a circular segment."""
    return r * r * asin(half / r) - half * sqrt(r * r - half * half)


def box(width: float, height: float) -> Region:
    return Region.of([rectangle(0.0, 0.0, width, height)])


# ------------------------------------------------------------------ closed forms
@pytest.mark.parametrize("r", [0.05, 0.3, 1.0, 2.5])
def test_a_box_gets_round_corners(r):
    opened = opening(box(12.0, 5.0 + 1e-3), r)
    assert area(opened) == pytest.approx(12.0 * (5.0 + 1e-3) - (4.0 - pi) * r * r, rel=1e-12)
    assert radii_of(opened) == pytest.approx([r] * 4, rel=1e-9)
    left = residue(box(12.0, 5.0 + 1e-3), r)
    assert len(left) == 4
    assert [area(c) for c in left] == pytest.approx([(1.0 - pi / 4.0) * r * r] * 4, rel=1e-8, abs=1e-9)


@pytest.mark.parametrize("n", [3, 4, 5, 6, 9])
def test_a_regular_polygon_gets_round_corners(n):
    """A corner of inside angle a loses r² (1 / tan(a/2) - (π - a) / 2)."""
    shape, r, a = Region.of([regular_polygon((1.0, 2.0), n, 20.0)]), 1.5, pi * (1.0 - 2.0 / n)
    lost = r * r * (1.0 / tan(a / 2.0) - (pi - a) / 2.0)
    assert area(opening(shape, r)) == pytest.approx(area(shape) - n * lost, rel=1e-12)
    assert [area(c) for c in residue(shape, r)] == pytest.approx([lost] * n, rel=1e-6)


def test_a_neck_is_left():
    """Two boxes joined by a neck 2 wide and 5 long: a disc of radius 1.2 leaves it, and reaches into both its ends."""
    shape = polygon(
        [(0, 0), (10, 0), (10, 4), (15, 4), (15, 0), (25, 0), (25, 10), (15, 10), (15, 6), (10, 6), (10, 10), (0, 10)]
    )
    r = 1.2
    left = residue(Region.of([shape]), r)
    corners, neck = 8 * (1.0 - pi / 4.0) * r * r, max(area(c) for c in left)
    assert len(left) == 9
    assert len(opening(Region.of([shape]), r)) == 2
    assert neck == pytest.approx(5.0 * 2.0 - 2.0 * dip(r, 1.0), rel=1e-9)
    assert area(left) == pytest.approx(neck + corners, rel=1e-9)


def test_a_slot_is_all_a_disc_can_reach():
    shape = Region.of([slot((0.0, 0.0), (20.0, 5.0), 6.0)])
    assert area(opening(shape, 2.999)) == pytest.approx(area(shape), rel=1e-12)
    assert opening(shape, 3.000001) == EMPTY
    assert residue(shape, 3.000001) == shape


def test_closing_fills_a_slot():
    shape = polygon([(0, 0), (20, 0), (20, 10), (11, 10), (11, 2), (9, 2), (9, 10), (0, 10)])
    filled = closing(Region.of([shape]), 1.5)
    assert area(filled) == pytest.approx(200.0 - dip(1.5, 1.0), rel=1e-12)


def test_closing_joins_islands():
    """Two discs of radius 5 with 1 mm between them are joined by two hollow arcs; 7 mm are too much for radius 3."""
    two = Region.of([circle((0.0, 0.0), 5.0), circle((11.0, 0.0), 5.0)])
    (one,) = closing(two, 3.0)
    hollow = [seg.radius_mm for seg in one.segments() if seg.bulge < 0.0]
    assert hollow == pytest.approx([3.0, 3.0], rel=1e-12)
    assert {round(x, 9) for x in radii_of(Region.of([one]))} == {3.0, 5.0}
    far = Region.of([circle((0.0, 0.0), 5.0), circle((17.0, 0.0), 5.0)])
    assert area(closing(far, 3.0)) == pytest.approx(area(far), rel=1e-13)


def test_what_is_round_enough_stays():
    for shape in (
        Region.of([circle((3.0, 1.0), 4.0)]),
        ring((0.0, 0.0), 9.0, 5.0),
        Region.of([slot((0, 0), (9, 1), 5.0)]),
    ):
        assert residue(shape, 1.9) == EMPTY
        assert area(opening(shape, 1.9)) == pytest.approx(area(shape), rel=1e-13)
        assert area(closing(shape, 1.9)) == pytest.approx(area(shape), rel=1e-13)


# ------------------------------------------------------------------ laws (J. Serra, Image Analysis and Mathematical
# Morphology, 1982: opening and closing are idempotent, one is the other's dual, and they rise and fall with the disc)
@calm
@given(st.one_of(regions, hard()), radii)
def test_opening_twice_is_opening_once(region, r):
    once = opening(region, r)
    twice = opening(once, r)
    assert len(twice) == len(once)
    assert area(twice) == pytest.approx(area(once), abs=1e-9 * max(1.0, area(once)))
    if once:
        assert distances(boundary(twice), once).max() < 1e-9


@calm
@given(regions, radii)
def test_closing_twice_is_closing_once(region, r):
    once = closing(region, r)
    twice = closing(once, r)
    assert len(twice) == len(once)
    assert area(twice) == pytest.approx(area(once), abs=1e-9 * max(1.0, area(once)))


@calm
@given(regions, numbers(0.05, 4.0))
def test_opening_lies_inside_closing_outside(region, r):
    assert contains_region(region, opening(region, r))
    assert contains_region(closing(region, r), region)


@calm
@given(regions, numbers(0.05, 4.0), numbers(0.05, 4.0))
def test_a_larger_disc_reaches_less(region, r, s):
    small, large = sorted((r, s))
    assert area(opening(region, large)) <= area(opening(region, small)) + 1e-6
    assert area(closing(region, large)) >= area(closing(region, small)) - 1e-6


@calm
@given(st.one_of(regions, hard()), radii)
def test_closing_is_the_opening_of_the_rest(region, r):
    """Both ways round: what is cut out of a box far larger, opened, is the box less the closing."""
    around = Region.of([circle((0.0, 0.0), OUTER_MM)])
    rest = opening(difference(around, region), r)
    assert area(rest) == pytest.approx(area(around) - area(closing(region, r)), abs=1e-6)


@calm
@given(st.one_of(regions, hard()), radii)
def test_residue_is_what_is_missing(region, r):
    """Slivers along a stretch that the disc all but reaches are no areas; the oracle says how much they are."""
    opened, left = opening(region, r), residue(region, r)
    missing = area(region) - area(opened) - area(left)
    thin = fine_facets.combine(region, opened, "difference", MODEL.facet_mm).slivers
    assert -1e-6 < missing < 1e-6 + thin
    if left:
        assert contains_region(region, left)


# ------------------------------------------------------------------ radii
def radii_of(region: Region) -> list[float]:
    return [s.radius_mm for c in region for s in c.segments() if s.is_arc]


def is_new(arc: Segment, source: Region) -> bool:
    """Return True when the middle of the arc does not lie on the source."""
    middle = boundary(Region.of([Contour.of([(*arc.start, arc.bulge), (*arc.end, 0.0)])]), (0.5,))[:1]
    return float(distances(middle, source)[0]) > 1e-6


@calm
@given(st.one_of(regions, hard()), radii)
def test_new_corners_have_exactly_the_radius(region, r):
    for contour in opening(region, r):
        for arc in contour.segments():
            if arc.is_arc and is_new(arc, region):
                assert arc.bulge > 0.0
                assert arc.chord_mm < 1e-2 or arc.radius_mm == pytest.approx(r, abs=1e-9)


@calm
@given(regions, radii)
def test_no_corner_points_outwards(region, r):
    """An opening has no convex corner, and no convex arc tighter than the disc."""
    for contour in opening(region, r):
        for arc in contour.segments():
            assert arc.bulge <= 0.0 or arc.radius_mm >= r - 1e-6 or arc.chord_mm < 1e-3


@pytest.mark.parametrize("r", [0.3, 0.5, 1.0])
def test_gear_teeth(r):
    teeth = case(KINDS[3], 7).region
    arcs = [s for c in opening(teeth, r) for s in c.segments() if s.is_arc and is_new(s, teeth)]
    assert len(arcs) > 10
    assert np.abs([s.radius_mm - r for s in arcs]).max() < 1e-12
