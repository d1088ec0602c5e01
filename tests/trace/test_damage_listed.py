"""Chips and burrs of simulated pictures, by the recorded truth: each listed once, in every file, and none made up."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from generator.outputs.footprint.account import Account, account_of
from generator.outputs.footprint.figures import figures
from generator.outputs.footprint.fragment import fragment
from generator.outputs.footprint.report import report
from generator.trace.photo import trace_photo
from generator.trace.picture import load
from generator.trace.pixels import pixels_of
from generator.trace.readings_file import read_caliper
from generator.trace.tracing import trace_scans
from tests.scans.damage_cases import KINDS, damaged_case
from tests.scans.damage_lines import pixel_of
from tests.scans.damage_score import DamageScore, damage_score
from tests.scans.scan_cases import AT_DAMAGE, Case, simulated
from tests.scans.scan_conditions import usual
from tests.scans.scan_parts import part
from tests.scans.scan_shape import corners, segments
from tests.scans.scorer import Listed, Traced
from tests.scans.simulate import render, save

CHIP_PX, BURR_PX = 4.0, 1.5
"""Deeper chips and higher burrs are seen in every scan whose face is not spotted, but for what a grey shadow hides."""


def told(case: Case) -> Account:
    pictures = [load(p.read_bytes(), p.name) for p in case.images]
    caliper = read_caliper(str(case.readings))
    if case.reference == "scan":
        return account_of(trace_scans(pictures, caliper), "part", [p.name for p in case.images], "scan")
    traced = trace_photo(pictures[0], caliper, reference=case.reference)
    return account_of(traced, "part", [case.images[0].name], case.reference)


def judged(case: Case, account: Account) -> DamageScore:
    footprint = account.footprint
    edges = []
    for loop in (footprint.outline, *footprint.openings):
        edges += segments([(v.x, v.y, v.bulge) for v in footprint.vertices(loop)]) if len(loop) > 1 else []
    circles = [footprint.feature(n).primitive.values for n in footprint.holes]
    whole = Traced(edges, np.array([(x, y, 2.0 * r) for x, y, r in circles]).reshape(-1, 3))
    return damage_score(case.truth, replace(whole, listed=[Listed(d.at, d.off, d.length) for d in account.damages]))


def test_every_chip_and_burr_is_listed_once_in_every_file(tmp_path):
    """The lid is seen through these chips; one of them lies in a small corner of an opening."""
    case = damaged_case("200 dpi, one scan", 1, tmp_path)
    account = told(case)
    s = judged(case, account)
    assert len(s.judged) == 6
    assert all(j.once for j in s.judged)
    assert s.false == ()
    assert max(j.outline for j in s.judged) < AT_DAMAGE
    kinds = [("burr", d) if d.off > 0.0 else ("chip", d) for d in account.damages]
    assert sorted(k for k, _ in kinds) == ["burr", "burr", "chip", "chip", "chip", "chip"]
    for text in (report(account), fragment(account)):
        assert text.count("chip on feature") == 4
        assert text.count("burr on feature") == 2
        assert text.count("metal missing") == 4
    data = json.loads(json.dumps(figures(account)))["damage"]
    assert [d["off"] < 0.0 for d in data] == [k == "chip" for k, _ in kinds]
    for j in s.judged:
        assert j.depth == pytest.approx(j.deepest.off, abs=pixel_of(case.truth) + 0.05)


def test_rings_of_the_overlay_lie_upon_the_damage(tmp_path):
    case = damaged_case("300 dpi, one scan", 3, tmp_path)
    account = told(case)
    s = judged(case, account)
    assert [j.once for j in s.judged] == [True] * len(s.judged)
    matrix = np.array(case.truth["image"]["mm_to_px"])
    true = np.array([h.at for j in s.judged for h in j.hurts]) @ matrix[:, :2].T + matrix[:, 2]
    for d in account.damages:
        rings = pixels_of(account.traced, d.points, d.normals)
        assert len(rings) >= 1
        away = np.hypot(*(rings[:, None, :] - true[None]).transpose(2, 0, 1)).min(axis=1)
        assert away.max() * pixel_of(case.truth) < 1.8


@pytest.mark.parametrize(("kind", "number"), [("300 dpi, one scan", 1), ("200 dpi, one scan", 0)])
def test_nothing_is_listed_where_nothing_is_damaged(kind, number, tmp_path):
    """With rust in the first, with deep brush marks in the second; with dust and scratches."""
    case = simulated(kind, number, tmp_path)
    assert case.truth["imperfections"]["chips_xy_radius_mm"] == []
    assert told(case).damages == ()


@pytest.mark.slow
@pytest.mark.parametrize("kind", [k for k in KINDS if "photo" not in k])
def test_damage_of_scans(kind, tmp_path):
    false = 0
    for number in range(6):
        case = damaged_case(kind, number, tmp_path)
        s = judged(case, told(case))
        spotted = case.truth["imperfections"]["rust"] > 0.0
        for j in s.judged:
            least = BURR_PX if j.deepest.off > 0.0 else CHIP_PX
            if abs(j.deepest.off) / pixel_of(case.truth) > least * (1.5 if spotted else 1.0):
                assert j.once, (case.name, j)
            assert j.outline < AT_DAMAGE, (case.name, j)
        false += len(s.false)
    assert false <= 1


@pytest.mark.slow
@pytest.mark.parametrize("kind", [k for k in KINDS if "photo" in k])
def test_damage_of_photos(kind, tmp_path):
    """Walls and their shadows hide some; four fifths are listed once, one in six pictures has something made up."""
    scores = [judged(case, told(case)) for case in (damaged_case(kind, n, tmp_path) for n in range(6))]
    every = [j for s in scores for j in s.judged]
    assert sum(j.once for j in every) >= 0.8 * len(every)
    assert sum(len(s.false) > 0 for s in scores) <= 2


def test_a_chipped_disc_with_a_flat_is_laid_the_right_way_round(tmp_path):
    """Most of its points lie on the other scan's however it is turned; chips do not make it another part."""
    case = damaged_case("300 dpi, two scans", 8, tmp_path)
    assert "flat_disc" in case.name
    s = judged(case, told(case))
    assert all(j.once for j in s.judged if abs(j.deepest.off) > CHIP_PX * pixel_of(case.truth))
    assert max(j.outline for j in s.judged) < AT_DAMAGE


def test_a_small_corner_under_a_burr_is_told_by_its_image(tmp_path):
    """The burr is 0.11 mm high and as long as the corner (radius 1.5 mm), of which nothing else is seen."""
    case = damaged_case("300 dpi, one scan", 9, tmp_path)
    account = told(case)
    s = judged(case, account)
    assert all(j.once for j in s.judged)
    assert max(j.outline for j in s.judged) < AT_DAMAGE
    arcs = [f.primitive for f in account.footprint.features if f.primitive.kind == "arc" and f.primitive.side > 0]
    radii = sorted(p.values[2] for p in arcs)
    assert radii == pytest.approx([1.5, 1.5, 9.0], abs=0.05)


@pytest.mark.parametrize("burrs", [0, 1])
def test_a_smaller_corner_is_not_taken_for_a_burr(tmp_path, burrs):
    """A part symmetric but for two corners of 1.5 and 1 mm radius."""
    points = [(34, -9, 1.5), (34, -4, 0), (20, -4, 0), (20, 4, 0), (34, 4, 0), (34, 9, 1.0), (-30, 9, 8), (-30, -9, 8)]
    bracket = part("uneven_fork", corners(points), [(-21, 0, 7), (4, 0, 5)])
    image = save(render(bracket, usual(300.0, 109, burrs=burrs), 3), tmp_path)
    traced = trace_scans([load(image.read_bytes(), image.name)], read_caliper(str(tmp_path / "caliper.yaml")))
    radii = sorted(p.values[2] for p in traced.solved.primitives if p.kind == "arc" and p.values[2] < 3.0)
    assert radii == pytest.approx([1.0, 1.5], abs=0.06)
