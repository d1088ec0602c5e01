"""Slips in a family's file are told where they stand, with a remedy that fits a family."""

from __future__ import annotations

import sys

import pytest

from generator.base.errors import RecipeError
from generator.build.pack_up import build
from generator.cli.main import main
from generator.family import readers
from generator.family.make_variant import make_variant
from generator.family.run import Asked, plan_family
from generator.family.task import Task
from tests.family.family_cases import FAMILY, RECIPE, write_family

LINE = FAMILY.count("\n") + 1
ROWS = "rows: [{plot: 1}, {plot: 2}]\n"


def planned(path):
    return plan_family(Asked(str(path), out=str(path.parent / "out")))


def refused(folder, text: str, table: str = ""):
    with pytest.raises(RecipeError) as caught:
        planned(write_family(folder, text, table))
    (mistake,) = caught.value.mistakes
    return mistake


# ------------------------------------------------------------------ rules
@pytest.mark.parametrize(
    ("rule", "column", "told"),
    [
        ("30 +", 20, "the end of the expression"),
        ('"30 + zork"', 22, "the unknown name `zork` in `30 + zork`"),
        ("30 + (plot", 26, "the end of the expression"),
        ('"{plot}"', 17, "`{`"),
    ],
)
def test_a_rule_that_is_no_expression_for_a_number_of_the_recipe_is_a_mistake(tmp_path, rule, column, told):
    mistake = refused(tmp_path, f"rules: {{reach: {rule}}}\n{ROWS}")
    assert (mistake.line, mistake.column, mistake.path, mistake.found) == (LINE, column, "rules.reach", told)
    assert mistake.expected == "an expression: `reach` is a number in the recipe"


@pytest.mark.parametrize("rule", ["reach: 20 + plot", "reach: 21", "holder: 'Plot {plot}'", "holder: 30 +"])
def test_rules_that_are_meant_are_not_told(tmp_path, rule):
    rows = planned(write_family(tmp_path, f"rules: {{{rule}}}\n{ROWS}")).rows
    assert [r.mistake for r in rows] == ["", ""]


# ------------------------------------------------------------------ ranges, columns, files
@pytest.mark.parametrize(
    ("text", "path"),
    [
        ("ranges:\n  a: {first: 1, last: 2}\n  b: {first: 1, last: 3, step: -1}\n", "ranges.b"),
        ("ranges:\n  a: {first: 1, last: 2}\n  b: {first: 1, last: 1e9}\n", "ranges.b"),
        ("rows: [{b: 1}]\nranges:\n  b: {first: 1, last: 2}\n", "ranges.b"),
        ("lists:\n  a: [1, 2]\nranges:\n  a: {first: 1, last: 2}\n", "ranges.a"),
    ],
)
def test_a_mistake_in_a_range_is_told_at_that_range(tmp_path, text, path):
    mistake = refused(tmp_path, text)
    assert (mistake.line, mistake.column, mistake.path) == (LINE + text.count("\n") - 1, 3, path)


def test_a_heading_with_two_names_is_a_mistake(tmp_path):
    columns = 'columns: {plot: "Plot no.", number: "Plot no."}\n'
    mistake = refused(tmp_path, f"table: tags.csv\n{columns}", "Plot no.;reach\n1;20\n2;21\n")
    assert mistake.path == "columns.number"
    assert mistake.found == "the heading `Plot no.`, which `plot` stands for already"
    assert mistake.remedy == "delete `number` or `plot`"


def test_a_recipe_too_far_away_is_refused_with_the_reason(tmp_path):
    path = tmp_path / "a" / "b" / "tags.yaml"
    path.parent.mkdir(parents=True)
    (tmp_path / "tag.yaml").write_text(RECIPE, encoding="utf-8")
    path.write_text(FAMILY.replace("tag.yaml", "../../tag.yaml") + ROWS, encoding="utf-8")
    with pytest.raises(RecipeError, match=r"leads up more than one folder; .*one `\.\./` at most"):
        planned(path)
    (tmp_path / "a" / "tag.yaml").write_text(RECIPE, encoding="utf-8")
    path.write_text(FAMILY.replace("tag.yaml", "../tag.yaml") + ROWS, encoding="utf-8")
    assert len(planned(path).rows) == 2


# ------------------------------------------------------------------ what a variant's recipe is told of
BOLTS = "overrides: [{where: {plot: 2}, set: {original.bolts: [1, 2]}}]\n"


def test_what_the_family_sets_is_not_told_as_typed(tmp_path):
    rows = planned(write_family(tmp_path, ROWS + BOLTS)).rows
    assert rows[0].mistake == ""
    assert rows[1].mistake.startswith("what the family sets: original.bolts[0]: found `1`; expected the keys")
    assert "--set" not in rows[1].mistake


def test_the_same_is_told_by_who_makes_it(tmp_path):
    path = write_family(tmp_path, ROWS + BOLTS)
    row = planned(path).rows[1]
    done = make_variant(Task("tag-2", str(tmp_path / "tag.yaml"), row.made.sets, str(tmp_path), ("layers-dxf",)))
    assert done.why == row.mistake
    assert not any("--set" in s.message for s in done.said)


# ------------------------------------------------------------------ outputs
def test_an_unknown_output_is_told_alike_wherever_it_is_named(tmp_path, capsys):
    path = write_family(tmp_path, ROWS)
    told = "found `layers-dfx`; expected some of `step`,"
    assert main(["family", str(path), "--outputs", "layers-dfx", "--dry-run"]) == 2
    assert f"--outputs: {told}" in capsys.readouterr().err
    path.write_text(path.read_text().replace("[layers-dxf]", "[step, layers-dfx]"), encoding="utf-8")
    assert main(["family", str(path), "--dry-run"]) == 2
    said = capsys.readouterr().err
    assert f"tags.yaml:4:17: outputs[1]: {told}" in said
    assert "did you mean `layers-dxf`?" in said
    with pytest.raises(RecipeError, match=f"outputs: {told}.*did you mean `layers-dxf`"):
        build(tmp_path / "tag.yaml", out=tmp_path, outputs=["layers-dfx"])


# ------------------------------------------------------------------ a sign of life
def test_a_dry_run_tells_how_far_it_is(tmp_path):
    path = write_family(tmp_path, "table: tags.csv\n", "plot,reach\n1,20\n2,wide\n3,22\n")
    seen = []
    plan_family(Asked(str(path), out=str(tmp_path / "out")), lambda *told: seen.append(told))
    assert seen == [(1, 3, 0), (2, 3, 1), (3, 3, 1)]


def reader(code: str) -> tuple[str, ...]:
    """Return the command of a reader that does something else than it should."""
    return (sys.executable, "-c", code)


@pytest.mark.parametrize(
    "command",
    [
        readers.READER,
        reader("import sys; sys.exit(1)"),
        reader("print('no answer'); print([1]); print([0, ''], flush=True)"),
    ],
    ids=["as it is", "ends at once", "answers one"],
)
def test_many_recipes_are_read_by_several_processes_with_the_same_answers(tmp_path, monkeypatch, command):
    monkeypatch.setattr(readers, "FEW", 3)
    write_family(tmp_path)
    recipe = str(tmp_path / "tag.yaml")
    sets = [("parameters.plot=1", f"parameters.reach={r}") for r in (20, "wide", 21, 22, "2 +", 23, "broad")]
    seen = []
    found = readers.mistakes_of(recipe, sets, 2, lambda *told: seen.append(told), command)
    assert found == readers.mistakes_of(recipe, sets, 1, lambda *_: None)
    assert [bool(m) for m in found] == [False, True, False, False, True, False, True]
    assert [s[:2] for s in seen] == [(n, 7) for n in range(1, 8)]
    assert seen[-1][2] == 3
