"""Cp and Cpk against worked examples of others."""

from __future__ import annotations

from math import inf, sqrt
from statistics import mean, stdev

import pytest

from generator.formulas.capability import capability, cpk_interval


def sample(m: float, s: float) -> list[float]:
    """Three readings of that mean and that standard deviation (n - 1), exactly."""
    return [m - s, m, m + s]


def test_the_example_of_the_handbook():
    """NIST/SEMATECH e-Handbook 6.1.6, from memory: limits 8 and 20, mean 16, s 2: Cp 1.0, Cpk 0.6667."""
    found = capability(sample(16.0, 2.0), 8.0, 20.0)
    assert (found.mean, found.deviation) == pytest.approx((16.0, 2.0))
    assert found.cp == pytest.approx(1.0)
    assert found.cpk == pytest.approx(0.6667, abs=5e-5)


def test_piston_rings():
    """125 rings, mean 74.00118, s 0.009785039, limits 73.95 and 74.05: Cp 1.703, Cpk 1.663, 1.448 to 1.878 with 95 %.

    From memory of what the documentation of the R package qcc prints (data: D. C. Montgomery, Introduction to
    Statistical Quality Control).
    """
    found = capability(sample(74.00118, 0.009785039), 73.95, 74.05)
    assert found.cp == pytest.approx(1.703, abs=5e-4)
    assert found.cpk == pytest.approx(1.663, abs=5e-4)
    assert cpk_interval(found.cpk, 125, 1.959964) == pytest.approx((1.448, 1.878), abs=5e-4)


def test_mean_and_spread_are_those_of_the_standard_library():
    readings = [6.61, 6.63, 6.60, 6.64, 6.62, 6.615]
    found = capability(readings, 6.55, 6.65)
    assert (found.mean, found.deviation) == pytest.approx((mean(readings), stdev(readings)), rel=1e-12)
    assert found.cpk_at_least < found.cpk <= found.cp


def test_a_mean_beyond_a_limit_has_a_cpk_below_nothing():
    assert capability(sample(21.0, 2.0), 8.0, 20.0).cpk == pytest.approx(-1.0 / 6.0)


def test_equal_readings_have_no_spread():
    assert capability([5.1] * 5, 5.0, 5.2).cp == inf
    assert capability([5.3] * 5, 5.0, 5.2).cpk == -inf
    assert capability([0.1 + 0.2, 0.3, 0.3], 0.0, 1.0).cpk == inf  # the noise of arithmetic is no spread


def test_fewer_readings_say_less():
    few = cpk_interval(1.33, 5, 1.645)[0]
    many = cpk_interval(1.33, 50, 1.645)[0]
    assert few < many < 1.33
    assert 1.33 - many == pytest.approx(1.645 * sqrt(1 / 450 + 1.33**2 / 98))


@pytest.mark.parametrize(("readings", "lower", "upper"), [([1.0], 0.0, 2.0), ([1.0, 2.0], 2.0, 2.0)])
def test_what_cannot_be_reckoned_is_refused(readings, lower, upper):
    with pytest.raises(ValueError, match="two readings"):
        capability(readings, lower, upper)
