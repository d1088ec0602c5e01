"""Cutting formulas against printed answers of makers' catalogues, which use π = 3.14 and round on the way."""

from __future__ import annotations

import pytest

from generator.base.cutting import (
    ALUMINIUM,
    BRASS,
    KINDS_OF_MATERIAL,
    PLASTIC,
    STEEL,
    feed_range,
    force_of,
    kind_of,
    sources_of,
    speed_range,
)
from generator.base.materials import MATERIALS
from generator.formulas import cutting as c

PI_AS_PRINTED = 0.0006
"""3.14 for π, and a last figure that was rounded."""


def test_speed_and_feed_of_mitsubishis_milling_formulas():
    # Mitsubishi, "Milling formulas": D 125 at 350/min gives 137.4 m/min; fz 0.1, 10 teeth, 500/min gives 500 mm/min
    assert c.cutting_speed(350, 125) == pytest.approx(137.4, rel=PI_AS_PRINTED)
    assert c.table_feed(500, 10, 0.1) == pytest.approx(500)
    # the worked example of cutting time: fz 0.25, 16 teeth, 200/min: 800 mm/min; 300 mm and D 200: 0.625 min
    feed = c.table_feed(200, 16, 0.25)
    assert feed == pytest.approx(800)
    assert c.cutting_time(300 + 200, feed) == pytest.approx(0.625)


def test_spindle_speeds_of_two_makers():
    # Mitsubishi, "Milling power": vc 80, D 250: 101.91/min; WIDIA, trochoidal milling, page 80: vc 200, D 125: 510/min
    assert c.spindle_speed(80, 250) == pytest.approx(101.91, rel=PI_AS_PRINTED)
    assert c.spindle_speed(200, 125) == pytest.approx(510, abs=1)
    # Phantom speeds and feeds: vc 25, D 12: 663/min; then 2 teeth at 0.065: 86 mm/min, 3 teeth: 129
    assert c.spindle_speed(25, 12) == pytest.approx(663, abs=0.5)
    assert [c.table_feed(663, z, 0.065) for z in (2, 3)] == pytest.approx([86, 129], abs=0.5)


def test_milling_power_of_mitsubishi():
    # "Milling power": ap 2, ae 80, vf 280, kc 1800, efficiency 0.8: 1.68 kW
    assert c.cutting_power(2, 80, 280, 1800, 0.8) == pytest.approx(1.68, abs=0.005)


def test_specific_force_of_the_vdi_groups():
    # worked from ISCAR's table: brass 700 N/mm² at 1 mm and m 0.27 is 1081 at 0.2 mm
    row = force_of(BRASS)
    assert c.specific_force(row.kc1, row.m, 0.2) == pytest.approx(1081, abs=1)
    assert c.specific_force(row.kc1, row.m, 1.0) == row.kc1


def test_force_times_speed_is_the_power_without_losses():
    ap, ae, vf, kc, vc = 2.0, 3.0, 600.0, 900.0, 180.0
    watts = c.tangential_force(ap, ae, vf, kc, vc) * vc / 60.0
    assert watts / 1000.0 == pytest.approx(c.cutting_power(ap, ae, vf, kc, 1.0))


def test_removal_rate():
    assert c.removal_rate(2, 10, 500) == pytest.approx(10.0)  # mm³ to cm³, by definition


def test_mean_chip_never_exceeds_the_feed():
    assert c.mean_chip(0.05, 0.6, 6) == pytest.approx(0.05 * 0.1**0.5)
    assert c.mean_chip(0.05, 6, 6) == 0.05


# ------------------------------------------------------------------ charts
def test_every_builtin_material_has_cutting_data():
    assert {kind_of(m.name) for m in MATERIALS} <= set(KINDS_OF_MATERIAL)
    for kind in KINDS_OF_MATERIAL:
        low, high = speed_range(kind)
        assert 0 < low < high
        assert sources_of(kind)
    assert kind_of("beech") == ""


def test_ranges_span_all_charts():
    assert speed_range(BRASS) == (76, 457)  # Protocutter to Torbide: a factor of six
    assert speed_range(ALUMINIUM) == (259, 750)
    assert feed_range(STEEL, 6) == (0.025, 0.04)


def test_feeds_are_interpolated_and_go_with_the_diameter_outside():
    assert feed_range(PLASTIC, 9) == pytest.approx((0.114, 0.114))  # midway between 0.076 and 0.152
    assert feed_range(PLASTIC, 1.5) == pytest.approx((0.0255, 0.0255))
    assert feed_range(PLASTIC, 24)[0] == pytest.approx(0.304)
