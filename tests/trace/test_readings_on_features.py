"""Readings whose pixels name features of a traced part: what two pixels in one hole lead to."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from generator.base.errors import GeometryError
from generator.trace.naming import Frame, measured_by
from generator.trace.picture import load
from generator.trace.readings import BETWEEN_HOLES, CENTRES, DIAMETER, OVER_HOLES, Caliper, Reading, agreed, scales
from generator.trace.readings_file import read_caliper
from generator.trace.tracing import trace_scans
from tests.trace.traced_cases import CORPUS, KEEPER, account, image_of

ONE_HOLE = ((342.0, 320.0), (338.0, 337.0))
"""Two pixels in the same hole of the keeper."""


def ring(u: float, v: float, radius: float) -> np.ndarray:
    t = np.linspace(0.0, 2.0 * np.pi, 60, endpoint=False)
    return np.column_stack([u + radius * np.cos(t), v + radius * np.sin(t)])


def test_a_distance_within_one_opening_tells_no_scale():
    loops = [ring(200.0, 200.0, 180.0), ring(100.0, 200.0, 20.0), ring(300.0, 200.0, 20.0)]
    slot = Reading("a", CENTRES, 3.0, ((95.0, 200.0), (105.0, 200.0)))
    hole = Reading("b", DIAMETER, 4.0, ((300.0, 200.0),))
    assert agreed(scales(Caliper((slot,)), loops)) is None
    assert agreed(scales(Caliper((slot, hole)), loops)) == pytest.approx(10.0, rel=1e-3)
    apart = Reading("c", CENTRES, 20.0, ((100.0, 200.0), (300.0, 200.0)))
    assert agreed(scales(Caliper((apart,)), loops)) == pytest.approx(10.0, rel=1e-3)


@pytest.mark.parametrize("kind", [CENTRES, OVER_HOLES, BETWEEN_HOLES])
def test_two_pixels_in_the_same_hole_are_refused_by_the_readings_name(kind):
    traced = account(KEEPER).traced
    solved, mm_per_px = traced.solved, traced.seen[0].mm_per_px
    measured = measured_by(Caliper((Reading("m2", kind, 40.0, ONE_HOLE),)), Frame(mm_per_px))
    with pytest.raises(GeometryError, match=r"reading m2: .*same hole.*; give a pixel in each of the two holes"):
        measured(solved.layout, solved.found.x)


def test_the_whole_way_ends_in_words_too():
    caliper = read_caliper(str(CORPUS / KEEPER / "caliper.yaml"))
    spoilt = tuple(replace(r, holes=ONE_HOLE) if r.kind == CENTRES else r for r in caliper.readings)
    picture = image_of(KEEPER)
    with pytest.raises(GeometryError, match=r"reading m2: .*same hole"):
        trace_scans([load(picture.read_bytes(), picture.name)], replace(caliper, readings=spoilt))
