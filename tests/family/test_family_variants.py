"""From a family's file to its variants: what is combined, worked out, left out and overridden, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.base.errors import RecipeError
from generator.family.family_file import read_family
from generator.family.variants import Variant, variants_of
from generator.recipe.merge import parse_override
from generator.recipe.text import Scalar

RECIPES = Path(__file__).parents[2] / "recipes"
KNOWN = frozenset({"plot", "reach", "boss"})


@pytest.fixture
def family(tmp_path):
    """Write a family over the gate latch, with a table if one is given, and return its variants."""
    (tmp_path / "gate-latch.yaml").write_bytes((RECIPES / "gate-latch.yaml").read_bytes())

    def made(text: str, table: str = "") -> tuple[Variant, ...]:
        (tmp_path / "t.csv").write_text(table, encoding="utf-8")
        path = tmp_path / "f.yaml"
        path.write_text(f"family: gates\nrecipe: gate-latch.yaml\n{text}", encoding="utf-8")
        return variants_of(read_family(str(path)), KNOWN)

    return made


def refused(make, *texts: str) -> list[str]:
    with pytest.raises(RecipeError) as error:
        make(*texts)
    return [m.sentence() for m in error.value.mistakes]


def set_to(variant: Variant, path: str) -> list[str]:
    return [s.partition("=")[2] for s in variant.sets if s.startswith(f"{path}=")]


def test_rows_times_lists_times_ranges_the_last_varying_fastest(family):
    made = family(
        "rows: [{holder: Ash}, {holder: Elm}]\nlists: {metal: [a, b]}\nranges: {plot: {first: 1, last: 3}}\n"
        "names: '{holder}-{metal}-{plot}'\n"
    )
    assert [v.name for v in made][:4] == ["Ash-a-1", "Ash-a-2", "Ash-a-3", "Ash-b-1"]
    assert len(made) == 2 * 2 * 3
    assert [v.number for v in made] == list(range(1, 13))


def test_a_range_counts_down_and_fills_up_with_zeros(family):
    made = family("ranges: {plot: {first: 11, last: 8, step: -1, digits: 3}}\nnames: 'p-{plot}'\n")
    assert [v.name for v in made] == ["p-011", "p-010", "p-009", "p-008"]
    halves = family("ranges: {reach: {first: 30, last: 31, step: 0.25}}\n")
    assert [v.values["reach"] for v in halves] == ["30", "30.25", "30.5", "30.75", "31"]


def test_rules_follow_from_values_and_from_each_other(family):
    (one,) = family("rows: [{plot: 7}]\nrules: {reach: '30 + plot / 10', label: 'Plot {plot}, {reach}'}\n")
    assert one.values["reach"] == "30.7"
    assert one.values["label"] == "Plot 7, 30.7"
    assert set_to(one, "parameters.reach") == ["30.7"], "a value called as a parameter sets it"
    assert not set_to(one, "parameters.label")


def test_left_out_and_overridden(family):
    made = family(
        "ranges: {plot: {first: 1, last: 4}}\nleave_out: [{plot: 2}]\nnames: 'p-{plot}'\n"
        "overrides:\n- {where: {plot: [3, 4]}, set: {cover.edge_break: 0.4}}\n"
        "- {where: {plot: '4'}, set: {cover.edge_break: 0.5}}\n"
    )
    assert [v.name for v in made] == ["p-1", "p-3", "p-4"]
    assert [set_to(v, "cover.edge_break") for v in made] == [[], ["0.4"], ["0.4", "0.5"]]


def test_numbers_count_by_their_value_in_conditions(family):
    made = family("table: t.csv\nleave_out: [{plot: 7}]\nnames: 'p-{plot}'\n", "plot\n07\n7.0\n8\n")
    assert [v.name for v in made] == ["p-8"]


def test_an_empty_cell_leaves_the_recipe_as_it_is(family):
    made = family(
        "table: t.csv\nsets: {inlays.number.material: '{metal}'}\nnames: 'p-{plot}'\n",
        "plot,metal\n1,CuZn37 R350\n2,\n",
    )
    assert [set_to(v, "inlays.number.material") for v in made] == [['"CuZn37 R350"'], []]


@pytest.mark.parametrize(
    "text",
    [
        "plain",
        "{brace}",
        '"quoted"',
        "[list]",
        "{a: b}",
        "reach",
        "reach + 1",
        "Ash - Elm",
        "|bar",
        "true",
        "Null",
        "yes",
    ],
)
def test_a_text_of_the_table_arrives_as_that_text(family, text):
    """Whatever a cell says, it is no expression, group, list or name of a parameter in the recipe."""
    cell = text.replace('"', '""')
    (one,) = family("table: t.csv\nsets: {title: '{holder}'}\n", f'plot,holder\n1,"{cell}"\n')
    node = parse_override(next(s for s in one.sets if s.startswith("title="))).value
    assert isinstance(node, Scalar)
    assert node.value == text.replace("{", "{{").replace("}", "}}"), (
        "braces are doubled: the recipe fills in single ones"
    )
    assert not node.plain


def test_numbers_of_the_table_arrive_as_written(family):
    (one,) = family("table: t.csv\n", "plot,reach\n07,30.50\n")
    assert set_to(one, "parameters.plot") == ["07"]
    assert set_to(one, "parameters.reach") == ["30.50"]


def test_names_become_file_names(family):
    made = family("table: t.csv\nnames: '{holder}'\n", "holder\nBärbel & Søn\nÜ/..\\x\n")
    assert [v.name for v in made] == ["Barbel-Son", "U-x"]


def test_without_a_pattern_variants_are_numbered(family):
    assert [v.name for v in family("rows: [{plot: 1}, {plot: 2}]\n")] == ["gates-001", "gates-002"]


@pytest.mark.parametrize(
    ("text", "table", "said"),
    [
        ("names: 'p'\nrows: [{plot: 1}, {plot: 2}]\n", "", "the name `p` for variant 1"),
        ("names: '{plot}'\ntable: t.csv\n", "plot\na\nA\n", "names that differ in more than capitals"),
        ("names: 'p-{plo}'\nrows: [{plot: 1}]\n", "", "did you mean `plot`?"),
        ("names: '{plot}'\ntable: t.csv\n", "plot\n---\n", "of which nothing is left for the row at"),
        ("names: '{plot}'\ntable: t.csv\n", "plot\nCON\n", "Windows makes a device"),
        ("rows: [{plot: 1}]\nlists: {plot: [1]}\n", "", "which has values from elsewhere in the family"),
        ("rows: [{plot: 1}]\nrules: {reach: plt + 1}\n", "", "the unknown name `plt`"),
        ("rows: [{plot: 1}]\nrules: {a: b + 1, b: a + 1}\n", "", "a circle of parameters"),
        ("ranges: {plot: {first: 1, last: 0}}\n", "", "mend the sign of `step`"),
        ("ranges: {plot: {first: 1, last: 2, step: 0}}\n", "", "mend the sign of `step`"),
        ("ranges: {plot: {first: 1, last: 1e9}}\n", "", "expected at most 20000 variants"),
        ("ranges: {plot: {first: 1, last: 200}, reach: {first: 1, last: 200}}\n", "", "found 40000 variants"),
        ("rows: [{plot: 1}]\nleave_out: [{plott: 1}]\n", "", "the unknown name `plott`"),
        ("rows: [{plot: 1}]\nleave_out: [{plot: 1}]\n", "", "no variant left"),
        ("rows: [{plot: 1}]\ntable: t.csv\n", "plot\n1\n", "both `table` and `rows`"),
        ("table: missing.csv\n", "", "which is not there"),
        ("rows: [{plot: true}]\n", "", 'quote it if it is a text: "true"'),
        ("rows: [{'plot no': 1}]\n", "", "a name like `plot`"),
        ("sets: {title: '{holder}'}\nrows: [{plot: 1}]\n", "", "the unknown name `holder`"),
        ("set: {title: x}\n", "", "did you mean `sets`?"),
    ],
)
def test_what_is_wrong_with_a_family_is_told(family, text, table, said):
    told = refused(family, text, table)
    assert any(said in t for t in told), told
    assert all(t.split(":")[0].endswith((".yaml", ".csv")) for t in told), told
