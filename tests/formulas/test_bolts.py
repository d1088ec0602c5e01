"""Formulas of bolted joints against printed worked examples; the source stands beside each."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.threads import THREADS
from generator.formulas import bolts as b
from generator.formulas import plates

positive = st.floats(min_value=0.5, max_value=50.0)


def test_preload_and_torque_of_an_m12():
    # aionlinecalculator.com, bolt torque: M12 8.8, 580 MPa x 84.3 mm2 x 0.70 = 34.2 kN; 0.20 x 34.2 x 12 = 82 N m
    preload = 0.70 * b.proof_load(580.0, 84.3)
    assert preload == pytest.approx(34_200, rel=0.002)
    assert b.torque_of(preload, 12.0, 0.20) == pytest.approx(82, abs=0.5)


def test_preload_of_a_torque_on_an_m10():
    # engitoolbox.org, bolt preload: M10, K 0.20, 50 N m gives 25 kN and 431 MPa on 58 mm2
    preload = b.preload_of(50.0, 10.0, 0.20)
    assert preload == pytest.approx(25_000)
    assert preload / 58.0 == pytest.approx(431, abs=0.5)


def test_torque_of_an_m10_by_its_proof_load():
    # rulesofthumb.pages.dev prints 52 N m for 75 % of 34.8 kN (600 MPa); ISO 898-1 has 33.7 kN (580 MPa): 50.6 N m
    assert b.torque_of(0.75 * 34_800, 10.0, 0.20) == pytest.approx(52, abs=0.5)
    assert b.torque_of(0.75 * b.proof_load(580.0, 58.0), 10.0, 0.20) == pytest.approx(50.6, abs=0.2)


@pytest.mark.parametrize("thread", [t for t in THREADS if t.provenance == "cross-checked"], ids=lambda t: t.name)
def test_the_stress_area_formula_gives_the_areas_of_iso_898_1(thread):
    assert b.stress_area(thread.d_mm, thread.pitch_mm) == pytest.approx(thread.stress_area_mm2, rel=0.004)


def test_a_printed_clamped_plate():
    # "Plate circular, central load" (a worksheet after Roark, scribd.com 731548760): a 150, t 1.5, E 200 000, ν 0.29,
    # load 314 N within r 10: the middle sinks 2.295 mm, 233 MPa there and 67 MPa at the edge
    stiffness = plates.stiffness(200_000.0, 1.5, 0.29)
    assert b.clamped_plate_deflection(314.16, 150.0, stiffness) == pytest.approx(
        2.295, rel=0.003
    )  # E is printed rounded
    assert b.clamped_plate_stress(314.16, 150.0, 1.5, 10.0, 0.29) == pytest.approx(233, abs=1)
    assert 6.0 * 314.16 / (4.0 * pi * 1.5**2) == pytest.approx(67, abs=0.5)


def test_pressure_under_a_washer():
    # geometry by hand: ISO 7089 washer 12 mm over a hole of 6.6 mm bears on 78.9 mm2
    assert b.ring_area(12.0, 6.6) == pytest.approx(78.88, abs=0.01)
    assert b.bearing_pressure(7888.0, 12.0, 6.6) == pytest.approx(100.0, abs=0.02)


@given(positive, positive, st.floats(min_value=0.05, max_value=0.5))
@settings(max_examples=50, deadline=None)
def test_torque_and_preload_are_inverse(force, d, factor):
    assert b.preload_of(b.torque_of(force, d, factor), d, factor) == pytest.approx(force)


@given(positive, positive, positive)
@settings(max_examples=50, deadline=None)
def test_gap_and_force_of_a_plate_are_inverse(force, radius, thickness):
    stiffness = plates.stiffness(70_000.0, thickness, 0.33)
    sunk = b.clamped_plate_deflection(force, radius, stiffness)
    assert b.clamped_plate_force(sunk, radius, stiffness) == pytest.approx(force)


@given(positive, positive)
@settings(max_examples=50, deadline=None)
def test_a_plate_loaded_near_its_edge_has_its_edge_stress(thickness, radius):
    edge = 6.0 * 1000.0 / (4.0 * pi * thickness**2)
    assert b.clamped_plate_stress(1000.0, radius, thickness, radius, 0.33) >= edge * (1 - 1e-12)


def test_shear_and_bending_in_a_seat():
    # by hand: 8 kN round a head of 10 mm through 2 mm: 127.3 MPa; a seat of 12 mm bends that ring at its wall
    assert b.punching_stress(8000.0, 10.0, 2.0) == pytest.approx(8000.0 / (pi * 20.0))
    moment = 8000.0 * 1.0 / (2.0 * pi * 6.0)
    assert b.rim_bending_stress(8000.0, 10.0, 12.0, 2.0) == pytest.approx(6.0 * moment / 4.0)
    assert b.rim_bending_stress(8000.0, 12.0, 12.0, 2.0) == 0.0
    assert b.equivalent_stress(100.0, 0.0) == 100.0
    assert b.equivalent_stress(0.0, 100.0) == pytest.approx(173.2, abs=0.01)
    assert b.widest_preload(100.0, 12.0, 6.6) == pytest.approx(7888.0, abs=1.0)


@pytest.mark.parametrize(("d", "pitch"), [(3.0, 0.5), (6.0, 1.0), (20.0, 2.5)])
def test_a_thread_strips_along_seven_eighths_of_its_length(d, pitch):
    """Basic profile of ISO 68-1: at the major diameter a turn of the nut is P - P / 8 wide."""
    assert b.internal_thread_area(d, pitch, 10.0) == pytest.approx(pi * d * 10.0 * 7.0 / 8.0)
