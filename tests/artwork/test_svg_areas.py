"""Contours that no machine could tell from simple ones are made simple; nothing that has a width is lost."""

from __future__ import annotations

from math import pi, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.artwork.hairlines import without_slivers
from generator.artwork.svg_areas import is_convex, polished, sound, without
from generator.base.errors import ContourError
from generator.outline.contour import Contour
from generator.outline.create import circle
from generator.outline.measure import area, bounds
from generator.outline.predicates import explain_contour
from generator.outline.region import Region
from tests.artwork.svg_files import path, read, region

SPIKES = [
    [(0, 0), (10, 0), (10, 10), (5, 10), (5, 20), (5, 10), (0, 10)],
    [(0, 0), (10, 0), (10, 10), (5, 10), (5.0000002, 2), (4.9999999, 10), (0, 10)],
    [(5, 20), (5, 10), (0, 10), (0, 0), (10, 0), (10, 10), (5, 10)],
    [(0, 0), (10, 0), (10, 10), (5, 10), (5, 20), (5, 25), (5, 10), (0, 10)],
]


@pytest.mark.parametrize("points", SPIKES)
def test_spikes_without_width_are_taken_off(points):
    contour = Contour.of(points)
    assert explain_contour(contour) is not None
    found = sound(Region((contour,)))
    assert [explain_contour(c) for c in found] == [None]
    assert area(found) == pytest.approx(100, abs=1e-5)
    assert bounds(found) == pytest.approx((0, 0, 10, 10), abs=1e-5)


def test_a_spike_with_a_width_stays():
    contour = Contour.of([(0, 0), (10, 0), (10, 10), (5.01, 10), (5, 20), (4.99, 10), (0, 10)])
    assert polished(contour) == contour
    assert sound(Region((contour,))).contours == (contour,)


def test_segments_without_length_and_arcs_without_rise():
    contour = Contour.of([(0, 0, 1e-9), (10, 0), (10, 1e-7), (10, 10, 0.3), (0, 10)])
    assert polished(contour) == Contour.of([(0, 0), (10, 1e-7), (10, 10, 0.3), (0, 10)])


def test_nothing_is_left_of_a_line():
    assert sound(Region((Contour.of([(0, 0), (10, 0), (5, 0)]),))).contours == ()


def test_a_contour_that_touches_itself_by_less_than_a_micrometre_is_taken_apart():
    """A wave whose valley just touches the straight edge below it: two pieces that share a point at most."""
    found = path("M5 45q10-20 20 0t20 0v10h-40z")
    assert [explain_contour(c) for c in found] == [None] * len(found)
    assert area(found) == pytest.approx(400, abs=2e-3 * 100)
    assert len(found) >= 2


def test_holes_stay_holes_when_they_are_taken_apart():
    found = region('<rect width="60" height="70"/><path fill="white" d="M5 45q10-20 20 0t20 0v10h-40z"/>')
    assert [explain_contour(c) for c in found] == [None] * len(found)
    assert area(found) == pytest.approx(4200 - 400, abs=2e-3 * 100)


def test_what_lies_far_away_is_not_compared():
    a, b = Region.of([circle((0, 0), 5)]), Region.of([circle((50, 0), 5)])
    assert without(a, [b]) is a
    assert area(without(a, [Region.of([circle((5, 0), 5)])])) == pytest.approx(
        25 * pi - 25 * (2 * pi / 3 - 3**0.5 / 2), rel=1e-9
    )


@settings(max_examples=150, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(-9, 9), st.integers(-9, 9), st.sampled_from([0.0, 0.0, 0.1, 0.6, 1.0, -0.3])),
        min_size=2,
        max_size=5,
    )
)
def test_what_counts_as_convex_never_crosses_itself(vertices):
    contour = Contour.of(vertices)
    if is_convex(contour):
        assert explain_contour(contour) is None


def test_what_is_convex():
    assert is_convex(circle((3, 4), 5))
    assert is_convex(circle((3, 4), 5).reversed())
    assert is_convex(Contour.of([(0, 0), (9, 0, 0.2), (9, 9), (0, 9)]))
    assert not is_convex(Contour.of([(0, 0), (9, 0, -0.2), (9, 9), (0, 9)]))
    assert not is_convex(Contour.of([(0, 0), (9, 9), (9, 0), (0, 9)]))
    star = [(0, 9), (5, -8), (-9, 3), (9, 3), (-5, -8)]
    assert not is_convex(Contour.of(star))


def test_hundreds_of_light_and_dark_shapes_in_turns():
    """Rings, one within another: every second one stays."""
    rings = "".join(f'<circle cx="50" cy="50" r="{40 - k}" fill="{"white" if k % 2 else "black"}"/>' for k in range(40))
    found = region(rings)
    assert area(found) == pytest.approx(sum((-1) ** k * pi * (40 - k) ** 2 for k in range(40)), rel=1e-12)
    assert len(found) == 40


TWIN = '<circle cx="50" cy="50" r="30"/><circle cx="50" cy="50" r="{}" fill="white"/><rect width="9" height="9"/>'


@pytest.mark.parametrize("inner", [29.9997, 29.99999, 29.997])
def test_rings_of_twin_outlines_are_taken_out_and_told(inner):
    found = read(TWIN.format(inner))
    assert area(found.region) == pytest.approx(81, abs=1e-9)
    assert len(found.region) == 1
    assert found.left_out[-1].startswith("slivers and gaps taken out at")
    assert " mm apart near (" in found.left_out[-1]


def test_a_ring_that_was_meant_stays():
    found = read(TWIN.format(29.99))
    assert len(found.region) == 3
    assert found.left_out == ()


def test_a_drawing_enlarged_has_the_same_slivers_or_finer_ones():
    assert len(read(TWIN.format(29.9997), factor=3.0).region) == 1
    assert len(read(TWIN.format(29.9997), factor=0.1).region) == 1


def test_a_drawing_of_slivers_alone_is_refused_with_their_place():
    with pytest.raises(ContourError, match=r"two lines lie only 0\.0003 mm apart near \(\d+\.\d+, \d+\.?\d*\) mm"):
        region('<circle cx="50" cy="50" r="30"/><circle cx="50" cy="50" r="29.9997" fill="white"/>')


def test_shapes_that_all_but_touch_stay_and_are_told():
    found = read('<rect x="10" y="10" width="20" height="20"/><rect x="30.0004" y="10" width="20" height="20"/>')
    assert area(found.region) == pytest.approx(800, abs=0.01)
    assert "two lines lie only 0.0004 mm apart near (30.0002, 80) mm of the drawing" in found.left_out[-1]


def test_what_has_no_slivers_keeps_its_very_vertices():
    found = region('<path d="M10 50L60 50.001L60 49.999z"/><path d="M5 5h3v3h-3zM8 8h3v3h-3z"/>')
    assert without_slivers(found) == (found, ())


def test_what_lies_apart_is_not_united(monkeypatch):
    """Counted, not timed: of 200 dots, two of which overlap, only those two are put together."""
    from generator.artwork import svg_areas

    asked: list[int] = []
    plain = svg_areas.union
    monkeypatch.setattr(svg_areas, "union", lambda *r: asked.append(len(r)) or plain(*r))
    dots = [Region((circle((4.0 * (k % 20), 4.0 * (k // 20)), 1.0),)) for k in range(200)]
    found = svg_areas.united([*dots, Region((circle((1.0, 0.0), 1.0),))])
    assert sorted(asked)[-2:] == [1, 2]
    assert len(found) == 200
    lens = 2.0 * (pi / 3.0 - sqrt(3.0) / 4.0)  # of two discs of radius 1 whose centres lie 1 apart (closed form)
    assert area(found) == pytest.approx(201.0 * pi - lens, rel=1e-9)
