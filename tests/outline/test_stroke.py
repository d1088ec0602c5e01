"""Thick lines: closed forms, both ways along, crossings, and paths that cannot be."""

from __future__ import annotations

from itertools import pairwise
from math import pi, tan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.errors import ContourError, OffsetError
from generator.outline.combine import union
from generator.outline.contour import Contour
from generator.outline.create import slot
from generator.outline.measure import area, length
from generator.outline.predicates import Side, contains_points
from generator.outline.region import Region
from generator.outline.stroke import stroke
from tests.oracles.distances import boundary, distances
from tests.outline.strategies import numbers

calm = settings(derandomize=True, deadline=None, max_examples=40)


def test_a_line_is_a_slot():
    line, same = stroke([(1.0, 2.0), (21.0, 2.0)], 6.0), Region.of([slot((1.0, 2.0), (21.0, 2.0), 6.0)])
    assert area(line) == pytest.approx(20.0 * 6.0 + pi * 9.0, rel=1e-14)
    assert len(line.contours[0]) == 4
    assert distances(boundary(line), same).max() < 1e-12


@pytest.mark.parametrize("sweep", [0.3, 1.0, 2.0, 3.1])
def test_an_arc_is_a_band_with_round_ends(sweep):
    """Pappus: width times the length of the middle line, and a whole disc for the ends."""
    r, b = 10.0, tan(sweep / 4.0)
    (band,) = stroke([(r, 0.0, b), (r * np.cos(sweep), r * np.sin(sweep))], 4.0)
    assert area(band) == pytest.approx(4.0 * r * sweep + pi * 4.0, rel=1e-12)
    assert length(band) == pytest.approx(2.0 * r * sweep + 4.0 * pi, rel=1e-12)
    assert sorted(s.radius_mm for s in band.segments()) == pytest.approx([2.0, 2.0, 8.0, 12.0])


@pytest.mark.parametrize("turn", [0.2, 1.0, pi / 2.0, 2.0])
def test_a_bend(turn):
    """At a bend by t the two strips share a kite of r² tan(t/2) less the sector r² t / 2 that rounds it outside."""
    path = [(-20.0, 0.0), (0.0, 0.0), (20.0 * np.cos(turn), 20.0 * np.sin(turn))]
    bent = stroke(path, 4.0)
    assert area(bent) == pytest.approx(40.0 * 4.0 + 4.0 * pi + 4.0 * (turn / 2.0 - tan(turn / 2.0)), rel=1e-12)


def test_a_half_turn_back_on_itself_is_the_line_alone():
    there = stroke([(0.0, 0.0), (20.0, 0.0), (5.0, 0.0)], 4.0)
    assert area(there) == pytest.approx(area(stroke([(0.0, 0.0), (20.0, 0.0)], 4.0)), abs=1e-9)


def test_a_cross():
    crossed = stroke([(-10.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0), (0.0, -10.0)], 2.0)
    corners = 3 * (pi / 4.0 - 1.0)
    assert area(crossed) == pytest.approx(60.0 * 2.0 + pi + corners - 4.0, rel=1e-12)
    assert len(crossed) == 2


def test_a_closed_ring():
    closed = stroke([(10.0, 0.0, 1.0), (-10.0, 0.0, 1.0), (10.0, 0.0)], 4.0)
    assert area(closed) == pytest.approx(pi * (144.0 - 64.0), rel=1e-12)
    assert len(closed) == 2


quarters = st.integers(-80, 80).map(lambda k: k / 4.0)
corners = st.tuples(quarters, quarters, st.sampled_from([0.0, 0.3, -0.5, 1.0, -1.0]))
paths = st.lists(corners, min_size=2, max_size=6, unique_by=lambda v: v[:2])


def as_contour(path: list[tuple[float, float, float]]) -> Region:
    """Return the path there and back, whose boundary is the path."""
    back = [(*path[i][:2], -path[i - 1][2]) for i in range(len(path) - 1, 0, -1)]
    return Region((Contour.of([*path[:-1], *back]),))


@calm
@given(paths, numbers(0.1, 6.0))
def test_every_point_of_the_edge_is_half_the_width_away(path, width):
    thick = stroke(path, width)
    assert np.abs(distances(boundary(thick), as_contour(path)) - width / 2.0).max() < 1e-6


@calm
@given(paths, numbers(0.5, 6.0))
def test_what_is_near_is_inside(path, width):
    """Points of a grid: inside where the path is nearer than half the width, by exact distance."""
    x, y = np.meshgrid(np.linspace(-30.0, 30.0, 40), np.linspace(-30.0, 30.0, 40))
    grid = np.stack([x.ravel(), y.ravel()], axis=1)
    away = distances(grid, as_contour(path))
    clear = np.abs(away - width / 2.0) > 1e-5
    sides = np.array([s is Side.INSIDE for s in contains_points(stroke(path, width), grid)])
    assert (sides == (away < width / 2.0))[clear].all()


@calm
@given(paths, numbers(0.1, 6.0))
def test_both_ways_along_are_the_same(path, width):
    back = [(*path[i][:2], -path[i - 1][2]) for i in range(len(path) - 1, 0, -1)] + [(*path[0][:2], 0.0)]
    assert area(stroke(back, width)) == pytest.approx(area(stroke(path, width)), abs=1e-6)


@calm
@given(paths, numbers(0.1, 6.0))
def test_one_stroke_is_the_union_of_its_parts(path, width):
    parts = [stroke([a, b], width) for a, b in pairwise(path)]
    assert area(union(*parts)) == pytest.approx(area(stroke(path, width)), abs=1e-5)


@pytest.mark.parametrize("width", [0.0, -1.0, float("nan"), float("inf")])
def test_no_width(width):
    with pytest.raises(ContourError, match="positive width"):
        stroke([(0.0, 0.0), (1.0, 0.0)], width)


@pytest.mark.parametrize("path", [[], [(1.0, 2.0)], [(1.0, 2.0), (1.0, 2.0), (1.0, 2.0)]])
def test_no_path(path):
    with pytest.raises(ContourError, match="two different points"):
        stroke(path, 1.0)


def test_no_number():
    with pytest.raises(OffsetError, match="finite"):
        stroke([(0.0, 0.0), (float("nan"), 1.0)], 1.0)
