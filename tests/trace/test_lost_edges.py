"""Edges lost in their shadow: told of scans in which they are by the recorded truth, of no others."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest

from generator.outputs.footprint.account import Account, account_of
from generator.outputs.footprint.figures import figures
from generator.outputs.footprint.fragment import fragment
from generator.outputs.footprint.overlay import overlay
from generator.outputs.footprint.report import report
from generator.trace.picture import load
from generator.trace.readings_file import read_caliper
from generator.trace.tracing import trace_scans
from tests.scans.scan_conditions import Conditions, lost_in_shadow, usual
from tests.scans.scan_light import decoded
from tests.scans.scan_parts import all_parts
from tests.scans.simulate import render, save
from tests.trace.traced_cases import KEEPER, LEAF, SLOTTED, account

LOST = {0: lost_in_shadow(300.0, 1), 20: lost_in_shadow(300.0, 3)}
SEEN = {0: usual(300.0, 2), 20: usual(300.0, 7, metal=110.0)}


def contrast_at_the_edge(c: Conditions) -> float:
    """Light right behind an edge above the metal's, as a share of what it is without a shadow; by the truth."""
    metal, lid = decoded(c.metal, c.gamma), decoded(c.lid, c.gamma)
    return (lid * (1.0 - c.shadow_depth) - metal) / (lid - metal)


@cache
def traced(part: int, lost: bool) -> Account:
    conditions = (LOST if lost else SEEN)[part]
    with TemporaryDirectory() as folder:
        picture = save(render(all_parts()[part], conditions, part), Path(folder))
        caliper = read_caliper(str(picture.parent / "caliper.yaml"))
        found = trace_scans([load(picture.read_bytes(), "scan.png")], caliper)
    return account_of(found, "plate", ["scan.png"], "scan")


@pytest.mark.parametrize("part", LOST)
def test_what_is_lost_faces_away_from_the_lamp_and_is_told_everywhere(part):
    assert contrast_at_the_edge(LOST[part]) < 0.0
    told = traced(part, True)
    assert told.lost
    # light_deg: where shadows fall in the picture, v down; normals are told with y up
    light = np.radians(LOST[part].light_deg)
    away = np.array([np.cos(light), -np.sin(light)])
    normals = np.vstack([e.normals for e in told.lost])
    assert (normals @ away).min() > 0.0
    assert sum(e.length for e in told.lost) > 10.0
    assert all(0.05 < e.gap < LOST[part].shadow_w for e in told.lost)
    sentences = [f"feature {e.number} is lost in its shadow" for e in told.lost]
    for text in (report(told), fragment(told)):
        assert all(s in text for s in sentences)
    assert [e["number"] for e in figures(told)["lost_in_shadow"]] == [e.number for e in told.lost]
    assert overlay(told).startswith(b"\x89PNG")


@pytest.mark.parametrize("part", LOST)
def test_uncertainty_is_larger_where_edges_are_lost(part):
    lost, seen = traced(part, True), traced(part, False)
    assert lost.footprint.outline_doubt > seen.footprint.outline_doubt


@pytest.mark.parametrize("part", SEEN)
def test_usual_scans_have_no_lost_edge(part):
    assert contrast_at_the_edge(SEEN[part]) > 0.3
    assert traced(part, False).lost == ()
    assert "lost in its shadow" not in report(traced(part, False))


@pytest.mark.parametrize("folder", [KEEPER, LEAF, SLOTTED])
def test_scans_made_elsewhere_have_no_lost_edge(folder):
    assert account(folder).lost == ()
