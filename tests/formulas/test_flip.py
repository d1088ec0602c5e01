"""Errors of the flip against trial of every corner of the errors; limits of ISO 286 against independent tables."""

from __future__ import annotations

import csv
import itertools
from math import hypot
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.limits_and_fits import BANDS, ISO_PINS_MM, hole_limits, pin_limits
from generator.base.standards import UnknownStandardError
from generator.formulas.fits import clearance
from generator.formulas.flip import flip_angle, flip_offset, tab_bends, tab_lifts

DATA = Path(__file__).parents[1] / "data/standards"
lengths = st.floats(-200.0, 200.0)


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


@settings(max_examples=200, deadline=None)
@given(st.floats(0.001, 0.5), st.floats(10.0, 300.0), lengths, lengths)
def test_offset_is_the_worst_of_all_corners_of_the_errors(each, span, along, across):
    worst = 0.0
    for first, second, shift in itertools.product((-each, each), repeat=3):
        turn = (second - first) / span  # dowels at -span/2 and span/2; first and second are their errors across
        sideways = (first + second) / 2.0 + turn * along
        lengthways = shift - turn * across
        worst = max(worst, hypot(sideways, lengthways))
    assert flip_offset(each, span, along, across) == pytest.approx(worst)


def test_angle_of_a_pair_of_dowels():
    # 0.01 mm at each of two dowels 100 mm apart: 0.02 / 100 rad, 0.0115°
    assert flip_angle(0.01, 100.0) == pytest.approx(0.0002)


def test_a_tab_is_a_beam_built_in_at_both_ends():
    # 24 N on one tab 4 mm wide and 1 mm thick over 3 mm: M = 36 N mm; W = 16/6 in the plane, 4/6 out of it
    assert tab_bends(24.0, 1, 4.0, 1.0, 3.0) == pytest.approx(13.5)
    assert tab_lifts(24.0, 1, 4.0, 1.0, 3.0) == pytest.approx(54.0)
    assert tab_bends(24.0, 4, 4.0, 1.0, 3.0) == pytest.approx(13.5 / 4)


@pytest.mark.parametrize("row", rows("limits_and_fits.csv"), ids=lambda r: f"to {r['up_to_incl_mm']}")
def test_bands_say_what_the_tables_say(row):
    size = float(row["up_to_incl_mm"])
    if size > BANDS[-1].up_to_mm:
        with pytest.raises(UnknownStandardError):
            hole_limits("H7", size)
        return
    for grade in range(5, 12):
        assert hole_limits(f"H{grade}", size) == (0.0, float(row[f"IT{grade}_um"]))
    assert pin_limits("m6", size) == (float(row["m_ei_um"]), float(row["m6_es_um"]))
    assert pin_limits("h6", size)[0] == float(row["h6_ei_um"])


@pytest.mark.parametrize("row", rows("dowel_pins.csv"), ids=lambda r: r["d_mm"])
def test_dowel_pins_say_what_the_tables_say(row):
    size = float(row["d_mm"])
    assert size in ISO_PINS_MM
    assert pin_limits("m6", size) == (float(row["m6_ei_um"]), float(row["m6_es_um"]))
    assert pin_limits("h8", size) == (float(row["h8_ei_um"]), float(row["h8_es_um"]))
    lower, upper = hole_limits("H7", size)
    pin_lower, pin_upper = pin_limits("m6", size)
    tight, loose = clearance(upper, lower, pin_upper, pin_lower)
    assert (loose, -tight) == (
        float(row["H7_m6_max_clearance_um"]), -float(row["H7_m6_max_interference_um"])
    )  # fmt: skip


@pytest.mark.parametrize("wrong", ["H12", "G7", "snug", ""])
def test_other_classes_are_refused_with_those_that_are_there(wrong):
    with pytest.raises(UnknownStandardError, match="H5 to H11"):
        hole_limits(wrong, 6.0)
