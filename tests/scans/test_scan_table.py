"""The table: the truth traced scores nothing, a slip is marked, a failure is told and does not end the run."""

from __future__ import annotations

import numpy as np
import pytest

from tests.scans import table
from tests.scans.scan_cases import CORPUS, TARGETS, Case, corpus, simulated
from tests.scans.scorer import Traced, truth_edges


def exact(case: Case) -> Traced:
    return truth_edges(case.truth)


def off(case: Case) -> Traced:
    true = truth_edges(case.truth)
    return Traced(true.edges, true.circles + np.array([0.0, 0.0, 0.1]))


def failing(case: Case) -> Traced:
    raise RuntimeError(f"{case.name} cannot be read")


def test_the_corpus_is_whole():
    cases = corpus()
    assert len(cases) == 6
    assert [c.reference for c in cases].count("scan") == 4
    assert all(c.kind in TARGETS and c.images[0].is_file() and c.readings.is_file() for c in cases)
    assert {p.name for p in CORPUS.iterdir()} == {"README.md", *(c.name for c in cases)}


def test_the_truth_reaches_every_target(capsys):
    rows = table.table(corpus()[:4], exact)
    assert all(r.score is not None and r.score.whole.most < 1e-6 for r in rows)
    printed = capsys.readouterr().out
    assert "4 of 4" not in printed  # kinds are told apart
    assert "300 dpi, one scan: 2 of 2 traced, 2 with exact counts" in printed
    assert "!" not in printed


def test_what_lies_beyond_a_target_is_marked(capsys):
    table.table(corpus()[:1], off)
    assert "100.0!" in capsys.readouterr().out


def test_a_failure_is_told_and_the_rest_goes_on(capsys):
    rows = table.table(corpus()[:2], failing)
    assert [r.score for r in rows] == [None, None]
    printed = capsys.readouterr().out
    assert printed.count("FAILED") == 2
    assert "none of 1 could be traced" in printed


@pytest.mark.parametrize("kind", ["200 dpi, one scan", "300 dpi, two scans"])
def test_simulated_cases_hold_what_a_person_would_have(kind, tmp_path):
    case = simulated(kind, 10, tmp_path)
    assert len(case.images) == (2 if "two" in kind else 1)
    assert all(p.is_file() for p in [*case.images, case.readings])
    (row,) = table.table([case], exact)
    assert row.score is not None
    assert row.score.whole.most < 1e-6
