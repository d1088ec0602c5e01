"""Readings of printed bars: which mark they are of, what becomes of the next print, and what is refused."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from generator.base.units import INCH, MILLIMETRE
from generator.paper.printed_bars import MARKS_MM, correction_of, faults, nominal_mm
from generator.recipe.model_paper import PrintedBars


@pytest.mark.parametrize(
    ("axis", "read", "mark"),
    [("x", 99.6, 100.0), ("x", 150.7, 150.0), ("y", 199.1, 200.0), ("y", 104.9, 100.0), ("x", 142.6, 150.0)],
)
def test_a_reading_tells_by_itself_which_mark_was_measured(axis, read, mark):
    assert nominal_mm(axis, read) == mark


@pytest.mark.parametrize("axis", ["x", "y"])
def test_no_reading_can_be_of_two_marks(axis):
    reach = [(m * 0.95, m * 1.05) for m in MARKS_MM[axis]]
    assert all(a[1] < b[0] for a, b in pairwise(reach))


def test_the_next_print_is_larger_by_what_was_missing_and_says_so():
    # by hand: 100 / 99.6 = 1.004016, 100 / 100.2 = 0.998004
    correction = correction_of(PrintedBars(x=99.6, y=100.2))
    assert (correction.x, correction.y) == pytest.approx((1.004016, 0.998004), abs=1e-6)
    told = "Enlarged by 0.40 % in x, reduced by 0.20 % in y after bars of 99.6 and 100.2 mm."
    assert correction.sentence(MILLIMETRE) == told


def test_a_landscape_page_is_stretched_along_the_sides_of_the_paper():
    correction = correction_of(PrintedBars(x=99.6, y=200.4))
    assert correction.stretch(is_landscape=False) == (correction.x, correction.y)
    assert correction.stretch(is_landscape=True) == (correction.y, correction.x)


def test_a_recipe_in_inches_is_told_inches():
    correction = correction_of(PrintedBars(x=100.0, y=3.94 * 25.4))
    assert correction.sentence(INCH) == "Unchanged in x, reduced by 0.08 % in y after bars of 3.937 and 3.94 in."


def test_a_first_print_says_nothing_of_changes():
    assert "AXES" not in correction_of(PrintedBars(x=99.0, y=100.9)).sentence(MILLIMETRE)
    told = correction_of(PrintedBars(x=95.2, y=104.8)).sentence(MILLIMETRE)
    assert "THE AXES DIFFER BY 10.1 %" in told  # 104.8 / 95.2
    assert told.endswith("measure both bars of one sheet again.")
    assert correction_of(None).sentence(MILLIMETRE) == ""
    assert faults(None, MILLIMETRE) == []


@pytest.mark.parametrize(
    ("x", "y", "unit", "words"),
    [
        (3.92, 100.0, MILLIMETRE, ["bar x of 3.92 mm", "looks like inches", "`x: 3.92 in`"]),
        (100.0, 7.9, MILLIMETRE, ["bar y of 7.9 mm", "looks like inches"]),
        (9.96, 100.0, MILLIMETRE, ["looks like centimetres", "`x: 99.6 mm`"]),
        (99.6 * 25.4, 100.0, INCH, ["bar x of 99.6 in", "looks like millimetres", "`x: 99.6 mm`"]),
        (0.0, 100.0, MILLIMETRE, ["bar x of 0 mm", "measure bar x"]),
        (1000.0, 100.0, MILLIMETRE, ["bar x of 1000 mm", "measure bar x"]),
        (-99.6, 100.0, MILLIMETRE, ["bar x of -99.6 mm", "measure bar x"]),
        (math.nan, 100.0, MILLIMETRE, ["bar x of nan", "measure bar x"]),
        (math.inf, 100.0, MILLIMETRE, ["bar x of inf", "measure bar x"]),
        (94.9, 100.0, MILLIMETRE, ["within 5 % of 100 or 150 mm", "print again at 100 %"]),
        (100.0, 212.0, MILLIMETRE, ["within 5 % of 100, 150 or 200 mm", "print again at 100 %"]),
        (199.2, 150.3, MILLIMETRE, ["swapped", "`x: 150.3`, `y: 199.2`"]),
        (200.9, 99.1, MILLIMETRE, ["swapped", "`x: 99.1`, `y: 200.9`"]),
    ],
)
def test_an_absurd_reading_is_refused_with_its_place_and_a_remedy(x, y, unit, words):
    (mistake,) = faults(PrintedBars(x=x, y=y), unit)
    told = mistake.sentence()
    assert all(word in told for word in words), told
    assert mistake.path in ("paper.printed_bars.x", "paper.printed_bars.y")
    with pytest.raises(ValueError, match="of no mark"):
        correction_of(PrintedBars(x=x, y=y))


def test_both_readings_are_told_at_once():
    assert [m.path[-1] for m in faults(PrintedBars(x=0.0, y=-1.0), MILLIMETRE)] == ["x", "y"]
