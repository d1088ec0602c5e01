"""``coverplate handoff`` as a person and a script use it."""

from __future__ import annotations

import json

from generator.cli import codes


def test_handing_over_warns_of_what_is_missing_and_lists_the_files(run, small, tmp_path):
    code, out, err = run("handoff", small)
    assert code == codes.FINE
    assert (tmp_path / "out" / "small-rev-A-handoff.zip").is_file()
    assert "warns: order.contact: the shop has nobody to ask" in err
    assert "warns: cover.material: the material is the one that is taken where none is written" in err
    assert "    README.txt" in out
    assert "agree" in out


def test_answer_for_scripts(run, small):
    code, out, _ = run("handoff", small, "--json", "--set", "order.contact=Workshop 3", "--set", "revision=B")
    data = json.loads(out)
    assert (code, data["status"]) == (codes.FINE, "fine")
    assert data["zip"] == "out/small-rev-B-handoff.zip"
    assert "order.contact" not in {m["path"] for m in data["missing"]}
    assert data["numbers"] > 5


def test_a_finding_that_forbids_hands_nothing_over(run, small, tmp_path):
    code, _, err = run("handoff", small, "--set", "cover.stock.thickness=3")
    assert code == codes.FORBIDDEN
    assert "nothing handed over: a finding forbids it" in err
    assert not list(tmp_path.rglob("*.zip"))


def test_wrong_input_is_located_and_leaves_nothing(run, small, tmp_path):
    before = sorted(tmp_path.iterdir())
    code, out, err = run("handoff", "nix.yaml")
    assert (code, out) == (codes.WRONG, "")
    assert "nix.yaml" in err
    assert sorted(tmp_path.iterdir()) == before


def test_a_zip_that_cannot_be_written(run, small, tmp_path):
    (tmp_path / "out" / "small-rev-A-handoff.zip").mkdir(parents=True)
    code, _, err = run("handoff", small)
    assert code == codes.INTERNAL
    assert "small-rev-A-handoff.zip cannot be written" in err
    assert not list(tmp_path.rglob("*.part"))
