"""Booleans: areas that must add up, fine facets, and contours that are handed on to the bit."""

from __future__ import annotations

from itertools import pairwise
from math import pi, sqrt
from random import Random

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.base.errors import OffsetError
from generator.base.units import MODEL
from generator.outline.combine import FillRule, difference, exclusive, intersection, regularise, union
from generator.outline.contour import Contour
from generator.outline.create import circle, rectangle, ring
from generator.outline.measure import area, length
from generator.outline.predicates import contains_region, explain_contour, overlaps
from generator.outline.region import EMPTY, Region
from generator.outline.transform import moved, turned
from tests.oracles import fine_facets
from tests.oracles.distances import boundary, distances
from tests.outline.kernel_cases import KINDS, case, traced
from tests.outline.strategies import regions as any_regions
from tests.outline.test_offset_corpus import FILES, TRACED, load

calm = settings(derandomize=True, deadline=None, max_examples=40)
regions = any_regions.filter(lambda r: all(explain_contour(c) is None for c in r))
# in steps, so that no two boundaries lie some nanometres apart by chance
coordinates = st.integers(-600, 600).map(lambda k: k / 20.0)
moves = st.tuples(coordinates, coordinates)
angles = st.integers(0, 628).map(lambda k: k / 100.0)
EXACT_MM2 = 1e-6
A_HAIR_APART = {"neartouch_a": 2e-6}
"""Two holes of 5 mm with 1e-7 mm between them are one where something else is computed, and two where not: 1e-6 mm²."""
HOW = {"union": union, "difference": difference, "intersection": intersection}
NAMES = [f.stem for f in FILES if f.stem != TRACED]


def box(x0: float, y0: float, x1: float, y1: float) -> Region:
    return Region.of([rectangle(x0, y0, x1, y1)])


def disc(x: float, y: float, r: float) -> Region:
    return Region.of([circle((x, y), r)])


def identity(a: Region, b: Region) -> float:
    """Return by how much, mm², the worst of five identities between areas is missed."""
    both, either, odd = area(intersection(a, b)), area(union(a, b)), area(exclusive(a, b))
    only_a, only_b = area(difference(a, b)), area(difference(b, a))
    sums = (
        area(a) + area(b) - either - both,
        area(a) - only_a - both,
        area(b) - only_b - both,
        odd - only_a - only_b,
        either - both - odd,
    )
    return max(map(abs, sums))


# ------------------------------------------------------------------ closed forms
def test_lens_of_two_discs():
    """Two circles of radius r with r between their centres share r² (2π/3 - √3/2)."""
    a, b = disc(0.0, 0.0, 6.0), disc(6.0, 0.0, 6.0)
    lens = 36.0 * (2.0 * pi / 3.0 - sqrt(3.0) / 2.0)
    assert area(intersection(a, b)) == pytest.approx(lens, rel=1e-13)
    assert area(union(a, b)) == pytest.approx(72.0 * pi - lens, rel=1e-13)
    assert area(difference(a, b)) == pytest.approx(36.0 * pi - lens, rel=1e-13)
    assert area(exclusive(a, b)) == pytest.approx(72.0 * pi - 2.0 * lens, rel=1e-13)
    assert len(intersection(a, b).contours[0]) == 2
    assert len(exclusive(a, b)) == 2


def test_boxes():
    a, b = box(0, 0, 10, 6), box(4, 2, 14, 9)
    assert intersection(a, b) == box(4, 2, 10, 6)
    assert area(union(a, b)) == pytest.approx(60.0 + 70.0 - 24.0, rel=1e-14)
    assert len(union(a, b).contours[0]) == 8
    assert len(difference(a, b).contours[0]) == 6


def test_disc_out_of_a_box_is_a_hole_and_back():
    a, b = box(-10, -10, 10, 10), disc(1.0, 2.0, 3.0)
    plate = difference(a, b)
    assert plate == Region.of([a.contours[0], b.contours[0].reversed()])
    assert union(plate, b) == a
    assert intersection(plate, b) == EMPTY


def test_nothing():
    a = box(0, 0, 10, 6)
    assert union() == EMPTY
    assert union(a, EMPTY) == union(a) == difference(a, EMPTY) == difference(a) == a
    assert difference(EMPTY, a) == intersection(a, EMPTY) == intersection(EMPTY, a) == EMPTY
    assert exclusive(a, EMPTY) == a
    assert exclusive(a, a) == difference(a, a) == EMPTY
    assert difference(a, box(-1, -1, 11, 7)) == EMPTY


# ------------------------------------------------------------------ touching
def test_touching_along_an_edge_is_one():
    assert area(union(box(0, 0, 10, 6), box(10, 0, 14, 6))) == pytest.approx(84.0, rel=1e-14)
    assert len(union(box(0, 0, 10, 6), box(10, 0, 14, 6))) == 1
    assert intersection(box(0, 0, 10, 6), box(10, 0, 14, 6)) == EMPTY
    assert difference(box(0, 0, 10, 6), box(10, 0, 14, 6)) == box(0, 0, 10, 6)


def test_touching_along_part_of_an_edge():
    one = union(box(0, 0, 10, 6), box(10, 2, 14, 9))
    assert len(one) == 1
    assert area(one) == pytest.approx(88.0, rel=1e-14)


def test_touching_along_an_arc():
    outer, inner = ring((0.0, 0.0), 9.0, 5.0), disc(0.0, 0.0, 5.0)
    assert union(outer, inner) == disc(0.0, 0.0, 9.0)
    assert intersection(outer, inner) == EMPTY


def test_touching_in_a_vertex_stays_two_areas():
    a, b = box(0, 0, 10, 6), box(10, 6, 14, 9)
    assert area(union(a, b)) == pytest.approx(72.0, rel=1e-14)
    assert intersection(a, b) == EMPTY
    assert difference(a, b) == a


@pytest.mark.parametrize("gap", [0.0, 1e-9, -1e-9, 1e-6, -1e-6])
def test_discs_that_just_touch(gap):
    a, b = disc(0.0, 0.0, 6.0), disc(10.0 + gap, 0.0, 4.0)
    assert area(union(a, b)) == pytest.approx(52.0 * pi, abs=EXACT_MM2)
    assert area(intersection(a, b)) == pytest.approx(0.0, abs=EXACT_MM2)
    assert area(difference(a, b)) == pytest.approx(36.0 * pi, abs=EXACT_MM2)


# ------------------------------------------------------------------ areas add up
@pytest.mark.parametrize(("one", "other"), list(pairwise([*NAMES, NAMES[0]])))
def test_areas_add_up(one, other):
    allowed = max(A_HAIR_APART.get(n, EXACT_MM2) for n in (one, other))
    assert identity(load(one)[1], load(other)[1]) < allowed


@pytest.mark.parametrize("name", NAMES)
def test_an_outline_and_itself(name):
    a = load(name)[1]
    assert union(a, a) == intersection(a, a) == a
    assert difference(a, a) == exclusive(a, a) == EMPTY


@pytest.mark.parametrize("move", [(1.0, 0.0), (0.0, 0.6), (0.37, -0.21), (0.02, -0.01)])
@pytest.mark.parametrize("name", NAMES)
def test_an_outline_and_a_moved_copy(name, move):
    """Every line along the move runs along its copy, every circle crosses its own at almost no angle.

    Slivers of less than about a micrometre between the two are no areas to the kernel; the oracle says how much they
    are: none in nearly all cases, apart from facets that miss one another where arcs lie 0.02 mm apart.
    """
    a = load(name)[1]
    b = moved(a, *move)
    thin = sum(fine_facets.combine(a, b, how, MODEL.facet_mm).slivers for how in HOW)
    thin += fine_facets.combine(b, a, "difference", MODEL.facet_mm).slivers
    assert thin < (2e-2 if move[0] < 0.1 else 1e-5)
    assert identity(a, b) < A_HAIR_APART.get(name, EXACT_MM2) + thin


@pytest.mark.parametrize("move", [2e-2, 1e-3, 1e-5, 1e-7, 1e-9])
@pytest.mark.parametrize("name", NAMES[::3])
def test_what_is_lost_is_no_wider_than_facets(name, move):
    """Slivers between an outline and itself moved by some micrometres may go: 4 facet sizes wide at most."""
    a = load(name)[1]
    b = moved(a, move, move / 3.0)
    assert identity(a, b) < 2.0 * min(4.0 * MODEL.facet_mm, 2.0 * move) * length(a) + EXACT_MM2


@calm
@given(regions, regions, moves, angles)
def test_areas_of_random_regions_add_up(a, b, move, angle):
    assert identity(a, moved(turned(b, angle), *move)) < EXACT_MM2


@calm
@given(regions, moves)
def test_a_copy_on_its_own_boundary_lines(a, move):
    """Moved along one of its own segments, so that the two share a stretch of boundary if that is straight."""
    first = next(iter(a.contours[0].segments()))
    share = move[0] / 30.0
    b = moved(a, share * (first.end.x - first.start.x), share * (first.end.y - first.start.y))
    assume(abs(share) * first.chord_mm > 0.1 or share == 0.0)
    assert identity(a, b) < EXACT_MM2


# ------------------------------------------------------------------ laws of sets
@calm
@given(regions, regions, regions, moves)
def test_order_means_nothing(a, b, c, move):
    b, c = moved(b, *move), moved(c, -move[1], move[0])
    assert area(union(a, b)) == pytest.approx(area(union(b, a)), abs=EXACT_MM2)
    assert area(intersection(a, b)) == pytest.approx(area(intersection(b, a)), abs=EXACT_MM2)
    assert area(exclusive(a, b)) == pytest.approx(area(exclusive(b, a)), abs=EXACT_MM2)
    every = area(union(a, b, c))
    assert area(union(union(a, b), c)) == pytest.approx(every, abs=EXACT_MM2)
    assert area(union(a, union(b, c))) == pytest.approx(every, abs=EXACT_MM2)
    left, right = intersection(intersection(a, b), c), intersection(a, intersection(b, c))
    assert area(left) == pytest.approx(area(right), abs=EXACT_MM2)
    rest = area(difference(a, b, c))
    assert area(difference(difference(a, b), c)) == pytest.approx(rest, abs=EXACT_MM2)
    assert area(difference(a, union(b, c))) == pytest.approx(rest, abs=EXACT_MM2)


@calm
@given(regions, regions, moves)
def test_each_result_lies_where_it_must(a, b, move):
    b = moved(b, *move)
    both, either, rest = intersection(a, b), union(a, b), difference(a, b)
    for inner, outer in ((both, a), (both, b), (a, either), (b, either), (rest, a)):
        assert contains_region(outer, inner)
    assert not overlaps(rest, b)


@calm
@given(regions, regions, moves)
def test_results_are_sound_and_on_their_sources(a, b, move):
    b = moved(b, *move)
    for result in (intersection(a, b), union(a, b), difference(a, b), exclusive(a, b)):
        assert [explain_contour(c) for c in result if explain_contour(c)] == []
        if result:
            assert distances(boundary(result), Region.of([*a, *b])).max() < 1e-6


# ------------------------------------------------------------------ fine facets
@pytest.mark.parametrize("kind", [k for k in KINDS if k is not traced], ids=lambda k: k.__name__)
def test_against_facets(kind):
    rng = Random(kind.__name__)
    e = 2e-4
    for seed in range(2):
        a, b = case(kind, 400 + seed).region, case(rng.choice(KINDS), 410 + seed).region
        if any(explain_contour(c) for c in (*a, *b)):
            continue
        for how, function in HOW.items():
            facets, result = fine_facets.combine(a, b, how, e), function(a, b)
            assert area(result) == pytest.approx(facets.area, abs=facets.bound), (seed, how)
            assert len(result) == facets.loops, (seed, how)


# ------------------------------------------------------------------ untouched contours
def test_untouched_contours_are_the_same_to_the_bit():
    plate = load("holes_a")[1]
    hole = plate.contours[1]
    plug = Region.of([hole.reversed()])
    filled = union(plate, plug)
    assert set(filled.contours) == set(plate.contours) - {hole}
    assert set(difference(filled, plug).contours) == set(plate.contours)


@pytest.mark.parametrize("name", NAMES)
def test_something_far_away_changes_nothing(name):
    a, far = load(name)[1], disc(500.0, 300.0, 7.0)
    assert set(union(a, far).contours) == {*a, *far}
    assert difference(a, far) == a
    assert intersection(a, far) == EMPTY


@calm
@given(regions, regions)
def test_apart_is_kept_apart(a, b):
    b = moved(b, 1000.0, 0.0)
    assert union(a, b) == Region.of([*a, *b])
    assert difference(a, b) == a


@calm
@given(regions)
def test_cut_out_of_a_great_box_and_back(a):
    great = box(-400.0, -400.0, 400.0, 400.0)
    less = difference(great, a)
    assert set(less.contours) == {*great, *(c.reversed() for c in a)}
    assert difference(great, less) == a


# ------------------------------------------------------------------ nested islands
def test_islands_in_holes():
    rings = union(ring((0.0, 0.0), 40.0, 30.0), ring((0.0, 0.0), 20.0, 10.0), disc(0.0, 0.0, 4.0))
    assert len(rings) == 5
    bar = box(-50.0, -1.0, 50.0, 1.0)
    assert len(difference(rings, bar)) == 6
    assert len(intersection(rings, bar)) == 5
    cross = union(rings, bar)
    assert len(cross) == 1 + 2 * 2
    assert identity(rings, bar) < EXACT_MM2


def test_island_takes_the_place_of_a_hole():
    outer = ring((0.0, 0.0), 20.0, 10.0)
    assert exclusive(outer, disc(0.0, 0.0, 20.0)) == disc(0.0, 0.0, 10.0)


# ------------------------------------------------------------------ any contours made a region
def test_pentagram_by_both_rules():
    star = Contour.of([(8, 0), (-6.5, 4.7), (2.5, -7.6), (2.5, 7.6), (-6.5, -4.7)])
    full, odd = regularise([star]), regularise([star], rule=FillRule.EVEN_ODD)
    assert len(full) == 1
    assert len(full.contours[0]) == 10
    assert len(odd) == 5
    core = area(full) - area(odd)
    assert area(star) * (-1 if area(star) < 0 else 1) == pytest.approx(area(full) + core, rel=1e-12)


def test_either_way_round_and_twice_is_the_same():
    c = rectangle(0, 0, 10, 6)
    assert regularise([c]) == regularise([c.reversed()]) == regularise([c, c]) == Region.of([c])
    assert regularise([c, c], rule=FillRule.EVEN_ODD) == EMPTY
    assert regularise([c, c.reversed()]) == EMPTY
    assert regularise([]) == EMPTY


@calm
@given(regions)
def test_a_region_is_regular_already(a):
    assert regularise(a.contours, rule=FillRule.POSITIVE) == a
    assert regularise(a.contours, rule=FillRule.EVEN_ODD) == a


@calm
@given(regions, regions, moves)
def test_overlapping_contours_unite(a, b, move):
    b = moved(b, *move)
    together = regularise([*a, *b], rule=FillRule.POSITIVE)
    assert area(together) == pytest.approx(area(union(a, b)), abs=EXACT_MM2)


def test_what_cannot_be_computed_is_refused():
    with pytest.raises(OffsetError):
        union(box(0, 0, 1, 1), Region.of([Contour.of([(0, 0), (1, float("nan")), (1, 1)])]))
