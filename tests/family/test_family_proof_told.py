"""What the proof for a family has come to stands in all that comes back for it, and does not outlive its cause."""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace
from html import unescape

import pytest

from generator.base.errors import ProofError
from generator.family import run as run_module
from generator.family.crew import Limits
from generator.family.proof import FamilyProof, prove_family
from generator.family.returns.contact_sheet import contact_sheet_files
from generator.family.returns.gallery import gallery_files
from generator.family.returns.tables import table_files
from generator.family.run import Asked, run_family
from generator.paper.pdf_read import read_pdf
from tests.family.family_cases import write_family
from tests.family.many_variants import built, ran


def family(folder, *, spoilt: bool = False):
    """A run of three of one recipe; the file of one layer differs in the second if it is spoilt."""
    usual = {"likeness": "r", "geometry": {"cover": "g"}}
    dones = [
        replace(built(n, f"tag-{n}"), **usual, alike={"cover": {"cover.step": "x" if spoilt and n == 2 else "s"}})
        for n in (1, 2, 3)
    ]
    return ran(folder, dones, [{"plot": str(n)} for n in (1, 2, 3)])


def page_of(run) -> str:
    return unescape(gallery_files(run)["gallery.html"].decode())


def sheet_text(run) -> str:
    pages = read_pdf(contact_sheet_files(run)["contact-sheet.pdf"])
    return " ".join(t.text for p in pages for t in p.texts)


def test_a_proof_that_holds_stands_in_table_gallery_and_contact_sheet(tmp_path):
    run = family(tmp_path)
    told = json.loads(table_files(run)["family.json"])["proof"]
    # by hand: 3 × 41 comparisons; the second and third beside the first, by recipe and by part
    counts = {"packs": 3, "comparisons": 123, "alike": 4}
    assert told == {"holds": True, **counts, "faults": [], "suspects": [], "strays": []}
    sentence = "3 packs, each proven by itself (123 comparisons)"
    assert re.search(rf'<p class="quiet" id="proof">[^<]*{re.escape(sentence)}[^<]*: all hold\.</p>', page_of(run))
    assert sentence in sheet_text(run)
    assert "all hold" in sheet_text(run)


def test_a_proof_that_fails_is_loud_in_all_of_them_and_so_are_the_packs_named(tmp_path):
    run = family(tmp_path, spoilt=True)
    fault = "cover.step of tag-1 and tag-2 differs although the part is the same"
    data = json.loads(table_files(run)["family.json"])
    assert data["proof"]["holds"] is False
    assert data["proof"]["faults"] == [fault]
    assert data["proof"]["suspects"] == ["tag-1", "tag-2"]
    assert [v["status"] for v in data["variants"]] == ["failed", "failed", "built"]
    rows = list(csv.DictReader(io.StringIO(table_files(run)["family.csv"].decode("utf-8-sig"), newline="")))
    assert [(r["status"], "do not use it" in r["why"]) for r in rows] == [
        ("failed", True),
        ("failed", True),
        ("built", False),
    ]
    assert re.search(rf'<p class="loud" id="proof">[^<]*1 does NOT hold: {re.escape(fault)}\.</p>', page_of(run))
    text = sheet_text(run)
    assert "1 does NOT hold" in text
    assert "all hold" not in text
    assert text.count(" failed no. ") == 2, "the mark on two cards"


def test_nothing_is_not_said_to_hold():
    proof = prove_family([replace(built(1, "tag-1"), status="wrong")])
    assert proof.sentence() == "no packs: nothing was proven"


def test_one_of_anything_is_singular():
    one = replace(built(1, "a"), proofs=1, geometry={"cover": "g"}, likeness="r")
    assert prove_family([one]).sentence() == (
        "1 pack, proven by itself (1 comparison); no two of one name; "
        "parts of equal geometry and variants of equal recipes are none: all hold"
    )
    other = replace(one, name="b", likeness="s")
    assert "compared 1 time: all hold" in prove_family([one, other]).sentence()


def test_a_part_that_one_of_two_alike_recipes_lacks_is_a_fault():
    both = {"cover": "g", "insert-number": "h"}
    usual = replace(built(1, "a"), geometry=both, likeness="r")
    for first, second in (({"cover": "g"}, both), (both, {"cover": "g"})):
        proof = prove_family([replace(usual, geometry=first), replace(usual, name="b", geometry=second)])
        has, lacks = ("b", "a") if second is both else ("a", "b")
        assert proof.faults == (f"insert-number is in {has} and not in {lacks} although their recipes are alike",)
        assert proof.suspects == ("a", "b")


def test_the_remedy_names_folder_packs_and_store():
    proof = FamilyProof(9, 9, 9, ("two differ",), tuple(f"t{n}" for n in range(12)))
    told = proof.remedy("out/tags/packs", "my store")
    assert "edit nothing by hand" in told
    assert "out/tags/packs: t0, t1," in told
    assert "t9 and 2 more" in told
    assert "`coverplate store --clean --store 'my store'`" in told
    assert "store" not in proof.remedy("out/tags/packs", "")


def test_files_follow_the_proof_though_no_pack_has_changed(tmp_path, monkeypatch):
    path = write_family(tmp_path, "ranges: {plot: {first: 1, last: 2}}\n")
    asked = Asked(str(path), out=str(tmp_path / "out"), jobs=2, limits=Limits(seconds=120))
    run_family(asked)
    folder = tmp_path / "out" / "tags"
    sound = {n: (folder / n).read_bytes() for n in ("family.json", "gallery.html", "contact-sheet.pdf")}
    assert json.loads(sound["family.json"])["proof"]["holds"] is True

    def spoilt(dones):
        first, *rest = dones
        return prove_family([replace(first, alike={"cover": dict.fromkeys(first.alike["cover"], "x")}), *rest])

    with monkeypatch.context() as patched:
        patched.setattr(run_module, "prove_family", spoilt)
        with pytest.raises(ProofError, match="NOT hold") as caught:
            run_family(asked)
    assert "take away the packs named" in str(caught.value)
    assert f"{folder / 'packs'}: tag-1, tag-2" in str(caught.value)
    assert f"--store {tmp_path / 'out' / '.coverplate-store'}" in str(caught.value)
    assert json.loads((folder / "family.json").read_bytes())["proof"]["suspects"] == ["tag-1", "tag-2"]
    assert all((folder / n).read_bytes() != content for n, content in sound.items())
    run_family(asked)
    assert {n: (folder / n).read_bytes() for n in sound} == sound


def test_files_follow_what_lies_beside_the_packs(tmp_path):
    path = write_family(tmp_path, "ranges: {plot: {first: 1, last: 2}}\n")
    asked = Asked(str(path), out=str(tmp_path / "out"), jobs=2, limits=Limits(seconds=120))
    stranger = tmp_path / "out" / "tags" / "packs" / "tag-9"
    others = []
    for is_there in (False, True, False):
        if is_there:
            stranger.mkdir()
        elif stranger.exists():
            stranger.rmdir()
        run_family(asked)
        others.append(json.loads((tmp_path / "out" / "tags" / "family.json").read_bytes())["others"])
    assert others == [[], ["tag-9"], []]
