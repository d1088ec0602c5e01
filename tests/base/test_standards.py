"""The package's tables against independent copies of the published figures, provenance included."""

from __future__ import annotations

import csv
import itertools
from pathlib import Path

import pytest

from generator.base import standards as s
from generator.base.materials import MATERIALS, material

DATA = Path(__file__).parents[1] / "data" / "standards"


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def word(provenance: str) -> str:
    """The first word of a provenance column: cross-checked, read, derived or memory."""
    return provenance.split(":")[0].split(" ")[0]


def test_iso_273_clearance_holes_equal_the_copy() -> None:
    copy = [
        (r["size"], float(r["nominal_mm"]), float(r["fine_mm"]), float(r["medium_mm"]), float(r["coarse_mm"]),
         word(r["provenance"]))
        for r in rows("clearance_holes")
    ]  # fmt: skip
    ours = [(h.thread, h.nominal_mm, h.fine_mm, h.medium_mm, h.coarse_mm, h.provenance) for h in s.CLEARANCE_HOLES]
    assert ours == copy


@pytest.mark.parametrize("row", rows("cap_screws"), ids=lambda r: f"{r['standard']} {r['size']}")
def test_iso_4762_7380_10642_heads_equal_the_copy(row: dict[str, str]) -> None:
    ours = s.head(row["standard"], row["size"])
    dk = row["dk_max_knurled_mm"] or row["dk_max_mm"]  # a seat must take the larger, knurled head
    key = float(row["hex_key_s_mm"])
    assert (ours.dk_max_mm, ours.k_max_mm, ours.hex_key_mm) == (float(dk), float(row["k_max_mm"]), key)
    assert ours.provenance == word(row["provenance"])


def test_no_head_is_missing_or_invented() -> None:
    copy = {(r["standard"], r["size"]) for r in rows("cap_screws")}
    assert {(h.standard, h.thread) for h in s.HEADS} == copy


def test_din_974_1_counterbores_equal_the_copy() -> None:
    copy = [
        (r["size"], float(r["din974_1_series1_d_mm"]), float(r["extra_depth_mm"]), word(r["provenance"]),
         word(r["provenance_depth"]))
        for r in rows("counterbores")
        if r["extra_depth_mm"]
    ]  # fmt: skip
    ours = []
    for c in s.COUNTERBORES:
        of_diameter, of_depth = c.provenance.replace("diameter ", "").split(", depth ")
        ours.append((c.thread, c.diameter_mm, c.extra_depth_mm, of_diameter, of_depth))
    assert ours == copy


def test_counterbore_depth_is_head_height_and_extra() -> None:
    for row in rows("counterbores"):
        if row["counterbore_depth_mm"] and row["size"] in {h.thread for h in s.HEADS if h.standard == "ISO 4762"}:
            made = s.head("ISO 4762", row["size"]).k_max_mm + s.counterbore(row["size"]).extra_depth_mm
            assert made == pytest.approx(float(row["counterbore_depth_mm"]), abs=1e-12)


def test_din_74_form_f_countersinks_equal_the_copy() -> None:
    copy = [
        (r["size"], float(r["din74_form_f_csink_d_mm"]), float(r["csink_angle_deg"]), word(r["provenance_csink"]))
        for r in rows("counterbores")
        if r["din74_form_f_csink_d_mm"]
    ]
    assert [(c.thread, c.diameter_mm, c.angle_deg, c.provenance) for c in s.COUNTERSINKS] == copy


def test_countersinks_take_the_heads_they_are_for() -> None:
    for row in s.COUNTERSINKS:
        assert s.head("ISO 10642", row.thread).dk_max_mm < row.diameter_mm


def test_iso_7089_washers_equal_the_copy() -> None:
    copy = [
        (r["size"], float(r["d1_mm"]), float(r["d2_mm"]), float(r["h_nom_mm"]), word(r["provenance"]))
        for r in rows("washers")
    ]
    assert [(w.thread, w.d1_mm, w.d2_mm, w.h_mm, w.provenance) for w in s.WASHERS] == copy


def test_series_rise_from_thread_to_thread_and_from_fine_to_coarse() -> None:
    for h in s.CLEARANCE_HOLES:
        assert h.nominal_mm < h.fine_mm < h.medium_mm < h.coarse_mm
    sizes = [(h.fine_mm, h.medium_mm, h.coarse_mm) for h in s.CLEARANCE_HOLES]
    assert all(a < b for p, q in itertools.pairwise(sizes) for a, b in zip(p, q, strict=True))


@pytest.mark.parametrize(
    ("look_up", "says"),
    [
        (lambda: s.clearance_hole("M99", "medium"), "no medium hole for M99"),
        (lambda: s.clearance_hole("M6", "loose"), "no loose hole for M6"),
        (lambda: s.head("ISO 4762", "M20"), "known: M3, M4"),
        (lambda: s.counterbore("M1.6"), "no counterbore for M1.6"),
        (lambda: s.countersink("M16"), "no countersink for M16"),
        (lambda: material("unobtainium"), "known: EN AW-6082"),
    ],
)
def test_an_unknown_size_is_told_with_what_is_known(look_up: object, says: str) -> None:
    with pytest.raises(s.UnknownStandardError, match=says):
        look_up()  # type: ignore[operator]


def test_materials_equal_the_copy() -> None:
    for ours, row in zip(MATERIALS, rows("materials"), strict=True):
        assert ours.density_kg_m3 == float(row["density_kg_m3"])
        assert ours.cte_per_k == pytest.approx(float(row["cte_1e-6_per_K"]) * 1e-6)
        assert ours.youngs_gpa == float(row["youngs_modulus_GPa"])
        assert ours.proof_mpa == float(row["proof_strength_MPa"])
        assert ours.provenance == word(row["provenance"])
        words = ours.name.split()
        assert (" ".join(words[:2]) if words[0] == "EN" else words[0]) in row["material"]
