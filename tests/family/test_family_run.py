"""A family is made once; then only what has changed is made again, and what is told is true."""

from __future__ import annotations

import os
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from generator.base.errors import OutputError, ProofError, RecipeError
from generator.base.sharing import NOTHING_SHARED
from generator.build.pack_up import build
from generator.family.crew import Limits
from generator.family.index import NAME, Index
from generator.family.make_variant import make_variant
from generator.family.proof import FamilyProof
from generator.family.run import Asked, plan_family, run_family
from generator.family.task import Task
from tests.family.family_cases import RECIPE, digests, write_family

HERE = Path(__file__).parent
TROUBLED = (sys.executable, str(HERE / "troubled_worker.py"))


def asked(path: Path, **more) -> Asked:
    return Asked(str(path), out=str(path.parent / "out"), jobs=2, limits=Limits(seconds=120), **more)


def due(path: Path, **more) -> dict[str, str]:
    return {r.variant.name: r.why for r in plan_family(asked(path, **more)).rows if r.is_due}


def statuses(ran) -> dict[str, str]:
    return {r.variant.name: r.done.status if r.done else "" for r in ran.rows}


def packs(path: Path) -> dict[str, str]:
    return digests(path.parent / "out" / "tags" / "packs")


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """Return a family of three that has been made once."""
    path = write_family(tmp_path_factory.mktemp("family"))
    ran = run_family(asked(path))
    assert statuses(ran) == {"tag-1": "built", "tag-2": "built", "tag-3": "built"}
    return path


@pytest.fixture
def again(made, tmp_path):
    """Return a copy of the made family with times of change kept, for a test to change."""
    import shutil

    shutil.copytree(made.parent, tmp_path / "f", copy_function=shutil.copy2)
    return tmp_path / "f" / "tags.yaml"


def test_every_pack_is_that_of_the_recipe_alone(made, tmp_path):
    from generator.build.pack_up import build

    built = build(
        made.parent / "tag.yaml", out=tmp_path, sets=["name=tag-2", "parameters.plot=2"], outputs=["layers-dxf"]
    )
    assert built.folder
    alone = digests(Path(built.folder))
    assert alone == digests(made.parent / "out" / "tags" / "packs" / "tag-2")


def test_nothing_changed_makes_nothing(again):
    before = {p: p.stat().st_mtime_ns for p in (again.parent / "out").rglob("*") if p.is_file() and p.name != NAME}
    assert due(again) == {}
    ran = run_family(asked(again))
    assert set(statuses(ran).values()) == {"unchanged"}
    assert before == {p: p.stat().st_mtime_ns for p in before}


def test_a_changed_recipe_makes_all_anew(again):
    (again.parent / "tag.yaml").write_text(RECIPE.replace("margin: 5}", "margin: 6}"))
    assert set(due(again)) == {"tag-1", "tag-2", "tag-3"}
    assert all("tag.yaml has changed" in why for why in due(again).values())


def test_a_changed_value_makes_one_anew(again):
    before = packs(again)
    again.write_text(again.read_text() + "overrides: [{where: {plot: 2}, set: {cover.outer.even_margin.margin: 6}}]\n")
    assert due(again) == {"tag-2": "changed: cover.outer.even_margin.margin"}
    assert statuses(run_family(asked(again))) == {"tag-1": "unchanged", "tag-2": "built", "tag-3": "unchanged"}
    after = packs(again)
    changed = {p.split("/")[0] for p in before if before[p] != after.get(p)}
    assert changed == {"tag-2"}


def test_a_new_variant_is_made_and_one_that_is_gone_is_left(again):
    again.write_text(again.read_text().replace("last: 3", "last: 4").replace("first: 1", "first: 2"))
    assert due(again) == {"tag-4": "it has not been made yet"}
    ran = run_family(asked(again))
    assert ran.strangers == ("tag-1",)
    assert "tag-1/report.json" in packs(again)


def test_a_file_of_a_pack_that_is_gone_or_edited_is_made_anew(again):
    before = packs(again)
    folder = again.parent / "out" / "tags" / "packs"
    (folder / "tag-1" / "report.md").unlink()
    with open(folder / "tag-3" / "report.json", "a") as report:
        report.write(" ")
    assert due(again) == {
        "tag-1": "report.md of its pack is not there",
        "tag-3": "report.json of its pack has been changed",
    }
    run_family(asked(again))
    assert packs(again) == before


def test_a_file_that_was_only_touched_is_not_made_anew(again):
    os.utime(again.parent / "out" / "tags" / "packs" / "tag-1" / "report.md")
    assert due(again) == {}


def test_other_outputs_are_made(again):
    assert set(due(again, outputs=("layers-dxf", "plan-svg")).values()) == {"other outputs are asked for"}


def test_without_its_memory_everything_is_verified_and_nothing_made_twice(again):
    before = packs(again)
    (again.parent / "out" / "tags" / NAME).unlink()
    assert set(due(again)) == {"tag-1", "tag-2", "tag-3"}
    assert set(statuses(run_family(asked(again))).values()) == {"unchanged"}, "the packs' own manifests bear them out"
    assert packs(again) == before


@pytest.mark.parametrize("spoil", ["torn", "garbage", "empty", "binary", "foreign"])
def test_a_spoilt_memory_does_no_harm(again, spoil):
    index = again.parent / "out" / "tags" / NAME
    whole = index.read_bytes()
    index.write_bytes(
        {
            "torn": whole[: len(whole) * 2 // 3],
            "garbage": b"{]\n" * 5 + whole,
            "empty": b"",
            "binary": bytes(range(256)) * 9,
            "foreign": b'{"done": {"name": "tag-1"}}\n[1, 2]\n"x"\n',
        }[spoil]
    )
    before = packs(again)
    assert set(statuses(run_family(asked(again))).values()) == {"unchanged"}
    assert packs(again) == before
    assert set(Index(index.parent).known) == {"tag-1", "tag-2", "tag-3"}


def test_only_some(again):
    (again.parent / "tag.yaml").write_text(RECIPE.replace("margin: 5}", "margin: 6}"))
    assert set(due(again, only=("tag-2", "plot=3"))) == {"tag-2", "tag-3"}
    assert set(due(again, only=("*-1",))) == {"tag-1"}
    ran = run_family(asked(again, only=("plot=2",)))
    assert statuses(ran)["tag-2"] == "built"
    told = {r.variant.name: (r.done.status if r.done else "", r.why) for r in ran.rows}
    assert told["tag-1"] == ("", "tag.yaml has changed"), "what was made of other values is not told beside new ones"
    with pytest.raises(RecipeError, match="did you mean `tag-1`"):
        due(again, only=("tag1",))
    with pytest.raises(RecipeError, match="a value of `plot`: `1`, `2` or `3`"):
        due(again, only=("plot=9",))


def test_a_dry_run_writes_nothing(tmp_path):
    path = write_family(tmp_path)
    assert len(due(path)) == 3
    assert not (tmp_path / "out").exists()


def test_a_dry_run_reads_the_recipe_of_every_variant(tmp_path):
    path = write_family(tmp_path, "table: tags.csv\n", "plot,reach\n1,20\n2,wide\n3,22\n")
    rows = plan_family(asked(path)).rows
    assert [bool(r.mistake) for r in rows] == [False, True, False]
    assert "wide" in rows[1].mistake
    assert rows[1].variant.place == "tags.csv:3"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("ranges: {plot: {first: least, last: 3}}\n", "write the number itself"),
        ("table: none.csv\n", "a file named from the folder of the family's file"),
        (
            'ranges: {plot: {first: 1, last: 1}}\nsets: {"original.bolts[7].thread": M8}\n',
            "set the whole list: `original.bolts: […]`",
        ),
    ],
)
def test_mistakes_are_told_as_a_family_has_them(tmp_path, text, told):
    with pytest.raises(RecipeError) as caught:
        plan_family(asked(write_family(tmp_path, text)))
    said = " ".join(m.sentence() for m in caught.value.mistakes)
    assert told in said
    assert "--set" not in said
    assert "parameters`" not in said


@pytest.mark.parametrize("key", ["sets: {name: zz}\n", "overrides: [{where: {plot: 2}, set: {name: tag-1}}]\n"])
def test_packs_are_named_by_names_alone(tmp_path, key):
    """Two variants would make one pack, or none where it is looked for."""
    with pytest.raises(RecipeError) as caught:
        plan_family(asked(write_family(tmp_path, "ranges: {plot: {first: 1, last: 3}}\n" + key)))
    (mistake,) = caught.value.mistakes
    assert "let `names` tell how packs are called" in mistake.sentence()
    assert mistake.line == 6


def test_names_may_be_numbers(tmp_path):
    path = write_family(tmp_path, "ranges: {plot: {first: 7, last: 8}}\n")
    path.write_text(path.read_text(encoding="utf-8").replace("tag-{plot}", '"{plot}"'), encoding="utf-8")
    assert statuses(run_family(asked(path))) == {"7": "built", "8": "built"}


def test_what_all_variants_are_set_to_is_refused_where_it_is_said(tmp_path):
    text = 'ranges: {plot: {first: 1, last: 3}}\nsets:\n  cover.edge_break: {width: "{plot}"}\n  clearance.around: -4\n'
    with pytest.raises(RecipeError) as caught:
        plan_family(asked(write_family(tmp_path, text)))
    (mistake,) = caught.value.mistakes
    assert (mistake.path, mistake.line) == ("sets.clearance.around", 8)


def test_what_does_not_agree_is_made_once_more_of_nothing_shared(tmp_path, monkeypatch):
    def built(*args, sharing, **more):
        if sharing is not NOTHING_SHARED:
            raise ProofError("what is shared is wrong")
        return build(*args, sharing=sharing, **more)

    monkeypatch.setattr("generator.family.make_variant.build", built)
    write_family(tmp_path)
    task = Task(
        "tag-1", str(tmp_path / "tag.yaml"), ("name=tag-1",), str(tmp_path), ("layers-dxf",), str(tmp_path / "s")
    )
    assert make_variant(task).status == "built"


def test_a_proof_that_fails_says_where_everything_is(tmp_path, monkeypatch):
    monkeypatch.setattr(
        "generator.family.run.prove_family", lambda dones: FamilyProof(len(dones), 1, 1, ("two differ",))
    )
    path = write_family(tmp_path, "ranges: {plot: {first: 1, last: 1}}\n")
    with pytest.raises(ProofError, match="two differ") as caught:
        run_family(asked(path))
    listing = tmp_path / "out" / "tags" / "family.csv"
    assert str(listing.parent / "packs") in str(caught.value)
    assert listing.name in str(caught.value)
    assert listing.exists()


def test_a_mistake_in_one_row_costs_that_row(tmp_path):
    path = write_family(tmp_path, "table: tags.csv\n", "plot,reach\n1,20\n2,wide\n3,22\n4,2\n")
    ran = run_family(asked(path))
    got = statuses(ran)
    assert got["tag-1"] == got["tag-3"] == "built"
    assert got["tag-2"] == "wrong"
    assert got["tag-4"] == "forbidden"
    row = next(r for r in ran.rows if r.variant.name == "tag-2")
    assert row.variant.place.endswith("tags.csv:3")
    assert row.done is not None
    assert row.done.said[0].severity == "mistake"
    assert due(path) == {}, "the same recipe has the same mistake"


def test_stopping_at_the_first_failure(tmp_path):
    path = write_family(
        tmp_path, "table: tags.csv\n", "plot,reach\n1,wide\n" + "".join(f"{i},20\n" for i in range(2, 12))
    )
    ran = run_family(asked(path, keep_going=False))
    assert ran.stopped
    assert "" in statuses(ran).values(), "some were not made"
    assert sorted(set(statuses(run_family(asked(path))).values()) - {"unchanged"}) == ["built", "wrong"]


def test_mistakes_of_all_variants_are_told_once_and_before_any_is_made(tmp_path):
    path = write_family(tmp_path, "rows: [{plot: 1}, {plot: 2}]\nsets: {cover.edge_brake: 0.3}\n")
    with pytest.raises(RecipeError, match=r"tags\.yaml:6:1: sets\.cover\.edge_brake: .*did you mean `edge_break`"):
        run_family(asked(path))
    path = write_family(tmp_path, "table: tags.csv\n", "plot,cover.edge_brake\n1,0.3\n2,0.4\n")
    with pytest.raises(RecipeError, match=r"tags\.csv:2: table\.cover\.edge_brake: .*did you mean `edge_break`"):
        run_family(asked(path))
    path = write_family(tmp_path, "rows: [{plot: 1}]\n")
    path.write_text(path.read_text().replace("[layers-dxf]", "[layers-dfx]"))
    with pytest.raises(RecipeError, match=r"outputs\[0\].*did you mean `layers-dxf`"):
        run_family(asked(path))
    assert not (tmp_path / "out").exists()


def test_two_runs_of_one_family_do_not_meet(again):
    from generator.outputs.pack_disk import try_lock

    lock = try_lock(again.parent / "out" / "tags")
    assert lock is not None
    try:
        with pytest.raises(OutputError, match="another run is at work"):
            run_family(asked(again))
    finally:
        os.close(lock)
    assert set(statuses(run_family(asked(again))).values()) == {"unchanged"}


@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
def test_trouble_in_some_variants_costs_these_alone_and_is_tried_again_next_time(tmp_path):
    path = write_family(tmp_path, "rows: [{plot: a}, {plot: crash}, {plot: b}, {plot: hang}, {plot: once}]\n")
    limits = Limits(seconds=8)
    ran = run_family(replace(asked(path), limits=limits), worker=TROUBLED)
    got = statuses(ran)
    assert got == {"tag-a": "built", "tag-b": "built", "tag-crash": "crashed", "tag-hang": "hung", "tag-once": "built"}
    assert due(path) == {"tag-crash": "it crashed last time", "tag-hang": "it hung last time"}
    assert set(statuses(run_family(asked(path))).values()) == {"built", "unchanged"}, "with a sound worker"


def test_an_output_that_there_is_not_is_refused_before_anything_else(again):
    before = packs(again)
    with pytest.raises(RecipeError, match=r"--outputs: found `stepp`.*did you mean `step`"):
        run_family(asked(again, outputs=("stepp",)))
    assert due(again) == {}
    assert packs(again) == before


def test_a_value_that_changes_nothing_is_told(tmp_path):
    path = write_family(tmp_path, "table: tags.csv\n", "Plot,reach,shown,holder\n1,20,a,x\n")
    path.write_text(path.read_text().replace("tag-{plot}", "tag-{shown}"))
    (told,) = plan_family(asked(path)).unused
    assert told == "the value `Plot` changes nothing: no parameter of the recipe has that name; did you mean `plot`?"
