"""Accuracy over a fair sample of simulated parts: worst figures, what readings leave, how many intervals cover."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest

from generator.outputs.footprint.account import account_of
from generator.outputs.footprint.dxf import dxf_bytes
from generator.outputs.footprint.figures import figures
from generator.trace.bias import widened
from generator.trace.naming import measured_by
from generator.trace.picture import load
from generator.trace.readings_file import read_caliper
from generator.trace.solving import solve
from generator.trace.tracing import Traced, beforehand, bias_in, trace_scans
from tests.scans.scan_cases import Case, simulated
from tests.scans.scorer import Score, read_dxf, score, shape_score
from tests.scans.table import with_doubts

SAMPLE = {
    "300 dpi, two scans": (0, 2, 8, 10, 16, 19, 22, 24),
    "600 dpi, two scans": (0, 3, 4, 6),
    "300 dpi, one scan": (0, 1, 3, 4),
}
"""Every form of shadow, bevels, stray light, rust and a mistyped reading are among them."""
REACHED = {
    "300 dpi, two scans": (7.0, 14.0, 25.0, 12.0, 12.0),
    "600 dpi, two scans": (4.0, 7.0, 12.0, 8.0, 10.0),
}
"""Figures to reach of the study, micrometres: RMS, 95th percentile, largest, diameter, distance of centres."""


@cache
def judged(kind: str) -> tuple[list[tuple[Score, Score, Score]], list[bool]]:
    """Scores of a kind's cases as read, up to a scale, and by readings without error; all intervals."""
    rows, covered = [], []
    for number in SAMPLE[kind]:
        with TemporaryDirectory() as folder:
            case = simulated(kind, number, Path(folder))
            pictures = [load(p.read_bytes(), p.name) for p in case.images]
            found = trace_scans(pictures, read_caliper(str(case.readings)))
        plain = _scored(case, found)
        rows.append((plain[0], plain[1], _scored(case, _by_true_readings(case, found))[0]))
        covered += plain[0].covered
    return rows, covered


def _scored(case: Case, found: Traced) -> tuple[Score, Score]:
    account = account_of(found, "plate", ["scan.png"], "scan")
    with TemporaryDirectory() as folder:
        drawing = Path(folder) / "plate.dxf"
        drawing.write_bytes(dxf_bytes(account.footprint, "plate"))
        traced = with_doubts(read_dxf(drawing), figures(account))
    plain = score(case.truth, traced)
    return plain, shape_score(case.truth, traced, plain.place)


def _by_true_readings(case: Case, found: Traced) -> Traced:
    """What the same edges give with every reading at its true value."""
    true = {m["id"]: m["true"] for m in case.truth["caliper"]}
    caliper = replace(found.caliper, readings=tuple(replace(r, value=true[r.name]) for r in found.caliper.readings))
    seen = found.seen
    solved = solve([s.rows() for s in seen], measured_by(caliper, seen[0].frame), beforehand(seen[0]))
    solved = replace(solved, found=widened(solved.layout, solved.found, [bias_in(s) for s in seen]))
    return Traced(seen, solved, caliper, found.remarks)


def _worst(scores: list[Score]) -> tuple[float, ...]:
    each = [(s.both.rms, s.both.p95, s.both.most, s.diameter, s.centre) for s in scores]
    return tuple(1e3 * float(v) for v in np.max(each, axis=0))


@pytest.mark.slow
@pytest.mark.parametrize("kind", REACHED)
def test_by_true_readings_all_figures_are_reached(kind):
    worst = _worst([by_true for _, _, by_true in judged(kind)[0]])
    assert [w <= most for w, most in zip(worst, REACHED[kind], strict=True)] == [True] * 5, worst


@pytest.mark.slow
@pytest.mark.parametrize("kind", REACHED)
def test_up_to_a_scale_outlines_are_reached_whatever_was_read(kind):
    # a diameter read 0.03 mm off moves all holes by that: diameters and centres hang on readings here
    worst = _worst([shape for _, shape, _ in judged(kind)[0]])
    assert [w <= most for w, most in zip(worst[:3], REACHED[kind][:3], strict=True)] == [True] * 3, worst


@pytest.mark.slow
def test_counts_are_exact():
    for kind in SAMPLE:
        assert all(s.counts == s.true_counts for s, _, _ in judged(kind)[0]), kind


@pytest.mark.slow
def test_stated_intervals_cover_nine_in_ten_and_not_all():
    covered = [c for kind in SAMPLE for c in judged(kind)[1]]
    assert 0.90 <= np.mean(covered) <= 0.99, (np.mean(covered), len(covered))
