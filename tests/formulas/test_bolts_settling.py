"""Stiffness and settling of bolted joints against the printed solutions of a textbook."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.formulas import bolts_settling as s

MPSI = 1e6
STEEL = (0.78715, 0.62873)
CAST_IRON = (0.77871, 0.61616)


def test_stiffness_of_a_bolt():
    # Budynas and Nisbett, solutions, problem 8-20: M12, Ad 113, At 84.3 mm2, lt 15, ld 30, 207 GPa: 466.8 MN/m
    assert s.bolt_stiffness(207_000, 84.3, 15, 113, 30) == pytest.approx(466_800, rel=1e-4)
    # problem 8-23: lt 16, ld 10: 744 MN/m
    assert s.bolt_stiffness(207_000, 84.3, 16, 113, 10) == pytest.approx(744_000, rel=1e-3)


def test_stiffness_of_members():
    # Budynas and Nisbett, solutions, problem 8-18: d / l = 0.5 gives k / (E d) = 1.08
    assert s.member_stiffness(1.0, 1.0, 2.0) == pytest.approx(1.08, abs=0.005)
    # problem 8-19: d 0.625 in, l 1.5 in: cast iron 9.12e6 lbf/in, steel 19.18e6 lbf/in
    assert s.member_stiffness(14.5 * MPSI, 0.625, 1.5, *CAST_IRON) == pytest.approx(9.12 * MPSI, rel=1e-3)
    assert s.member_stiffness(30 * MPSI, 0.625, 1.5, *STEEL) == pytest.approx(19.18 * MPSI, rel=1e-3)


def test_two_halves_in_series():
    # the same problem: one half of each, as springs in series: 12.4e6 lbf/in; here with the general expression
    halves = [(0.75, 14.5 * MPSI), (0.75, 30 * MPSI)]
    assert s.layered_stiffness(halves, 0.625) == pytest.approx(12.4 * MPSI, rel=0.015)


def test_loss_by_hand():
    # two springs of 400 and 1200 kN/mm are 300 in series: 10 µm cost 3 kN
    assert s.settling_loss(0.01, 400_000, 1_200_000) == pytest.approx(3000)


@given(st.floats(min_value=2.0, max_value=60.0), st.floats(min_value=3.0, max_value=12.0))
@settings(max_examples=50, deadline=None)
def test_one_material_in_layers_is_one_piece(thickness, d):
    whole = s.member_stiffness(70_000, d, thickness)
    assert s.layered_stiffness([(thickness / 3, 70_000), (2 * thickness / 3, 70_000)], d) == pytest.approx(whole)


@given(st.floats(min_value=1e4, max_value=1e7), st.floats(min_value=1e4, max_value=1e7))
@settings(max_examples=50, deadline=None)
def test_the_softer_side_keeps_the_preload(bolt, members):
    """Series of springs: never stiffer than the softer of the two."""
    assert s.settling_loss(1.0, bolt, members) <= min(bolt, members)
