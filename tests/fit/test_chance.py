"""Chances against closed forms, and what must not change them."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import comb, erf, factorial, pi, prod, sqrt

import numpy as np
import pytest
from fit_samples import DISC, NOTCHED, PLATE, fit_case, moved_case, pin
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.fit.chance import bolt_room_for, chance_of, clearance_for, draw, head_offset_for
from generator.fit.placement import least_widening

N = 10_000


def error_of(chance: float, samples: int) -> float:
    """Three standard errors of a share."""
    return 3.0 * sqrt(max(chance * (1.0 - chance), 1.0 / samples) / samples)


def within(halves: tuple[float, ...], bound: float) -> float:
    """Chance that a sum of independent even errors, each within plus or minus a half, stays within a bound.

    By inclusion and exclusion over the corners of the box of errors (Olds, "A note on the convolution of uniform
    distributions", 1952; Irwin-Hall for equal halves).
    """

    def below(x: float) -> float:
        n = len(halves)
        corners = product((1, -1), repeat=n)
        total = sum(prod(s) * max(x + sum(a * b for a, b in zip(s, halves, strict=True)), 0.0) ** n for s in corners)
        return total / (factorial(n) * prod(2.0 * h for h in halves))

    return below(bound) - below(-bound)


def test_the_closed_form_itself():
    assert within((1.0,), 0.25) == pytest.approx(0.25)
    assert within((1.0, 1.0), 1.0) == pytest.approx(0.75)  # triangle
    # Irwin and Hall: three even numbers of 0 … 1 sum to at most 1.2
    hall = sum((-1) ** k * comb(3, k) * (1.2 - k) ** 3 for k in range(2)) / 6.0
    assert (1.0 + within((0.5, 0.5, 0.5), 0.3)) / 2.0 == pytest.approx(1.0 - hall)


@pytest.mark.parametrize(("room", "position"), [(0.05, 0.1), (0.08, 0.1), (0.2, 0.3), (0.099, 0.1)])
def test_two_bolts_with_even_errors(room, position):
    """Along the line of the bolts only half the difference of their errors counts; across it they can be turned right.

    They fit if |e1 - e2| <= 2 room: 1 - (1 - room / a)² for errors even within plus or minus a.
    """
    case = fit_case(pin(-40, 0, room), pin(40, 0, room), position=position, clearance=5.0)
    exact = 1.0 - (1.0 - room / position) ** 2
    assert within((position, position), 2.0 * room) == pytest.approx(exact)
    assert chance_of(case, N).bolts_share == pytest.approx(exact, abs=error_of(exact, N))
    assert chance_of(case, N).share == chance_of(case, N).bolts_share


@pytest.mark.parametrize("size", [0.02, 0.1])
def test_two_bolts_whose_holes_differ(size):
    """The rooms add up: |e1 - e2| <= 2 room + s1 + s2, s even within plus or minus half the tolerance of the holes."""
    case = fit_case(pin(-40, 0, 0.1), pin(40, 0, 0.1), position=0.15, size=size, clearance=5.0)
    exact = within((0.15, 0.15, size / 2.0, size / 2.0), 0.2)
    upper = (1.0 + exact) / 2.0  # |x| <= 2 room + s: half of each side, as x lies evenly about 0
    lower = 1.0 - upper
    assert chance_of(case, N).bolts_share == pytest.approx(upper - lower, abs=error_of(exact, N))


@pytest.mark.parametrize("room", [0.05, 0.1])
def test_two_bolts_measured_with_normal_errors(room):
    """Normal errors of both: the difference is normal with root 2 times the deviation."""
    case = fit_case(pin(0, -30, room), pin(0, 30, room), bolts=0.196, clearance=5.0)
    exact = erf(2.0 * room / (0.1 * sqrt(2.0)) / sqrt(2.0))
    assert chance_of(case, N).bolts_share == pytest.approx(exact, abs=error_of(exact, N))


@pytest.mark.parametrize("clearance", [0.01, 0.02, 0.045])
def test_a_pocket_that_is_narrow_by_an_even_error(clearance):
    """Only the pocket's size errs, by half its tolerance a side: it fits if that is no more than the clearance."""
    case = fit_case(clearance=clearance, size=0.1)
    exact = (1.0 + clearance / 0.05) / 2.0
    assert chance_of(case, N).share == pytest.approx(exact, abs=error_of(exact, N))


def test_one_bolt_and_the_wall():
    """One bolt in a round original, errors along x and y even: it fits if the offset is within both rooms together."""
    case = fit_case(pin(0, 0, 0.1), footprint=DISC, clearance=0.12, position=0.15)
    # hole and pocket err in x and in y by a triangle each; the share within a circle of radius 0.22 by quadrature
    r, h, n = 0.22, 0.3, 2000
    x = (np.arange(n) + 0.5) / n * r
    y = np.sqrt(r * r - x * x)
    tri = 2.0 * (1.0 - x / h) / h
    exact = float((tri * (2.0 * y / h - (y / h) ** 2)).sum() * r / n)
    assert chance_of(case, N).share == pytest.approx(
        exact, abs=error_of(exact, N) + 0.002
    )  # 0.2 %: corners of the disc


def test_the_same_case_gives_the_same_count_for_ever():
    case = fit_case(pin(-20, 0, 0.2), pin(20, 0, 0.2), clearance=0.1, footprint=PLATE, position=0.05, bolts=0.1)
    one = replace(case, errors=replace(case.errors, footprint=0.1, size=0.05, flip=0.05))
    chance_of.cache_clear()
    first = chance_of(one, 1000)
    chance_of.cache_clear()
    assert chance_of(one, 1000) == first


@settings(max_examples=15, deadline=None)
@given(st.floats(0.02, 0.2), st.floats(0.0, 0.2), st.sampled_from([PLATE, NOTCHED, DISC]))
def test_more_clearance_never_lowers_the_chance(clearance, more, footprint):
    case = fit_case(
        pin(-15, 2, 0.2, over=True),
        pin(18, -4, 0.2, over=True),
        footprint=footprint,
        clearance=clearance,
        position=0.05,
        bolts=0.1,
        size=0.05,
        flip=0.05,
    )
    case = replace(case, errors=replace(case.errors, footprint=0.12))
    assert chance_of(replace(case, clearance_mm=clearance + more), 500).fit >= chance_of(case, 500).fit


@settings(max_examples=15, deadline=None)
@given(st.floats(0.02, 0.3), st.floats(0.5, 0.999))
def test_the_clearance_named_is_enough_and_no_more_than_enough(clearance, share):
    case = fit_case(pin(-15, 2, 0.25), pin(18, -4, 0.25), footprint=NOTCHED, clearance=clearance, position=0.05)
    case = replace(case, errors=replace(case.errors, footprint=0.12, size=0.04, bolts=0.08))
    needed = clearance_for(case, 800, share)
    assert chance_of(replace(case, clearance_mm=needed + 1e-6), 800).share >= share
    assert chance_of(replace(case, clearance_mm=max(needed - 1e-4, 0.0)), 800).share <= share + 1.0 / 800


@settings(max_examples=10, deadline=None)
@given(st.floats(-500, 500), st.floats(-500, 500))
def test_shifting_the_whole_recipe_changes_nothing(dx, dy):
    case = fit_case(pin(-15, 2, 0.15, over=True), pin(18, -4, 0.15), footprint=NOTCHED, clearance=0.08, position=0.05)
    case = replace(case, errors=replace(case.errors, footprint=0.12, size=0.04, bolts=0.08, flip=0.05))
    assert chance_of(moved_case(case, 0.0, dx, dy), 500) == chance_of(case, 500)


@pytest.mark.parametrize("turn", [0.3, pi / 2, 2.0])
def test_turning_the_whole_recipe_changes_no_more_than_chance_does(turn):
    case = fit_case(pin(-15, 2, 0.15, over=True), pin(18, -4, 0.15), footprint=NOTCHED, clearance=0.08, bolts=0.1)
    case = replace(case, errors=replace(case.errors, footprint=0.12, size=0.04))
    one, two = chance_of(case, 4000).share, chance_of(moved_case(case, turn, 3.0, -7.0), 4000).share
    assert 0.5 < one < 0.995
    assert one == pytest.approx(two, abs=sqrt(2.0) * error_of(one, 4000))


def test_the_standard_error_is_the_spread_of_many_runs():
    """Shares of 40 runs of 500 samples, cut out of one long run, spread as the standard error says."""
    case = fit_case(clearance=0.03, size=0.1)
    rooms = draw(case, range(20_000))
    shares = (least_widening(rooms.walls, rooms.pins) <= 0.0).reshape(40, 500).mean(axis=1)
    assert shares.std(ddof=1) == pytest.approx(chance_of(case, 500).standard_error, rel=0.35)  # 3 deviations of 40


def test_samples_in_portions_are_the_same_samples():
    case = fit_case(pin(-15, 2, 0.2), pin(18, -4, 0.2), clearance=0.06, bolts=0.1, size=0.05)
    rooms = draw(case, range(25_000))
    assert chance_of(case, 25_000).fit == np.count_nonzero(least_widening(rooms.walls, rooms.pins) <= 1e-6)


def test_where_every_sample_fits_the_error_is_not_nought():
    sure = chance_of(fit_case(clearance=1.0), 500)
    assert (sure.share, sure.standard_error) == (1.0, 1.0 / 500)
    assert chance_of(fit_case(pin(-9, 0, 0.0), pin(9, 0, 0.0), position=0.5), 500).share < 0.01


def test_bolts_that_do_not_go_in_are_not_mended_by_clearance():
    case = fit_case(pin(-15, 0, 0.01), pin(15, 0, 0.01), position=0.1)
    assert clearance_for(case, 500, 0.9) == float("inf")
    more = bolt_room_for(case, 500, 0.9)
    wide = replace(case, pins=tuple(replace(p, room_mm=p.room_mm + more + 1e-6) for p in case.pins))
    assert chance_of(wide, 500).bolts_share >= 0.9
    assert bolt_room_for(fit_case(), 500, 0.9) == -float("inf")


@pytest.mark.parametrize(
    ("over", "still", "halves"),
    [
        ((0.0, -40.0), (0.0, 30.0), (0.2,)),  # along the flip axis: one error
        ((0.0, -40.0), (50.0, -40.0), (0.2,)),  # across it, at its one end
        ((0.0, 45.0), (50.0, 45.0), (0.2,)),  # and at its other
        ((0.0, 2.5), (50.0, 2.5), (0.1, 0.1)),  # half way between the ends: the mean of both
        ((0.0, 130.0), (50.0, 130.0), (0.4, 0.2)),  # as far beyond one end as the ends are apart: 2 b - a
    ],
)
def test_turning_over_shifts_and_turns_what_is_on_the_other_face(over, still, halves):
    """Two holes, one cut from either face, only the flip errs: what it moves along the line between them counts."""
    case = fit_case(pin(*over, 0.05, over=True), pin(*still, 0.05), flip=0.2, clearance=9.0)
    exact = within(halves, 0.1)
    assert chance_of(case, N).bolts_share == pytest.approx(exact, abs=error_of(exact, N))


def test_the_outline_errs_as_stated_and_opposite_sides_half_together():
    case = fit_case(clearance=0.3)
    room = draw(replace(case, errors=replace(case.errors, footprint=0.196)), range(20_000)).walls.room
    assert room.mean(axis=0) == pytest.approx(draw(case, range(1)).walls.room[0], abs=0.003)
    assert room.std(axis=0) == pytest.approx(0.1, rel=0.025)
    contacts = draw(case, range(1)).walls.rows
    left = int(contacts[:, 0].argmin())
    right = int(contacts[:, 0].argmax())
    assert np.corrcoef(room[:, left], room[:, right])[0, 1] == pytest.approx(0.5, abs=0.03)  # 60 mm apart of 67


@pytest.mark.parametrize("share", [0.5, 0.9, 0.99])
def test_two_countersunk_heads_share_the_error_of_their_distance(share):
    """Each is left with half of what the distances differ by: at most q in 1 - (1 - q / a)² of the covers."""
    heads = [replace(pin(x, 0, 0.5), countersunk=True) for x in (-30, 30)]
    case = fit_case(*heads, pin(0, 12, 0.01), position=0.2)
    exact = 0.2 * (1.0 - sqrt(1.0 - share))
    spread = error_of(share, N) * 0.2 / (2.0 * sqrt(1.0 - share))  # of a quantile: by the slope of the share
    assert head_offset_for(case, N, share, 0.0) == pytest.approx(exact, abs=spread)
    assert head_offset_for(case, N, share, 0.0) <= head_offset_for(case, N, share, 9.0)  # a mere shift does no better


def test_one_countersunk_head_is_always_in_the_middle():
    case = fit_case(replace(pin(5, 0, 0.5), countersunk=True), pin(0, 12, 0.01), position=0.2)
    assert head_offset_for(case, 500, 0.99, 0.0) == 0.0
