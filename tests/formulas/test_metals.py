"""Expansion, galvanic pairs, fits and bonds against printed worked examples."""

from __future__ import annotations

from math import inf, pi

import pytest

from generator.base.galvanic import GROUPS, INDEX_OF, index_of
from generator.base.materials import MATERIALS
from generator.base.sheets import sheet_tolerance
from generator.formulas import adhesive, expansion, fits, galvanic


def test_expansion_of_brass_invar_and_steel():
    # worked problems on thermal expansion (read): brass 100 mm, 19e-6, 100 K: 0.19 mm; invar 1.5e-6: 0.015 mm;
    # the difference 0.175 mm; steel 20 m, 11e-6, 20 K: 4.4 mm
    assert expansion.expansion(19e-6, 100.0, 100.0) == pytest.approx(0.19)
    assert expansion.expansion(1.5e-6, 100.0, 100.0) == pytest.approx(0.015)
    assert expansion.mismatch(19e-6, 1.5e-6, 100.0, 100.0) == pytest.approx(0.175)
    assert expansion.expansion(11e-6, 20_000.0, 20.0) == pytest.approx(4.4)


def test_expansion_of_covers_and_inserts():
    # reckoned from the printed coefficients: EN AW-6082 on steel over 300 mm and 40 K; CuZn37 in EN AW-6082, 100 mm
    assert expansion.mismatch(23.4e-6, 12.0e-6, 300.0, 40.0) == pytest.approx(0.137, abs=0.0005)
    assert expansion.mismatch(23.4e-6, 20.2e-6, 100.0, 40.0) == pytest.approx(0.013, abs=0.0005)
    assert expansion.gap_left(0.05, 20.2e-6, 23.4e-6, 50.0, -40.0) == pytest.approx(0.05 - 0.0064)
    assert expansion.film_strain(-0.0064, 0.1) == pytest.approx(0.064)


def test_the_published_galvanic_example_and_pairs_of_covers():
    # galvanic guides (EIC, VK6): gold on silver is 0.15 V apart, just acceptable in a harsh environment
    gold, silver = (next(r.index_v for r in GROUPS if word in r.metals) for word in ("gold", "silver;"))
    assert galvanic.difference(gold, silver) == pytest.approx(0.15)
    aluminium = index_of("EN AW-6082 T6")
    for metal, apart in (("CuZn39Pb3 R430", 0.45), ("Cu-ETP R240", 0.55), ("1.4301 annealed", 0.40)):
        assert galvanic.difference(aluminium, index_of(metal)) == pytest.approx(apart)
        assert galvanic.corrodes(aluminium, index_of(metal))


def test_every_metal_has_an_index_and_plastic_none():
    metals = {m.name for m in MATERIALS} - {"POM-C"}
    assert metals <= set(INDEX_OF)
    assert index_of("POM-C") is None
    assert [g.index_v for g in GROUPS] == sorted(g.index_v for g in GROUPS)


@pytest.mark.parametrize(
    ("fit", "hole", "shaft", "least", "most"),
    [
        # read and cross-checked: tables of ISO 286 fits (MetricMech, MachineCalcs, pressfit read-me, encyclopedia)
        ("25 H7/h6", (21, 0), (0, -13), 0, 34),
        ("25 H7/g6", (21, 0), (-7, -20), 7, 41),
        ("25 H7/p6", (21, 0), (35, 22), -35, -1),
        ("50 H8/f7", (39, 0), (-25, -50), 25, 89),
        ("6 H7/m6", (12, 0), (12, 4), -12, 8),
    ],
)
def test_fits_of_iso_286(fit, hole, shaft, least, most):
    assert fits.clearance(*hole, *shaft) == (least, most), fit


def test_a_press_fit_of_two_printed_examples():
    # machinecalcs.com: shaft 50, hub 80, 0.04 mm on the diameter, both 200 GPa, 40 long, μ 0.15: 48.75 MPa, 45 950 N,
    # hoop 111.3 MPa; aionlinecalculator.com: the same with 210 GPa: 51 MPa, hoop 117 MPa
    pressure = fits.press_pressure(0.02, 25.0, 40.0, 200e3, 200e3)
    assert pressure == pytest.approx(48.75, abs=0.005)
    assert fits.press_force(pressure, 25.0, 40.0, 0.15) == pytest.approx(45_950, abs=5)
    assert fits.hoop_stress(pressure, 25.0, 40.0) == pytest.approx(111.3, abs=0.05)
    other = fits.press_pressure(0.02, 25.0, 40.0, 210e3, 210e3)
    assert (other, fits.hoop_stress(other, 25.0, 40.0)) == (pytest.approx(51.2, abs=0.05), pytest.approx(117, abs=0.5))


def test_an_endless_plate_is_a_very_wide_ring():
    wide = fits.press_pressure(0.01, 10.0, 1e6, 100e3, 70e3)
    assert fits.press_pressure(0.01, 10.0, inf, 100e3, 70e3) == pytest.approx(wide)
    # at the bore of an endless plate hoop tension equals the pressure: von Mises √3 p
    assert fits.ring_stress(30.0, 10.0, inf) == pytest.approx(3.0**0.5 * 30.0)


@pytest.mark.parametrize(
    ("thickness", "tolerance"),
    # EN 1652, cold-rolled copper alloys up to 350 mm wide, as printed by a dealer (euralliage.com): over … up to
    [
        (0.5, 0.03),
        (0.51, 0.04),
        (1.0, 0.05),
        (1.2, 0.05),
        (1.5, 0.06),
        (2.0, 0.07),
        (3.0, 0.08),
        (5.0, 0.12),
        (10.0, 0.22),
    ],
)
def test_tolerances_of_rolled_sheet(thickness, tolerance):
    assert sheet_tolerance(thickness) == tolerance


def test_thicker_sheet_than_the_table_is_no_better():
    assert sheet_tolerance(20.0) > sheet_tolerance(10.0)
    assert sheet_tolerance(10.0 + 1e-9) == pytest.approx(sheet_tolerance(10.0))


def test_bonds_there_and_back():
    force = adhesive.bond_force(pi * 100.0, 15.0, 0.25)
    assert adhesive.bond_area(force, 15.0, 0.25) == pytest.approx(pi * 100.0)
