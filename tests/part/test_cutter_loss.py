"""What a cutter makes of a drawing: shares against areas in closed form, pieces that go, split or stay."""

from __future__ import annotations

from math import pi

import pytest

from generator.outline.combine import union
from generator.outline.create import circle, rectangle, slot
from generator.outline.measure import area
from generator.outline.opening import opening
from generator.outline.region import EMPTY, Region
from generator.part import cutter_loss as losses
from generator.part.corners import cut_by
from generator.part.cutter_loss import cutter_loss, is_torn, share_cut


def box(x: float, y: float, w: float, h: float) -> Region:
    return Region((rectangle(x, y, x + w, y + h),))


SQUARE = box(0, 0, 10, 10)
CORNERS = (4.0 - pi) * 2.0**2
"""What a disc of radius 2 leaves in the four corners of a square."""
DUMB_BELL = union(box(0, 0, 10, 10), box(20, 0, 10, 10), box(5, 4, 20, 2))


def test_a_square_loses_its_corners():
    assert share_cut(SQUARE, 2.0) == pytest.approx(CORNERS / 100.0, rel=1e-9)
    loss = cutter_loss(SQUARE, cut_by(SQUARE, 2.0))
    assert (loss.torn, loss.filled) == (False, pytest.approx(0.0, abs=1e-9))
    assert loss.share == pytest.approx(CORNERS / 100.0, rel=1e-7)
    assert area(loss.changed) == pytest.approx(CORNERS, rel=1e-7)


def test_many_squares_lose_the_same_share_each():
    many = Region.of(c for k in range(30) for c in box(20.0 * (k % 6), 20.0 * (k // 6), 10, 10))
    assert share_cut(many, 2.0) == pytest.approx(CORNERS / 100.0, rel=1e-9)


def test_what_loses_nothing_is_not_offset(monkeypatch):
    from generator.part import corners

    monkeypatch.setattr(corners, "opening", None)
    assert share_cut(Region.of(circle((9.0 * k, 0.0), 4.0) for k in range(30)), 2.0) == 0.0


def test_the_first_piece_that_is_torn_answers_for_all(monkeypatch):
    """Counted, not timed: 29 more of the same kind are not cut."""
    cut: list[Region] = []
    monkeypatch.setattr(losses, "cut_by", lambda r, radius: cut.append(r) or cut_by(r, radius))
    bells = Region.of(c for k in range(30) for c in union(*(box(x, 40.0 * k, 10, 10) for x in (0, 20)),
                                                          box(5, 40.0 * k + 4, 20, 2)))  # fmt: skip
    assert share_cut(bells, 2.0) is None
    assert len(cut) == 1


@pytest.mark.parametrize("many", [1, 30])
def test_pieces_that_go_or_split_are_torn(many):
    dots = [circle((0.0, 100.0 + 9.0 * k), 4.0) for k in range(many)]
    for whole in (DUMB_BELL, union(SQUARE, box(50, 0, 3, 3))):
        region = Region.of([*whole, *dots])
        assert share_cut(region, 2.0) is None
        assert is_torn(region, opening(region, 2.0))
        assert share_cut(region, 0.5) == pytest.approx(1.0 - area(opening(region, 0.5)) / area(region), rel=1e-6)
        assert not is_torn(region, opening(region, 0.5))


def test_a_letter_that_splits_where_a_dot_goes_is_torn():
    region = Region.of([*DUMB_BELL, *box(50, 0, 3, 3)])
    made = opening(region, 2.0)
    assert len(made) == len(region) == 2
    assert is_torn(region, made)


def test_what_is_filled_is_told_where_it_is_more():
    ring = Region.of([*box(0, 0, 20, 20), *(c.reversed() for c in box(5, 5, 10, 10))])
    filled = Region.of([*box(0, 0, 20, 20), slot((8, 10), (12, 10), 2.0).reversed()])
    loss = cutter_loss(ring, filled)
    assert loss.share == 0.0
    assert loss.filled == pytest.approx((100.0 - (4.0 * 2.0 + pi)) / 300.0, rel=1e-9)
    assert area(loss.changed) == pytest.approx(100.0 - (8.0 + pi), rel=1e-9)


def test_where_both_happen_the_larger_is_changed():
    asked, made = union(box(0, 0, 10, 10), box(20, 0, 10, 10)), union(box(0, 0, 10, 9), box(20, 0, 10, 13))
    loss = cutter_loss(asked, made)
    assert (loss.share, loss.filled) == (pytest.approx(0.05), pytest.approx(0.15))
    assert area(loss.changed) == pytest.approx(30.0)
    loss = cutter_loss(made, asked)
    assert (loss.share, loss.filled) == (pytest.approx(30 / 220), pytest.approx(10 / 220))
    assert area(loss.changed) == pytest.approx(30.0)
    assert cutter_loss(SQUARE, EMPTY).share == pytest.approx(1.0)
