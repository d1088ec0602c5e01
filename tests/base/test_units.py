"""Lengths told to a person: right to the last figure, without needless ones, whichever the unit."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.units import INCH, MILLIMETRE, LengthUnit, length_unit

LENGTHS = st.floats(-3000.0, 3000.0)


@pytest.mark.parametrize("unit", [MILLIMETRE, INCH])
@settings(derandomize=True, deadline=None, max_examples=300)
@given(value=LENGTHS)
def test_figures_equal_decimal_arithmetic(unit: LengthUnit, value: float) -> None:
    """The standard library's exact decimals divide and round the same length, freed of noise first."""
    clean = Decimal(value / unit.mm).quantize(Decimal("1e-8"))
    exact = clean.quantize(Decimal(1).scaleb(-unit.decimals), ROUND_HALF_UP)
    for text in (unit.figure(value), unit.aligned(value)):
        assert abs(Fraction(text) * Fraction(unit.mm) - Fraction(value)) <= unit.mm * (
            0.5 * 10.0**-unit.decimals + 2e-9
        )
        assert Decimal(text) == exact


@pytest.mark.parametrize("unit", [MILLIMETRE, INCH])
@settings(derandomize=True, deadline=None, max_examples=300)
@given(value=LENGTHS)
def test_figures_have_no_needless_digits_and_no_negative_zero(unit: LengthUnit, value: float) -> None:
    text, column = unit.figure(value), unit.aligned(value)
    assert "." not in text or not text.endswith(("0", "."))
    assert text != "-0"
    assert len(column.partition(".")[2]) == unit.decimals
    assert float(column) or not column.startswith("-")


def test_lengths_as_they_are_read() -> None:
    assert INCH.length(25.4 * 17 / 64) == "0.2656 in"
    assert INCH.length(25.4, 50.8, 25.4 / 16) == "1 × 2 × 0.0625 in"
    assert MILLIMETRE.length(104.0, 63.996, 100.0) == "104 × 64 × 100 mm"
    assert (INCH.aligned(-1e-9), MILLIMETRE.aligned(-34.0)) == ("0.0000", "-34.00")


@pytest.mark.parametrize("noise", [-1e-13, 0.0, 1e-13])
def test_halves_are_rounded_away_from_zero_whatever_the_noise(noise: float) -> None:
    for part, wanted in ((1 / 32, "0.0313"), (3 / 32, "0.0938"), (-5 / 32, "-0.1563"), (31 / 32, "0.9688")):
        assert INCH.figure(part * 25.4 + noise) == wanted
        assert INCH.aligned(part * 25.4 + noise) == wanted
    assert MILLIMETRE.figure(0.125 + noise) == "0.13"


def test_units_are_found_by_the_names_that_recipes_use() -> None:
    assert length_unit("mm") is MILLIMETRE
    assert length_unit("inch") is INCH
    with pytest.raises(KeyError):
        length_unit("cubit")
