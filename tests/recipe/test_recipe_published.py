"""The committed schema and reference page are those that the declarations make; the committed recipes fit them."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tomllib
from itertools import permutations
from pathlib import Path

import pytest
import yaml
from jsonschema import Draft202012Validator

from generator.base.errors import RecipeError
from generator.base.fields import Kind
from generator.recipe.keys import exclusive_of, groups_of, keys_of
from generator.recipe.model import Recipe
from generator.recipe.outline_keys import ATTRIBUTE_OF, OutlineKeys
from generator.recipe.read import RecipeSource, read_recipe
from generator.recipe.reference import reference_page
from generator.recipe.resolve import resolved_yaml
from generator.recipe.schema import example_of, recipe_schema, records_below, schema_keys
from generator.shapes import KINDS

ROOT = Path(__file__).parents[2]
SCHEMA = ROOT / "schema" / "recipe.schema.json"
PAGE = ROOT / "docs" / "recipe.md"
RECIPES = sorted((ROOT / "recipes").glob("*.yaml"))
STARTERS = sorted((ROOT / "generator" / "cli").glob("starter-*.yaml"))


def test_the_schema_is_fresh() -> None:
    made = json.dumps(recipe_schema(KINDS), indent=2, ensure_ascii=False) + "\n"
    if os.environ.get("REMAKE"):
        SCHEMA.write_text(made, encoding="utf-8")
    assert SCHEMA.read_text(encoding="utf-8") == made, "stale: run `make docs`"


def test_the_reference_page_is_fresh() -> None:
    made = reference_page(KINDS)
    if os.environ.get("REMAKE"):
        PAGE.write_text(made, encoding="utf-8")
    assert PAGE.read_text(encoding="utf-8") == made, "stale: run `make docs`"


def test_the_schema_is_one_and_complete() -> None:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    for name, key in schema_keys(schema):
        assert key["title"], name
        assert len(key["description"]) > 5, name
        assert key["examples"], name


def test_the_page_names_every_key() -> None:
    page = PAGE.read_text(encoding="utf-8")
    for record in records_below([Recipe, OutlineKeys, *(k.params for k in KINDS["outer"])]):
        for word in keys_of(record):
            assert f"| `{word}` |" in page, f"{record.__name__}.{word}"
    for kind in KINDS["outer"]:
        assert f"### `{kind.name}`" in page


def test_the_package_carries_the_schema() -> None:
    setup = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]
    files = [f for listed in setup["data-files"].values() for f in listed]
    assert [ROOT / f for f in files] == [SCHEMA]


@pytest.mark.parametrize("path", [*RECIPES, *STARTERS], ids=lambda p: p.stem)
def test_committed_recipes_fit_schema_and_reader_and_come_back_the_same(path: Path) -> None:
    validator = Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8")))
    problems = [e.message for e in validator.iter_errors(yaml.safe_load(path.read_text(encoding="utf-8")))]
    assert problems == []
    reading = read_recipe(path, kinds=KINDS)
    validator.validate(reading.resolved)
    again = read_recipe(RecipeSource(str(path), resolved_yaml(reading)), kinds=KINDS)
    assert again.recipe == reading.recipe


def test_names_do_not_collide() -> None:
    records = records_below([Recipe, OutlineKeys, *(k.params for ks in KINDS.values() for k in ks)])
    assert len({r.__name__ for r in records}) == len(records)
    kinds = [k.name for k in KINDS["outer"]]
    assert len(set(kinds)) == len(kinds)
    assert not set(kinds) & set(ATTRIBUTE_OF)


def exclusive_pairs() -> list[tuple[str, str, str]]:
    """Kind of outline and two of its keys that exclude each other, either way round."""
    return [
        (kind.name, *pair)
        for kind in KINDS["outline"]
        for group in exclusive_of(kind.params)
        for pair in permutations(group, 2)
    ]


def test_groups_of_keys_name_keys() -> None:
    for record in records_below([Recipe, OutlineKeys, *(k.params for ks in KINDS.values() for k in ks)]):
        for group in (*groups_of(record), *exclusive_of(record)):
            assert set(group) <= set(keys_of(record)), record
            assert len(set(group)) > 1, record


@pytest.mark.parametrize(("kind", "below", "above"), exclusive_pairs())
def test_the_upper_recipe_chooses_among_keys_that_exclude_each_other(
    kind: str, below: str, above: str, tmp_path: Path
) -> None:
    keys = keys_of(next(k for k in KINDS["outline"] if k.name == kind).params)
    base = yaml.safe_load((ROOT / "recipes" / "gate-latch.yaml").read_text(encoding="utf-8"))
    base["original"]["footprint"] = {kind: {below: example_of(keys[below].spec)}}
    (tmp_path / "base.yaml").write_text(yaml.safe_dump(base), encoding="utf-8")
    over = {"based_on": "base.yaml", "original": {"footprint": {kind: {above: example_of(keys[above].spec)}}}}
    (tmp_path / "over.yaml").write_text(yaml.safe_dump(over), encoding="utf-8")
    with pytest.raises(RecipeError) as caught:  # what else the outline needs is not given
        read_recipe(tmp_path / "over.yaml", kinds=KINDS)
    assert "found both" not in str(caught.value)


def test_every_example_of_every_shape_can_be_read() -> None:
    """Every declared example, alone beside what the shape demands, is read without a mistake of its own."""
    base = yaml.safe_load((ROOT / "recipes" / "gate-latch.yaml").read_text(encoding="utf-8"))
    wrong = []
    for kind in KINDS["outer"]:
        keys = keys_of(kind.params)
        must = {w: example_of(k.spec) for w, k in keys.items() if k.is_required}
        for word, key in keys.items():
            if key.spec.kind is Kind.FILE:
                continue
            rivals = {w for group in exclusive_of(kind.params) if word in group for w in group}
            open_groups = [group for group in groups_of(kind.params) if word not in group]
            firsts = [next(w for w in group if w not in rivals) for group in open_groups]
            others = {w: example_of(keys[w].spec) for w in firsts}
            outer = {kind.name: {**must, **others, word: example_of(key.spec)}}
            text = yaml.safe_dump({**base, "cover": {**base["cover"], "outer": outer}}, sort_keys=False)
            try:
                read_recipe(RecipeSource("r.yaml", text), kinds=KINDS)
            except RecipeError as error:
                wrong += [m.sentence() for m in error.mistakes if not m.path.endswith(".file")]
    assert wrong == []


def test_reading_loads_neither_solid_kernel_nor_schema_library() -> None:
    code = (
        "import sys; import generator.recipe.read, generator.recipe.resolve, generator.recipe.mistakes; "
        "print(sorted({'OCP', 'cadquery', 'jsonschema', 'ezdxf', 'numpy', 'shapely', 'decimal'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
