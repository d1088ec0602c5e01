"""Traced scans against their recorded truth: the corpus, and simulated scans of other parts turned by a quarter."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from generator.trace.assemble import segments_of
from generator.trace.picture import load
from generator.trace.readings_file import read_caliper
from generator.trace.tracing import Traced, trace_scans
from tests.scans.scan_cases import TARGETS, Case, corpus, simulated
from tests.scans.scan_relations import axes_kept, tangent_joins
from tests.scans.scan_shape import segments
from tests.scans.scorer import Score, score
from tests.scans.scorer import Traced as Scored

SCANS = [c for c in corpus() if c.reference == "scan"]


def traced(case: Case) -> Traced:
    pictures = [load(Path(p).read_bytes(), Path(p).name) for p in case.images]
    return trace_scans(pictures, read_caliper(str(case.readings)))


def scored(found: Traced) -> Scored:
    primitives = found.solved.primitives
    edges = []
    for joints in found.solved.joints:
        if joints:
            edges += segments([(v.x, v.y, v.bulge) for v in segments_of(primitives, joints)])
    circles = [(*p.values[:2], 2.0 * p.values[2]) for p in primitives if p.kind == "circle"]
    return Scored(edges, np.array(circles).reshape(-1, 3))


def beyond(s: Score, kind: str, but: tuple[str, ...] = ()) -> list[str]:
    t = TARGETS[kind]
    figures = {
        "rms": (s.both.rms, t.rms),
        "p95": (s.both.p95, t.p95),
        "most": (s.both.most, t.most),
        "diameter": (s.diameter, t.diameter),
        "centre": (s.centre, t.centre),
    }
    return [f"{k} {v:.4f} > {most}" for k, (v, most) in figures.items() if v > most and k not in but]


@pytest.mark.parametrize("case", SCANS, ids=lambda c: c.name)
def test_corpus(case):
    found = traced(case)
    footprint = scored(found)
    s = score(case.truth, footprint)
    # the hinge leaf has one reading of a diameter, 0.020 mm off by itself: its holes cannot be nearer
    assert beyond(s, case.kind, but=("diameter",) if "hinge-leaf" in case.name else ()) == []
    assert s.holes[0] == s.holes[1] == s.holes[2]
    joins = tangent_joins(case.truth, footprint, s.place)
    assert joins.found == joins.true
    assert joins.false == 0
    assert axes_kept(case.truth, footprint, s.place).false == 0
    if "hinge-leaf" in case.name:
        assert {n: v.words for n, v in found.solved.slips.items()} == {"m3": "two digits changed places"}
    else:
        assert found.solved.slips == {}
    assert s.counts == s.true_counts
    if "wrong-dpi" in case.name:
        assert any("72" in r for r in found.remarks)


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["600 dpi, one scan", "300 dpi, one scan", "300 dpi, two scans"])
def test_simulated(kind, tmp_path):
    for number in range(5):
        case = simulated(kind, number, tmp_path)
        footprint = scored(traced(case))
        s = score(case.truth, footprint)
        assert s.counts == s.true_counts, case.name
        assert s.both.most < 4.0 * TARGETS[kind].most, case.name
        joins = tangent_joins(case.truth, footprint, s.place)
        assert joins.found >= 0.75 * joins.true
        assert joins.false == 0
