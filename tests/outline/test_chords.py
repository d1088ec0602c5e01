"""Lines across regions: closed forms, and an independent polygon library on fine facets."""

from __future__ import annotations

from itertools import pairwise
from math import cos, pi, sin, sqrt

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.outline.chords import chords, chords_of_lines, inner_point
from generator.outline.create import circle, rectangle, ring
from generator.outline.measure import bounds
from generator.outline.predicates import Side, contains_point
from generator.outline.region import EMPTY, Region
from generator.outline.transform import turned
from tests.outline.facet_oracle import facet_region
from tests.outline.strategies import regions

calm = settings(derandomize=True, deadline=None, max_examples=60)


def test_through_a_ring() -> None:
    """Also through the ends of its half arcs, and along a line that is level but for rounding."""
    for direction in ((1.0, 0.0), (0.0, 1.0), (cos(pi / 2), sin(pi / 2)), (cos(pi), sin(pi)), (0.6, 0.8)):
        found = chords(ring((0.0, 0.0), 8.0, 5.0), (0.0, 0.0), direction)
        assert [(c.start, c.end) for c in found] == [pytest.approx((-8.0, -5.0)), pytest.approx((5.0, 8.0))]
        assert [(c.start_contour, c.end_contour) for c in found] == [(0, 1), (1, 0)]
    (one,) = chords(ring((0.0, 0.0), 8.0, 5.0), (0.0, 6.0), (1.0, 0.0))
    assert (one.start, one.end, one.length_mm, one.middle) == pytest.approx((-sqrt(28), sqrt(28), 2 * sqrt(28), 0.0))


def test_touching_is_not_crossing() -> None:
    assert chords(Region((circle((0.0, 0.0), 5.0),)), (0.0, 5.0), (1.0, 0.0)) == ()
    diamond = Region((turned(rectangle(-3.0, -3.0, 3.0, 3.0), pi / 4),))
    assert chords(diamond, (0.0, 3.0 * sqrt(2.0) + 1e-12), (1.0, 0.0)) == ()
    assert chords(EMPTY, (0.0, 0.0), (1.0, 0.0)) == ()
    assert inner_point(EMPTY) is None


@calm
@given(regions, st.floats(0.05, 0.95), st.floats(0.0, 2.0 * pi))
def test_against_polygons(region: Region, share: float, angle: float) -> None:
    box = bounds(region)
    at = (box.xmin + share * box.width_mm, box.ymin + (1.0 - share) * box.height_mm)
    u, far = (cos(angle), sin(angle)), 2.0 * box.diagonal_mm
    line = shapely.LineString([(at[0] - far * u[0], at[1] - far * u[1]), (at[0] + far * u[0], at[1] + far * u[1])])
    expected = facet_region(region).intersection(line).length
    found = chords(region, at, u)
    assert all(a.end <= b.start for a, b in pairwise(found))
    # where a line runs nearly along an arc, facets change its length by far more than they are off
    assert sum(c.length_mm for c in found) == pytest.approx(expected, abs=0.2)
    for chord in found:
        middle = (at[0] + chord.middle * u[0], at[1] + chord.middle * u[1])
        assert contains_point(region, middle) is not Side.OUTSIDE


@calm
@given(regions)
def test_the_inner_point_is_inside(region: Region) -> None:
    point = inner_point(region)
    assert point is not None
    assert contains_point(region, point) is Side.INSIDE


def test_of_many_pieces_only_those_near_the_line_are_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    """A grid of discs in closed form; counted, not timed."""
    from generator.outline import chords as module

    looked_at: list[int] = []
    plain = module._crossings
    monkeypatch.setattr(module, "_crossings", lambda f, *rest: looked_at.append(len(f)) or plain(f, *rest))
    grid = Region(tuple(circle((6.0 * (k % 20), 6.0 * (k // 20)), 2.0) for k in range(400)))
    row = chords(grid, (0.0, 7.0), (1.0, 0.0))
    half = sqrt(3.0)  # of the chord 1 off the middle of a disc of radius 2
    assert [(c.start, c.end) for c in row] == [pytest.approx((6.0 * k - half, 6.0 * k + half)) for k in range(20)]
    assert [c.start_contour for c in row] == list(range(20, 40))
    slant = chords(grid, (0.0, 0.0), (sqrt(0.5), sqrt(0.5)))
    spots = [6.0 * sqrt(2.0) * k for k in range(20)]
    assert [(c.start, c.end) for c in slant] == [pytest.approx((s - 2.0, s + 2.0)) for s in spots]
    assert max(looked_at) <= 2 * 3 * 20


def test_many_lines_at_once_are_the_same_as_one_by_one() -> None:
    """Also of so many segments that those far from a line are left out."""
    dial = circle((0.0, 0.0), 20.0)
    few = Region((dial, *(circle((6.0 * cos(a), 6.0 * sin(a)), 1.0).reversed() for a in (0.1, 1.4, 2.9, 4.4))))
    turns = [2.0 * pi * k / 150 for k in range(150)]
    many = Region((dial, *(circle((15.0 * cos(a), 15.0 * sin(a)), 0.2).reversed() for a in turns)))
    lines = [((k - 10.0, 0.3 * k), (cos(0.7 * k), sin(0.7 * k))) for k in range(21)]
    for region in (few, many):
        found = chords_of_lines(region, lines)
        assert found == [chords(region, *line) for line in lines]
        assert len({len(f) for f in found}) > 1
    assert chords_of_lines(EMPTY, lines) == [()] * len(lines)
    assert chords_of_lines(few, []) == []


def test_inner_points_are_those_of_the_region_asked_for() -> None:
    regions_ = [Region((rectangle(x, 0.0, x + 1.0, 4.0),)) for x in (0.0, 10.0, 20.0)]
    for region in (*regions_, *regions_):
        at = inner_point(region)
        assert at is not None
        assert contains_point(region, at) is Side.INSIDE
