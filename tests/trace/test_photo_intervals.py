"""Stated 95 % intervals of photos hold the recorded truth as often as they say: the corpus, and simulated photos."""

from __future__ import annotations

import json

import pytest

from generator.outputs.footprint.account import account_of
from generator.outputs.footprint.dxf import dxf_bytes
from generator.outputs.footprint.figures import figures
from generator.trace.photo import trace_photo
from generator.trace.picture import load
from generator.trace.readings_file import read_caliper
from tests.scans.scan_cases import Case, corpus, simulated
from tests.scans.scorer import read_dxf, score
from tests.scans.table import with_doubts

LEAST = 0.9
"""Intervals of one part share readings and camera, so a few parts cover 95 % only about (chosen)."""


def covered(case: Case, folder) -> list[bool]:
    picture = load(case.images[0].read_bytes(), "photo")
    traced = trace_photo(picture, read_caliper(str(case.readings)), reference=case.reference)
    account = account_of(traced, "part", ["photo"], case.reference)
    path = folder / "part.dxf"
    path.write_bytes(dxf_bytes(account.footprint, "part"))
    found = with_doubts(read_dxf(path), json.loads(json.dumps(figures(account))))
    return score(case.truth, found).covered


def test_photos_made_elsewhere(tmp_path):
    hits = [c for case in corpus() if case.reference != "scan" for c in covered(case, tmp_path)]
    assert len(hits) == 30
    assert sum(hits) >= LEAST * len(hits)


@pytest.mark.slow
def test_simulated_photos(tmp_path):
    hits = []
    for kind in ("photo, to 15 deg", "photo, 15-25 deg"):
        for number in (0, 5):
            hits += covered(simulated(kind, number, tmp_path), tmp_path)
    assert len(hits) > 40
    assert sum(hits) >= LEAST * len(hits)
