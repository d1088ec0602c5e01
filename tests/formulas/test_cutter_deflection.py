"""How far an end mill bends, against printed examples and a textbook's beam."""

from __future__ import annotations

from math import pi

import pytest

from generator.formulas.cutting import AS_ROD, CARBIDE_MPA, cutter_deflection, overhang_for


def test_the_examples_of_mitsubishis_course():
    # "Length of cut": 0.2 mm becomes 1.6 mm when the overhang doubles
    short = cutter_deflection(100.0, 20.0, 6.0, 200_000.0)
    assert cutter_deflection(100.0, 40.0, 6.0, 200_000.0) / short == pytest.approx(1.6 / 0.2)
    # "The effect of diameter": 25 µm becomes 1.5 µm (a sixteenth, printed without its last figure) when it doubles
    thin = cutter_deflection(100.0, 20.0, 6.0, CARBIDE_MPA)
    assert 25.0 * cutter_deflection(100.0, 20.0, 12.0, CARBIDE_MPA) / thin == pytest.approx(1.5, abs=0.1)


def test_a_beam_of_the_textbooks():
    # a cantilever of 1 in (25.4 mm) square steel bar, E 30e6 psi, 10 in long under 100 lbf: F l³ / (3 E I) = 0.01333 in
    moment_in4 = 1.0 / 12.0
    expected_in = 100.0 * 10.0**3 / (3.0 * 30e6 * moment_in4)
    rod_mm = (64.0 * moment_in4 * 25.4**4 / pi) ** 0.25 / AS_ROD  # the end mill with the same moment
    found = cutter_deflection(100.0 * 4.4482216, 254.0, rod_mm, 30e6 * 0.00689475729)
    assert found / 25.4 == pytest.approx(expected_in, rel=1e-6)


def test_overhang_is_the_inverse():
    out = overhang_for(0.05, 38.0, 3.0, CARBIDE_MPA)
    assert cutter_deflection(38.0, out, 3.0, CARBIDE_MPA) == pytest.approx(0.05)
