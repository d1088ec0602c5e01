"""What is in a pack and not of it, names that are cut, and a worker that stops while it starts."""

from __future__ import annotations

import json
import sys

import pytest

from generator.base.errors import OutputError, RecipeError
from generator.cli.main import main
from generator.family import crew as crew_module
from generator.family.crew import Limits, crew
from generator.family.run import Asked, plan_family, run_family
from generator.family.task import Task
from tests.family.family_cases import digests, write_family

LONG = "a-name-that-goes-on-and-on-until-nobody-cares-for-what-it-says-any-more"
assert len(LONG) > 64


# ------------------------------------------------------------------ strays
@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("strays")
    run_family(Asked(str(write_family(folder)), out=str(folder / "out"), jobs=1))
    return folder


def told(folder, capsys, *more: str) -> tuple[str, str]:
    assert main(["family", str(folder / "tags.yaml"), "--out", str(folder / "out"), *more]) == 0
    out = capsys.readouterr()
    return out.out, out.err


def test_a_file_that_is_not_of_a_pack_is_told_and_left(folder, capsys):
    out, err = told(folder, capsys)
    assert err == ""
    assert "not of them" not in out
    packs = folder / "out" / "tags" / "packs"
    strays = [packs / "tag-1" / "layers" / "mine.dxf", packs / "tag-3" / "notes.txt"]
    for path in strays:
        path.write_text("mine", encoding="utf-8")
    before = digests(packs)
    out, err = told(folder, capsys)
    assert f"files are in packs and not of them: {strays[0]}, {strays[1]}" in err
    assert "move what is yours elsewhere" in err
    assert "2 files in packs not of them, not proven: all hold" in out
    document = json.loads(told(folder, capsys, "--json")[0])
    assert document["strays"] == ["tag-1/layers/mine.dxf", "tag-3/notes.txt"]
    proof = json.loads((folder / "out" / "tags" / "family.json").read_text(encoding="utf-8"))["proof"]
    assert proof["strays"] == document["strays"]
    assert digests(packs) == before
    for path in strays:
        path.unlink()
    assert told(folder, capsys)[1] == ""


# ------------------------------------------------------------------ names
def test_a_name_that_is_cut_is_told(tmp_path):
    path = write_family(tmp_path, f"rows: [{{plot: 1, holder: {LONG}}}]\n")
    path.write_text(path.read_text().replace("names: tag-{plot}", "names: '{plot}-{holder}'"))
    planned = plan_family(Asked(str(path), out=str(tmp_path / "out")))
    name = planned.rows[0].variant.name
    assert name == f"1-{LONG}"[:64].rstrip("-")
    assert planned.unused == (
        f"{path}:3: names: 1 name of more than 64 letters is cut there, first `{name}`: "
        "shorten what `names` says if the end matters",
    )


def test_names_that_are_one_because_they_are_cut_are_a_mistake(tmp_path):
    path = write_family(tmp_path, f"lists: {{holder: [{LONG}]}}\nranges: {{plot: {{first: 1, last: 2}}}}\n")
    path.write_text(path.read_text().replace("names: tag-{plot}", "names: '{holder}-{plot}'"))
    with pytest.raises(RecipeError) as caught:
        plan_family(Asked(str(path), out=str(tmp_path / "out")))
    (mistake,) = caught.value.mistakes
    assert mistake.found.endswith("cut to 64 letters")
    assert "put the value that tells them apart first" in mistake.remedy


def test_a_name_of_64_letters_is_not_cut(tmp_path):
    path = write_family(tmp_path, "rows: [{plot: 1, holder: Ash}]\n")
    path.write_text(path.read_text().replace("names: tag-{plot}", f"names: '{LONG[:60]}-{{holder}}'"))
    planned = plan_family(Asked(str(path), out=str(tmp_path / "out")))
    assert len(planned.rows[0].variant.name) == 64
    assert planned.unused == ()


# ------------------------------------------------------------------ a worker that stops while it starts
def test_a_worker_that_stops_while_it_starts_does_not_hold_the_run_for_ever(tmp_path, monkeypatch):
    monkeypatch.setattr(crew_module, "START_S", 0.3)
    stopped = (sys.executable, "-c", "import time; time.sleep(600)")
    task = Task("v", "r.yaml", (), str(tmp_path), ())
    with pytest.raises(OutputError, match=r"workers do not start: not ready after 0\.5 s, ended by signal 9"):
        list(crew([task], 1, Limits(seconds=0.5), (), stopped))


def test_how_long_a_worker_may_start_follows_from_the_limit_of_a_variant():
    at_work = [crew_module._AtWork([], Limits(seconds=s), (), ()) for s in (1.0, 100.0, 4000.0)]
    assert [a._start_s for a in at_work] == [60.0, 100.0, 300.0]
