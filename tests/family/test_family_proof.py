"""The proof for a family finds what does not hold between variants, and says so."""

from __future__ import annotations

from dataclasses import replace

import pytest

from generator.base.errors import ProofError
from generator.family import run as run_module
from generator.family.crew import Limits
from generator.family.proof import prove_family
from generator.family.run import Asked, run_family
from generator.family.task import Done
from tests.family.family_cases import write_family


def variant(name: str, **more) -> Done:
    usual = {
        "likeness": "r1",
        "geometry": {"cover": "g1"},
        "alike": {"cover": {"cover.step": "s1", "layers/cover_seats.dxf": "d1"}},
        "proofs": 12,
    }
    return Done(name, "built", **(usual | more))


def test_what_agrees_holds():
    proof = prove_family([variant("a"), variant("b"), variant("c")])
    assert proof.holds
    assert (proof.packs, proof.comparisons, proof.alike) == (3, 36, 4)
    assert "3 packs, each proven by itself (36 comparisons)" in proof.sentence()
    assert proof.sentence().endswith("all hold")


@pytest.mark.parametrize(
    ("other", "said"),
    [
        (variant("A"), "a and A have one name"),
        (variant("b", proofs=0), "b was not proven"),
        (variant("b", geometry={"cover": "g2"}), "cover of a and b differs although their recipes are alike"),
        (
            variant("b", alike={"cover": {"cover.step": "s2"}}),
            "cover.step of a and b differs although the part is the same",
        ),
        (
            variant("b", alike={"cover": {"layers/cover_seats.dxf": "d2"}}),
            "layers/cover_seats.dxf of a and b differs although the part is the same",
        ),
    ],
)
def test_what_does_not_hold_is_told(other, said):
    proof = prove_family([variant("a"), other])
    assert not proof.holds
    assert said in proof.faults
    assert said in proof.sentence()


def test_parts_that_differ_may_have_files_that_differ():
    other = variant("b", likeness="r2", geometry={"cover": "g2"}, alike={"cover": {"cover.step": "s2"}})
    assert prove_family([variant("a"), other]).holds


def test_variants_without_a_pack_are_not_looked_at():
    assert prove_family([variant("a"), replace(variant("A"), status="wrong")]).packs == 1


def test_a_real_family_is_compared_and_a_fault_in_it_is_no_silent_one(tmp_path, monkeypatch):
    path = write_family(
        tmp_path, "ranges: {plot: {first: 1, last: 3}}\nrules: {reach: 18 + 2 * (plot - 1) * (plot - 2)}\n"
    )
    asked = Asked(str(path), out=str(tmp_path / "out"), jobs=2, limits=Limits(seconds=120))
    ran = run_family(asked)
    assert ran.proof.holds
    assert ran.proof.packs == 3
    assert ran.proof.alike == 2, "two of one reach: once by recipe, once by part"
    assert ran.proof.comparisons > 30
    assert {"family.csv", "family.json", "gallery.html", "contact-sheet.pdf", "cut-list.csv"} <= set(ran.files)

    def spoilt(dones):
        first, *rest = dones
        return prove_family([replace(first, alike={"cover": dict.fromkeys(first.alike["cover"], "x")}), *rest])

    monkeypatch.setattr(run_module, "prove_family", spoilt)
    with pytest.raises(ProofError, match="NOT hold"):
        run_family(asked)
