"""Threads and screws against independent copies of the published figures, and in themselves."""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path

import pytest

from generator.base.materials import MATERIALS
from generator.base.screws import (
    FACES,
    ISO_888_MM,
    KEY_ARMS_MM,
    PRESSURES,
    SCREW_WORDS,
    SOCKETS_MM,
    lengths_of,
    limiting_pressure,
    screw_face,
)
from generator.base.standards import HEADS, THREAD_WORDS, head
from generator.base.threads import CLASS_WORDS, PROPERTY_CLASSES, THREADS, nut_height, property_class, thread_of

DATA = Path(__file__).parents[1] / "data" / "standards"


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", rows("threads"), ids=lambda r: r["size"])
def test_threads_equal_the_copy(row):
    thread = thread_of(row["size"])
    found = (thread.d_mm, thread.pitch_mm, thread.stress_area_mm2, thread.provenance)
    assert found == (float(row["d_mm"]), float(row["pitch_mm"]), float(row["As_nominal_mm2"]), "cross-checked")


@pytest.mark.parametrize("row", rows("threads"), ids=lambda r: r["size"])
def test_proof_loads_are_those_of_iso_898_1(row):
    """The printed loads are stress times area, rounded to two or three figures."""
    thread = thread_of(row["size"])
    for name, column in (("8.8", "proof_load_8_8_N"), ("10.9", "proof_load_10_9_N")):
        load = property_class(name, thread.d_mm).proof_mpa * thread.stress_area_mm2
        assert load == pytest.approx(float(row[column]), rel=0.005)


def test_every_thread_of_iso_273_has_a_row():
    assert tuple(t.name for t in THREADS) == THREAD_WORDS
    assert all(a.stress_area_mm2 < b.stress_area_mm2 for a, b in pairwise(THREADS))


def test_no_class_lasts_beyond_its_tensile_strength():
    assert len(set(CLASS_WORDS)) == len(PROPERTY_CLASSES)
    assert all(0.4 < c.proof_mpa / c.tensile_mpa < 0.85 for c in PROPERTY_CLASSES)
    assert property_class("8.8", 20.0).proof_mpa == 600.0
    assert property_class("8.8", 16.0).proof_mpa == 580.0


@pytest.mark.parametrize("row", rows("cap_screws"), ids=lambda r: f"{r['standard']} {r['size']}")
def test_lengths_of_screws_equal_the_copy(row):
    stocked = [float(x) for x in row["stocked_lengths_mm"].split(";")]
    ours = lengths_of(row["standard"], row["size"])
    assert (ours[0], ours[-1]) == (float(row["length_min_mm"]), float(row["length_max_mm"]))
    assert set(stocked) <= set(ours)  # ISO 10642 skips some lengths that ISO 888 has


def test_faces_agree_with_the_heads():
    for h in HEADS:
        face = screw_face(h.standard, h.thread)
        assert (face.wide_mm, face.high_mm) == (h.dk_max_mm, h.k_max_mm)
        assert h.hex_key_mm in KEY_ARMS_MM
    for face in FACES:
        assert face.standard in SCREW_WORDS
        assert thread_of(face.thread).d_mm < face.bears_mm < face.wide_mm
    for standard in SCREW_WORDS:
        own = [f for f in FACES if f.standard == standard]
        assert all(a.bears_mm < b.bears_mm for a, b in pairwise(own))
    assert all(SOCKETS_MM[t] > screw_face("ISO 4017", t).wide_mm for t in SOCKETS_MM)


def test_lengths_grow_and_unknown_screws_have_all_of_them():
    assert all(a < b for a, b in pairwise(ISO_888_MM))
    assert lengths_of("ISO 4762", "M20") == ISO_888_MM


def test_nuts_are_about_as_high_as_the_thread_is_wide():
    assert all(0.75 < nut_height(t) / t.d_mm < 1.0 for t in THREADS)


def test_a_material_gives_way_under_a_head_no_earlier_than_it_yields():
    for m in MATERIALS:
        limit = limiting_pressure(m.name, m.proof_mpa)
        assert limit.value >= m.proof_mpa
        assert limit.source
    assert set(PRESSURES) <= {m.name for m in MATERIALS}
    assert limiting_pressure("putty", None) is None
    assert head("ISO 4762", "M6").k_max_mm == 6.0
