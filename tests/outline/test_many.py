"""The union of many regions: against the union of all at once, and against closed forms."""

from __future__ import annotations

from math import atan2, cos, pi, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.outline.combine import difference, union
from generator.outline.create import circle, rectangle, ring
from generator.outline.many import union_of_many
from generator.outline.measure import area
from generator.outline.region import EMPTY, Region
from generator.outline.transform import moved


def disc(x: float, y: float, r: float = 1.0) -> Region:
    return Region.of([circle((x, y), r)])


def test_of_none_is_none():
    assert union_of_many([]) == EMPTY
    assert union_of_many([EMPTY] * 20) == EMPTY


@settings(deadline=None)
@given(st.lists(st.tuples(*[st.integers(-9, 9)] * 2, st.integers(1, 3)), min_size=1, max_size=40, unique=True))
def test_is_the_union_of_all_at_once(discs):
    regions = [disc(x + r / 7, y - r / 9, r) for x, y, r in discs]
    many, at_once = union_of_many(regions), union(*regions)
    assert area(many) == pytest.approx(area(at_once), rel=1e-9)
    assert area(difference(many, at_once)) + area(difference(at_once, many)) < 1e-6
    assert len(many) == len(at_once)


def test_a_thousand_apart_keep_their_very_vertices():
    regions = [disc(3 * (k % 40), 3 * (k // 40)) for k in range(1000)]
    assert union_of_many(regions) == Region.of(c for r in regions for c in r)


def test_a_thousand_on_each_other_round_a_centre():
    """Of each disc a sector shows, and two triangles between its centre, the middle and where it meets a neighbour."""
    n, away, r = 1000, 10.0, 20.0
    half = pi / n
    # neighbours meet on the line half way between them
    meet = away * cos(half) + (r * r - (away * sin(half)) ** 2) ** 0.5
    shows = atan2(meet * sin(half), meet * cos(half) - away)
    found = union_of_many([disc(away * cos(2 * k * half), away * sin(2 * k * half), r) for k in range(n)])
    assert len(found) == 1
    assert area(found) == pytest.approx(n * (away * meet * sin(half) + r * r * shows), rel=1e-9)


def test_islands_in_holes_stay():
    nested = [ring((0, 0), r + 1, r) for r in range(2, 40, 2)]
    assert union_of_many(nested) == Region.of(c for r in nested for c in r)


def test_touching_at_a_corner_or_along_a_side():
    square = Region.of([rectangle(0, 0, 1, 1)])
    row = union_of_many([moved(square, float(k), 0.0) for k in range(20)])
    assert (len(row), area(row)) == (1, pytest.approx(20.0))
    assert area(union_of_many([moved(square, float(k), float(k)) for k in range(20)])) == pytest.approx(20.0)
