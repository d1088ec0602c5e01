"""Brushed metal nearly as bright as the lid: told, and traced or refused; by the recorded truth of simulated scans."""

from __future__ import annotations

import pytest

from generator.base.errors import GeometryError
from generator.trace.picture import Picture, load
from generator.trace.readings_file import read_caliper
from generator.trace.streaks import UNEVEN, within_streaks, without_streaks
from generator.trace.surround import find_parts
from generator.trace.tracing import trace_scans
from tests.scans.scan_cases import simulated
from tests.scans.scan_conditions import lost_in_shadow
from tests.scans.scan_parts import all_parts
from tests.scans.scorer import score
from tests.scans.simulate import render, save
from tests.trace.test_scans_against_truth import SCANS, scored, traced

LOST = "edge lost in shadow"
OFF_MM = 0.25
"""A quarter of the least gap that covers leave (chosen); untold, the streaks of these scans cost up to 6 mm."""


def streaked(brushed: float, folder) -> Picture:
    scan = render(all_parts()[0], lost_in_shadow(300.0, 1, brushed=brushed), 1)
    return load(save(scan, folder).read_bytes(), "scan.png")


@pytest.mark.parametrize("number", [2, 5])
def test_streaks_are_told_and_counted_as_metal(number, tmp_path):
    case = simulated(LOST, number, tmp_path)
    found = traced(case)
    assert any("streaks nearly as bright" in r and "black card" in r for r in found.remarks)
    s = score(case.truth, scored(found))
    assert s.both.most < OFF_MM
    assert s.holes[0] == s.holes[1] == s.holes[2]


def test_metal_that_cannot_be_told_from_the_lid_is_refused(tmp_path):
    picture = streaked(0.4, tmp_path)
    caliper = read_caliper(str(next(tmp_path.rglob("caliper.yaml"))))
    with pytest.raises(GeometryError, match=r"scan\.png: part and surroundings cannot be told apart.*black card"):
        trace_scans([picture], caliper, dpi=300.0)


@pytest.mark.parametrize("case", SCANS, ids=lambda c: c.name)
def test_scans_made_elsewhere_have_no_streaks(case):
    light = load(case.images[0].read_bytes(), "scan.png").light
    part = find_parts(light)[0]
    assert without_streaks(light, part, 1, 25.4 / 300.0) == (part, "")


def test_uneven_metal_whose_outline_is_clear_is_left_alone(tmp_path):
    case = simulated(LOST, 4, tmp_path)
    light = load(case.images[0].read_bytes(), "scan.png").light
    part = find_parts(light)[0]
    assert part.unevenness > UNEVEN
    assert within_streaks(light, part, 25.4 / 600.0) == 0.0
