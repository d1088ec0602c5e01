"""A condition that no variant meets is told, with its place, and what stands under it is looked at all the same."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from generator.base.errors import RecipeError
from generator.cli.main import main
from generator.family.run import Asked, plan_family
from tests.family.family_cases import FAMILY, write_family

LINES = FAMILY.count("\n")
THREE = "ranges: {plot: {first: 1, last: 3}}\n"


def told(path: Path) -> tuple[str, ...]:
    return plan_family(Asked(str(path), out=str(path.parent / "out"))).unused


def test_overrides_that_no_variant_meets_are_told_with_line_and_condition(tmp_path):
    text = "overrides:\n  - where: {plot: 2}\n    set: {cover.edge_break: 0.4}\n"
    text += "  - where: {plot: 99}\n    set: {cover.edge_break: 0.6}\n"
    path = write_family(tmp_path, THREE + text)
    assert told(path) == (
        f"{path}:{LINES + 5}: overrides[1].where: no variant meets the condition `{{plot: 99}}`: "
        "mend it, or delete it; `plot` is `1`, `2` or `3`",
    )


def test_variants_that_are_not_there_cannot_be_left_out(tmp_path):
    path = write_family(tmp_path, THREE + "leave_out: [{plot: [13, 14]}, {plot: [3, 15]}]\n")
    said, dead = told(path)
    assert said.startswith(f"{path}:{LINES + 2}: leave_out[0]: no variant meets the condition `{{plot: [13, 14]}}`")
    assert "leave_out[1]: no variant has the value `15` of `plot`" in dead


def test_an_override_of_what_is_left_out_sets_nothing(tmp_path):
    more = "leave_out: [{plot: 2}, {plot: 2, holder: Elm}]\n"
    more += "overrides: [{where: {plot: 2}, set: {cover.edge_break: 0.4}}]\n"
    path = write_family(tmp_path, "rows: [{plot: 1, holder: Ash}, {plot: 2, holder: Elm}]\n" + more)
    (said,) = told(path)
    assert "overrides[0].where" in said


def test_conditions_that_are_met_are_not_told(tmp_path):
    more = "leave_out: [{plot: 3.0}]\noverrides: [{where: {plot: [2, 1.0]}, set: {cover.edge_break: 0.4}}]\n"
    assert told(write_family(tmp_path, THREE + more)) == ()


def test_a_value_of_a_list_that_no_variant_has_is_told(tmp_path):
    more = "leave_out: [{plot: [3, 98]}]\noverrides: [{where: {plot: [2, 99, 3]}, set: {cover.edge_break: 0.4}}]\n"
    path = write_family(tmp_path, THREE + more)
    mend = "mend it, or delete it; `plot` is"
    assert told(path) == (
        f"{path}:{LINES + 2}: leave_out[0]: no variant has the value `98` of `plot`: {mend} `1`, `2` or `3`",
        f"{path}:{LINES + 3}: overrides[0].where: no variant has the value `99` of `plot`: {mend} `1` or `2`",
        f"{path}:{LINES + 3}: overrides[0].where: no variant has the value `3` of `plot`: {mend} `1` or `2`",
    )


def test_values_of_two_names_are_looked_at_one_by_one(tmp_path):
    rows = "rows: [{plot: 1, holder: Ash}, {plot: 2, holder: Elm}, {plot: 3, holder: Oak}]\n"
    (said,) = told(write_family(tmp_path, rows + "leave_out: [{plot: [1, 9], holder: [Ash, Elm]}]\n"))
    assert "no variant has the value `9` of `plot`" in said


def test_the_dry_run_tells_it_to_people_and_to_programs(tmp_path, capsys):
    path = write_family(tmp_path, THREE + "leave_out: [{plot: 13}]\n")
    out = str(tmp_path / "out")
    assert main(["family", str(path), "--out", out, "--dry-run"]) == 0
    assert "no variant meets the condition `{plot: 13}`" in capsys.readouterr().out
    assert main(["family", str(path), "--out", out, "--dry-run", "--json"]) == 0
    assert "{plot: 13}" in json.loads(capsys.readouterr().out)["unused"][0]


def test_one_variant_is_singular(tmp_path, capsys):
    path = write_family(tmp_path, "rows: [{plot: 1}]\n")
    assert main(["family", str(path), "--out", str(tmp_path / "out"), "--dry-run"]) == 0
    assert "1 of 1 variant would be made" in capsys.readouterr().out


@pytest.mark.parametrize("plot", [2, 99])
def test_a_path_that_no_recipe_has_is_a_mistake_whether_the_condition_is_met_or_not(tmp_path, plot):
    more = f"overrides:\n  - where: {{plot: {plot}}}\n    set: {{cover.edge_brake: '{{holder}}'}}\n"
    path = write_family(tmp_path, "rows: [{plot: 1, holder: a}, {plot: 2, holder: b}]\n" + more)
    with pytest.raises(RecipeError) as caught:
        told(path)
    (mistake,) = caught.value.mistakes
    assert (mistake.line, mistake.path) == (LINES + 4, "overrides[0].set.cover.edge_brake")
    assert "did you mean `edge_break`" in mistake.remedy


def test_a_path_below_a_list_of_the_recipe_is_looked_at_too(tmp_path):
    more = "overrides: [{where: {plot: 99}, set: {'original.bolts[7].thread': M8}}]\n"
    with pytest.raises(RecipeError, match=r"overrides\[0\]\.set\.original\.bolts\[7\]\.thread"):
        told(write_family(tmp_path, THREE + more))
