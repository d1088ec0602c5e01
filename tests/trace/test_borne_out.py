"""Readings that seem to contradict each other, and are right: the part's own right angles tell that they agree.

Widths along both diagonals of the scanner's axes leave its aspect open; a step of shadow beside the edges misleads
what roundness says of it. A distance of centres along one axis of the scanner then seems to contradict the widths.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from generator.trace.picture import load
from generator.trace.readings import Caliper
from generator.trace.readings_file import read_caliper
from generator.trace.tracing import trace_scans
from tests.scans.scan_cases import simulated


@pytest.fixture(scope="module")
def tee(tmp_path_factory):
    case = simulated("300 dpi, one scan", 10, tmp_path_factory.mktemp("tee"))
    return load(case.images[0].read_bytes(), "tee.png"), read_caliper(str(case.readings))


def test_good_readings_are_believed_once_right_angles_bear_them_out(tee):
    picture, caliper = tee
    assert not trace_scans([picture], caliper).solved.slips


@pytest.mark.parametrize("wrong", ["m3", "m5"])
def test_what_right_angles_do_not_bear_out_stays_given_up(tee, wrong):
    picture, caliper = tee
    readings = tuple(replace(r, value=r.value + 0.5) if r.name == wrong else r for r in caliper.readings)
    assert wrong in trace_scans([picture], Caliper(readings)).solved.slips
