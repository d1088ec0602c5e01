"""Corners for a cutter: pocket and insert can both be made, and the gap between them is even."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from generator.outline.combine import difference, union
from generator.outline.create import circle, polygon, rectangle
from generator.outline.distance import boundary_points, points_distance
from generator.outline.measure import area
from generator.outline.offset import offset_region
from generator.outline.opening import closing, opening
from generator.outline.region import Region
from generator.outline.separate import separated
from generator.outline.transform import moved, turned
from generator.part.corners import cut_by, mated


def rect(xmin: float, ymin: float, xmax: float, ymax: float) -> Region:
    return Region((rectangle(xmin, ymin, xmax, ymax),))


SQUARE = rect(-10, -10, 10, 10)
ELL = difference(SQUARE, rect(0, 0, 20, 20))
"""Five outside corners and one inside corner."""


def gap_is_even(pocket: Region, gap: float) -> None:
    insert = offset_region(pocket, -gap)
    for one, other in ((insert, pocket), (pocket, insert)):
        distances = points_distance(other, boundary_points(one, 0.05))
        assert distances.min() == pytest.approx(gap, abs=1e-6)
        assert distances.max() == pytest.approx(gap, abs=1e-6)


def test_a_square_gets_the_cutters_corners() -> None:
    made = cut_by(SQUARE, 1.5)
    assert area(SQUARE) - area(made) == pytest.approx((4 - pi) * 1.5**2, abs=1e-9)


def test_what_the_cutter_can_make_keeps_every_digit() -> None:
    soft = Region((circle((3.0, 2.0), 7.0),))
    assert cut_by(soft, 1.5) is soft
    assert mated(soft, 1.5, 0.05) is soft
    assert cut_by(SQUARE, 0.0) is SQUARE


def test_mating_corners_have_one_centre_inside_and_outside() -> None:
    """Pocket: four right angles opened by r, one closed by r less gap; areas by hand."""
    r, gap = 1.5, 0.1
    pocket = mated(ELL, r, gap)
    corner = 1 - pi / 4
    assert area(pocket) == pytest.approx(300 - 5 * corner * r**2 + corner * (r - gap) ** 2, abs=1e-6)
    radii = sorted({round(s.radius_mm, 6) for c in pocket for s in c.segments() if s.is_arc})
    assert radii == [r - gap, r]
    insert = offset_region(pocket, -gap)
    radii = sorted({round(s.radius_mm, 6) for c in insert for s in c.segments() if s.is_arc})
    assert radii == [r - gap, r]
    gap_is_even(pocket, gap)


@pytest.mark.parametrize(("radius", "gap"), [(0.5, 0.6), (0.5, 0.5), (0.2, 1.0)])
def test_a_gap_wider_than_the_cutters_radius_is_even_too(radius: float, gap: float) -> None:
    """The pocket's corners get the gap's radius, so that the insert's come to one centre; areas by hand."""
    pocket = mated(ELL, radius, gap)
    assert area(pocket) == pytest.approx(300 - 5 * (1 - pi / 4) * gap**2, abs=1e-6)
    gap_is_even(pocket, gap)


def test_a_gap_wider_than_the_cutters_radius_takes_no_piece() -> None:
    """A slot that the cutter makes and the gap swallows keeps the cutter's corners: a check tells of the gap."""
    slot = rect(0, 0, 10, 1.1)
    pair = union(rect(0, 5, 10, 15), slot)
    assert len(mated(pair, 0.5, 0.6)) == 2
    assert area(mated(slot, 0.5, 0.6)) == pytest.approx(11 - (4 - pi) * 0.25, abs=1e-6)


def test_a_piece_is_closed_alone_and_the_web_between_two_pieces_stays() -> None:
    pair = union(rect(0, 0, 10, 10), rect(10.4, 0, 20, 10))
    made = mated(pair, 1.0, 0.05)
    assert len(made) == 2
    assert area(made) == pytest.approx(196 - 8 * (1 - pi / 4), abs=1e-6)


def test_nothing_is_left_of_what_is_narrower_than_the_cutter() -> None:
    assert not mated(rect(0, 0, 30, 0.8), 0.5, 0.05)
    assert not cut_by(rect(0, 0, 30, 0.8), 0.5)


def test_pieces_keep_their_holes_and_islands() -> None:
    ring = difference(SQUARE, rect(-6, -6, 6, 6))
    region = Region((*ring, *rect(-2, -2, 2, 2), *moved(difference(SQUARE, rect(-1, -1, 1, 1)), 40, 0)))
    pieces = separated(region)
    assert sorted(len(p) for p in pieces) == [1, 2, 2]
    assert sum(area(p) for p in pieces) == pytest.approx(area(region))
    assert sorted(round(area(p), 6) for p in pieces) == [16.0, 256.0, 396.0]


corners = st.lists(st.tuples(st.integers(-12, 12), st.integers(-12, 12)), min_size=1, max_size=3)


@settings(max_examples=40, deadline=None)
@example([(0, 11), (7, 3)], 1.0, 0.02, 0)  # a neck in which opening and closing undo each other
@given(corners, st.sampled_from([0.5, 1.0, 1.5]), st.sampled_from([0.02, 0.05, 0.1, 0.6]), st.integers(0, 89))
def test_pocket_and_insert_can_both_be_made(places, radius, gap, degrees) -> None:
    region = union(rect(-14, -5, 14, 5), *(rect(x - 4, y - 4, x + 4, y + 4) for x, y in places))
    pocket = mated(turned(region, degrees * pi / 180), radius, gap)
    assert pocket
    insert = offset_region(pocket, -gap)
    assert area(pocket) - area(opening(pocket, radius)) < 1e-4
    for piece in separated(insert):
        assert area(closing(piece, radius)) - area(piece) < 1e-4
    gap_is_even(pocket, gap)


def test_a_star_comes_to_rest() -> None:
    star = Region((polygon([(0, 10), (2, 2), (10, 0), (2, -2), (0, -10), (-2, -2), (-10, 0), (-2, 2)]),))
    pocket = mated(star, 0.5, 0.05)
    insert = offset_region(pocket, -0.05)
    assert area(pocket) - area(opening(pocket, 0.5)) < 1e-4
    assert area(closing(insert, 0.5)) - area(insert) < 1e-4


def test_a_gap_that_takes_one_piece_and_parts_another_spoils_neither() -> None:
    """As many contours as before are not the same pieces: a disc of 0.9 goes, a bar of 1.8 between two discs parts."""
    dot, bar = Region((circle((0.0, 8.0), 0.9),)), rect(-6, -0.9, 6, 0.9)
    dumbbell = union(Region((circle((-6.0, 0.0), 3.0),)), bar, Region((circle((6.0, 0.0), 3.0),)))
    both = Region((*dumbbell, *dot))
    made = mated(both, 0.25, 1.0)
    assert len(separated(made)) == 2
    assert area(both) == pytest.approx(area(made), rel=0.01)
    beside = mated(Region((*dumbbell, *moved(SQUARE, 30.0, 0.0))), 0.25, 1.0)
    square = max(separated(beside), key=area)
    assert area(square) == pytest.approx(400 - (4 - pi) * 1.0**2, abs=1e-6)


# ------------------------------------------------------------------ many pieces
def _sheet_of(count: int) -> Region:
    """Return discs in rows, which any small cutter can make, with one Ell among them."""
    spots = [(30.0 * (k % 10), 30.0 * (k // 10)) for k in range(count)]
    discs = [circle(at, 9.0) for at in spots[1:]]
    return Region.of([*ELL, *discs])


@pytest.mark.parametrize("make", [lambda r: cut_by(r, 2.0), lambda r: mated(r, 2.0, 0.1)])
def test_each_of_many_pieces_is_made_as_if_it_were_alone(make):
    many = make(_sheet_of(40))
    alone = make(ELL)
    kept = [c for c in many if len(c) == 2]
    assert len(kept) == 39
    assert set(kept) <= set(_sheet_of(40).contours)  # to the digit
    (made,) = (c for c in many if len(c) != 2)
    assert area(Region((made,))) == pytest.approx(area(alone), rel=1e-12)
    assert points_distance(alone, [v[:2] for v in made.vertices]).max() < 1e-7


def test_pieces_that_are_at_rest_are_not_offset(monkeypatch):
    """Counted, not timed: one of 40 pieces has a corner for the cutter to round, and only that one is opened."""
    from generator.part import corners

    opened: list[int] = []
    monkeypatch.setattr(corners, "opening", lambda r, *rest: opened.append(len(r)) or opening(r, *rest))
    assert cut_by(_sheet_of(40), 2.0) != _sheet_of(40)
    assert opened == [1]


def test_many_pieces_at_rest_are_the_region_itself():
    dots = Region.of(circle((30.0 * k, 0.0), 9.0) for k in range(40))
    assert cut_by(dots, 2.0) is dots
    assert mated(dots, 2.0, 0.1) is dots
