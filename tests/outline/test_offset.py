"""Offsets against closed forms, against fine facets, against the exact distance, and under motion."""

from __future__ import annotations

from math import pi, tan
from random import Random

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.base.errors import OffsetError
from generator.outline.contour import Contour
from generator.outline.create import circle, rectangle, ring, slot
from generator.outline.hull import hull
from generator.outline.measure import area, length
from generator.outline.offset import offset_region
from generator.outline.predicates import corner_angles, explain_contour, is_convex
from generator.outline.region import EMPTY, Region
from generator.outline.transform import Axis, mirrored, moved, scaled, turned
from tests.oracles import fine_facets
from tests.oracles.distances import boundary, distances, each_distance
from tests.outline.kernel_cases import DISTANCES, KINDS, Case, arbelos, case, traced
from tests.outline.strategies import angles, contours, numbers, places
from tests.outline.strategies import regions as any_regions

calm = settings(derandomize=True, deadline=None, max_examples=40)
steps = st.sampled_from(DISTANCES)
kinds = st.sampled_from(KINDS)
regions = any_regions.filter(lambda r: all(explain_contour(c) is None for c in r))  # some links cross themselves


def box(width: float, height: float) -> Region:
    return Region.of([rectangle(0.0, 0.0, width, height)])


@st.composite
def cases(draw: st.DrawFn) -> Case:
    found = case(draw(kinds), draw(st.integers(0, 199)))
    assume(all(explain_contour(c) is None for c in found.region))  # some stars cross themselves
    return found


def off(result: Region, source: Region, d: float) -> float:
    """Return how far, mm, the worst of many points of the result is from lying at distance |d|."""
    shares = (0.0, 0.5) if len(source.contours[0]) > 250 else (0.0, 0.25, 0.5, 0.75)
    return float(np.abs(distances(boundary(result, shares), source) - abs(d)).max()) if result else 0.0


# ------------------------------------------------------------------ closed forms
@pytest.mark.parametrize("d", [-4.9, -1.0, 0.2, 30.0])
def test_circle(d):
    (grown,) = offset_region(Region.of([circle((3.0, -2.0), 5.0)]), d)
    assert len(grown) == 2
    assert area(grown) == pytest.approx(pi * (5.0 + d) ** 2, rel=1e-14)
    assert length(grown) == pytest.approx(2.0 * pi * (5.0 + d), rel=1e-14)


@pytest.mark.parametrize("d", [-0.9, -0.1, 0.4, 2.9])
def test_ring(d):
    grown = offset_region(ring((0.0, 0.0), 8.0, 3.0), d)
    assert area(grown) == pytest.approx(pi * ((8.0 + d) ** 2 - (3.0 - d) ** 2), rel=1e-13)


def test_the_hole_of_a_ring_closes():
    assert area(offset_region(ring((0.0, 0.0), 8.0, 3.0), 3.5)) == pytest.approx(pi * 11.5**2, rel=1e-14)


@pytest.mark.parametrize("d", [0.001, 1.0, 25.0])
def test_square_corner_becomes_a_quarter_circle(d):
    (grown,) = offset_region(box(10.0, 4.0), d)
    assert len(grown) == 8
    assert sorted(v.bulge for v in grown.vertices)[4:] == pytest.approx([tan(pi / 8.0)] * 4, rel=1e-9)
    assert area(grown) == pytest.approx(40.0 + 28.0 * d + pi * d * d, rel=1e-13)


def test_hollow_corner_stays_sharp():
    ell = Contour.of([(0, 0), (20, 0), (20, 8), (8, 8), (8, 20), (0, 20)])
    (grown,) = offset_region(Region.of([ell]), 2.0)
    assert (10.0, 10.0, 0.0) in [tuple(round(x, 12) for x in v) for v in grown.vertices]
    # one hollow corner: the strips of its two sides overlap in a square, as a convex corner adds a quarter circle
    assert area(grown) == pytest.approx(area(ell) + 80.0 * 2.0 + (5.0 / 4.0 * pi - 1.0) * 4.0, rel=1e-13)


@calm
@given(contours, numbers(0.01, 50.0))
def test_steiner(contour, d):
    """Steiner's formula for convex bodies: A + L d + π d², and the length grows by 2 π d."""
    convex = hull([contour])
    assert is_convex(convex)
    grown = offset_region(Region.of([convex]), d)
    assert area(grown) == pytest.approx(area(convex) + length(convex) * d + pi * d * d, rel=1e-9)
    assert length(grown) == pytest.approx(length(convex) + 2.0 * pi * d, rel=1e-9)


@calm
@given(contours, numbers(0.01, 10.0))
def test_out_and_back_in_is_the_same_for_convex_outlines(contour, d):
    convex = Region.of([hull([contour])])
    back = offset_region(offset_region(convex, d), -d)
    assert area(back) == pytest.approx(area(convex), abs=1e-6)
    assert distances(boundary(back), convex).max() < 1e-6
    assert len(back.contours[0]) <= len(convex.contours[0])


@calm
@given(regions, numbers(0.01, 6.0))
def test_out_and_back_in_loses_nothing(region, d):
    """Closing adds and never takes; what it adds is no further than d away."""
    back = offset_region(offset_region(region, d), -d)
    assert area(back) > area(region) - 1e-6
    assert distances(boundary(back), region).max() < d + 1e-6


@calm
@given(regions, numbers(0.01, 4.0), numbers(0.01, 4.0))
def test_two_steps_out_are_one(region, d, e):
    twice = offset_region(offset_region(region, d), e)
    assert area(twice) == pytest.approx(area(offset_region(region, d + e)), abs=1e-5)


# ------------------------------------------------------------------ nothing left, nothing to do
@pytest.mark.parametrize("d", [-2.0, -2.0 - 1e-9, -7.0, -1000.0])
def test_nothing_survives(d):
    assert offset_region(box(10.0, 4.0), d) == EMPTY
    assert offset_region(Region.of([slot((0.0, 0.0), (9.0, 3.0), 4.0)]), d) == EMPTY
    assert offset_region(Region.of([circle((1.0, 2.0), 2.0)]), d) == EMPTY
    assert offset_region(ring((0.0, 0.0), 9.0, 5.0), d) == EMPTY


def test_a_hair_survives():
    (thin,) = offset_region(box(10.0, 4.0), -1.999)
    assert area(thin) == pytest.approx(6.002 * 0.002, rel=1e-9)


def test_nothing_to_do():
    region = ring((0.0, 0.0), 9.0, 5.0)
    assert offset_region(region, 0.0) is region
    assert offset_region(EMPTY, 3.0) == EMPTY


# ------------------------------------------------------------------ motion
@calm
@given(cases(), steps, angles, places)
def test_moved_and_turned(found, d, angle, at):
    assume(all(abs(d - c) > 1e-9 for c in found.critical))
    here = offset_region(found.region, d)
    there = offset_region(moved(turned(found.region, angle), *at), d)
    same = turned(moved(there, -at.x, -at.y), -angle)
    assert len(same) == len(here)
    assert area(same) == pytest.approx(area(here), abs=1e-2 if found.traced else 1e-5)
    assert off(there, moved(turned(found.region, angle), *at), d) < (3e-4 if found.traced else 1e-6)


@calm
@given(cases(), steps, angles)
def test_mirrored(found, d, angle):
    assume(all(abs(d - c) > 1e-9 for c in found.critical))
    axis = Axis((1.0, 2.0), angle)
    here, there = offset_region(found.region, d), offset_region(mirrored(found.region, axis), d)
    assert len(there) == len(here)
    assert area(there) == pytest.approx(area(here), abs=1e-2 if found.traced else 1e-5)


@calm
@given(cases(), steps, st.integers(1, 10_000))
def test_where_a_contour_starts_means_nothing(found, d, start):
    assume(all(abs(d - c) > 1e-9 for c in found.critical))
    shifted = [c.vertices[start % len(c) :] + c.vertices[: start % len(c)] for c in found.region]
    here, there = offset_region(found.region, d), offset_region(Region.of(map(Contour, shifted)), d)
    assert len(there) == len(here)
    assert sum(map(len, there)) == pytest.approx(sum(map(len, here)), abs=2)
    assert area(there) == pytest.approx(area(here), abs=1e-2 if found.traced else 1e-6)


@calm
@given(regions, numbers(-3.0, 3.0), st.sampled_from([0.5, 2.0, 25.4]))
def test_scaled(region, d, factor):
    here, there = offset_region(region, d), offset_region(scaled(region, factor), d * factor)
    assert area(there) == pytest.approx(area(here) * factor**2, abs=1e-5 * factor**2)


def test_the_same_question_has_the_same_answer():
    found = case(KINDS[-1], 5).region
    assert offset_region(found, 0.3) == offset_region(found, 0.3)


# ------------------------------------------------------------------ hard outlines
SLOW_FACETS = {"plate", "nested", "spiral"}  # many whole circles, where the oracle takes its time


@pytest.mark.parametrize("kind", KINDS, ids=lambda k: k.__name__)
def test_against_facets_and_distance(kind):
    e = 2e-4 if kind.__name__ in SLOW_FACETS else 5e-5
    for seed in range(300, 303):
        found = case(kind, seed)
        if any(explain_contour(c) for c in found.region):
            continue
        for d in DISTANCES:
            result, facets = offset_region(found.region, d), fine_facets.offset(found.region, d, e)
            assert area(result) == pytest.approx(facets.area, abs=facets.bound), (seed, d)
            if all(abs(d - c) > 1e-9 for c in found.critical):
                assert len(result) == facets.loops, (seed, d)
            assert off(result, found.region, d) < (3e-4 if found.traced else 1e-6), (seed, d)
            assert sum(map(len, result)) <= most_segments(result, found.region, d), (seed, d)


def most_segments(result: Region, source: Region, d: float) -> int:
    """Return source segments, one for each corner that becomes round, and two for each new contact."""
    round_corners = 0
    for contour in source:
        turn = corner_angles(contour)
        cusp = np.abs(turn) > pi - 1e-6  # to which side it turns is rounding
        round_corners += int(((turn * d > 1e-6) | cusp).sum())
    return sum(map(len, source)) + round_corners + 2 * contacts(result, source, d)


def contacts(result: Region, source: Region, d: float) -> int:
    """Return the number of vertices that are at distance d from two source segments which are no neighbours."""
    points = np.array([v[:2] for c in result for v in c.vertices]).reshape(-1, 2)
    seen: list[list[tuple[int, int]]] = [[] for _ in points]
    for i, contour in enumerate(source):
        for j, near in enumerate(each_distance(points, contour)):
            for k in np.flatnonzero(near < abs(d) + 1e-6).tolist():
                seen[k].append((i, j))
    return sum(not neighbours(at, source) for at in seen)


def neighbours(segments: list[tuple[int, int]], source: Region) -> bool:
    if len({i for i, _ in segments}) != 1:
        return False
    n = len(source.contours[segments[0][0]])
    return all((j - k) % n in (0, 1, n - 1) for _, j in segments for _, k in segments)


@calm
@given(cases(), steps)
def test_results_are_sound(found, d):
    """No crossing, no doubling back, no segment without length: every result may be offset again."""
    assume(all(abs(d - c) > 1e-5 for c in found.critical))
    for contour in offset_region(found.region, d):
        assert explain_contour(contour) is None


@pytest.mark.parametrize(("seed", "d"), [(0, 0.05), (1, 0.05), (3, 10.0)])
def test_no_going_back_over_a_vertex(seed, d):
    """Where two traced segments meet at 0.001 radians, rounding to the grid once made a step back of 0.3 µm."""
    for contour in offset_region(case(traced, seed).region, d):
        assert explain_contour(contour) is None


def test_a_cusp_leaves_no_arc_without_length():
    """The cusp of an arbelos once left an arc of 0.3 nm between the two halves of the circle round it."""
    (grown,) = offset_region(case(arbelos, 1038).region, 10.0)
    assert len(grown) == 2
    assert explain_contour(grown) is None


# ------------------------------------------------------------------ what is no region
BOW_TIE = [(0, 0), (10, 10), (10, 0), (0, 10)]
PENTAGRAM = [(8, 0), (-6.5, 4.7), (2.5, -7.6), (2.5, 7.6), (-6.5, -4.7)]
SQUARE = [(0, 0), (10, 0), (10, 10), (0, 10)]
NO_REGIONS = {
    "bow tie": [BOW_TIE],
    "pentagram": [PENTAGRAM],
    "two that overlap": [SQUARE, [(5, 5), (15, 5), (15, 15), (5, 15)]],
    "a hole across the edge": [SQUARE, [(5, 5), (5, 15), (15, 15), (15, 5)]],
    "a hole outside": [SQUARE, [(20, 0), (20, 5), (25, 5)]],
    "the same twice": [SQUARE, SQUARE],
    "clockwise": [SQUARE[::-1]],
    "arcs that cross": [[(0, 0, 1), (10, 0, 0), (10, 5, 0), (5, -8, 0), (0, 5, 0)]],
}


@pytest.mark.parametrize("d", DISTANCES)
@pytest.mark.parametrize("name", NO_REGIONS)
def test_no_region_no_offset(name, d):
    """Without looking for it, a pentagram is offset as if its crossings were no corners, and every check is passed."""
    with pytest.raises(OffsetError, match=r"(overlaps itself|wrong way round) near \("):
        offset_region(Region.of(map(Contour.of, NO_REGIONS[name])), d)


def test_the_message_says_where():
    with pytest.raises(OffsetError, match=r"wrong way round near \((5, 5|10, 0|10, 10)\)"):
        offset_region(Region.of([Contour.of(BOW_TIE)]), 1.0)


@calm
@given(st.integers(0, 10_000), steps)
def test_random_vertices_are_refused_if_they_cross(seed, d):
    rng = Random(seed)
    some = [(rng.uniform(0, 30), rng.uniform(0, 30), rng.choice([0.0, rng.uniform(-0.6, 0.6)])) for _ in range(5)]
    contour = Contour.of(some)
    contour = contour if area(contour) > 0.0 else contour.reversed()
    if explain_contour(contour) is None:
        assert off(offset_region(Region.of([contour]), d), Region.of([contour]), d) < 1e-6
        return
    with pytest.raises(OffsetError, match=r"(overlaps itself|wrong way round) near"):
        offset_region(Region.of([contour]), d)


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -float("inf"), 1e6])
def test_no_distance(bad):
    with pytest.raises(OffsetError, match="distance"):
        offset_region(box(10.0, 4.0), bad)


@pytest.mark.parametrize("bad", [float("nan"), 1e7])
def test_no_coordinate(bad):
    with pytest.raises(OffsetError):
        offset_region(Region.of([Contour.of([(0, 0), (10, 0), (10, bad)])]), 1.0)
