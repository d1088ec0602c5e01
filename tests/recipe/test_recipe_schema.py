"""The JSON Schema: valid 2020-12, complete for editors, and never at odds with the reader where it can tell."""

from __future__ import annotations

import copy
from pathlib import Path
from random import Random
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator
from recipe_samples import INCHES, KINDS, LARGE, SMALL, mistakes_of, read_text
from test_recipe_mutations import spots

from generator.base.fields import Kind
from generator.recipe.keys import keys_of
from generator.recipe.model import Recipe
from generator.recipe.outline_keys import OutlineKeys
from generator.recipe.schema import example_of, recipe_schema, records_below, schema_keys

SCHEMA = recipe_schema(KINDS)
VALIDATOR = Draft202012Validator(SCHEMA)
CASES = sorted((Path(__file__).parent / "cases").glob("*.yaml"))


def accepts(tree: Any) -> bool:
    return bool(VALIDATOR.is_valid(tree))


def test_it_is_a_schema() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_every_key_has_hover_text_and_examples() -> None:
    keys = list(schema_keys(SCHEMA))
    assert len(keys) > 80
    for name, schema in keys:
        assert schema["title"], name
        assert len(schema["description"]) > 5, name
        assert schema["examples"], name


def test_every_number_names_its_unit_and_every_default_stands() -> None:
    for record in records_below([Recipe, OutlineKeys, *(k.params for k in KINDS["outer"])]):
        described = SCHEMA if record is Recipe else SCHEMA["$defs"].get(record.__name__, {})
        for word, key in keys_of(record).items():
            if record is OutlineKeys:
                described = SCHEMA["$defs"]["outline"]
            schema = described["properties"][word]
            if key.spec.kind is Kind.LENGTH:
                assert "`6 mm`" in schema["description"], word
            if key.spec.kind is Kind.ANGLE:
                assert "°" in schema["description"], word
            simple = key.spec.kind in (Kind.LENGTH, Kind.ANGLE, Kind.NUMBER, Kind.COUNT, Kind.FLAG)
            assert ("default" in schema) == (not key.is_required and key.default is not None) or not simple, word


def test_record_names_are_unique() -> None:
    records = records_below([Recipe, OutlineKeys, *(k.params for ks in KINDS.values() for k in ks)])
    assert len({r.__name__ for r in records}) == len(records)


@pytest.mark.parametrize("text", [SMALL, LARGE, INCHES])
def test_valid_recipes_are_accepted_as_written_and_resolved(text: str) -> None:
    assert accepts(yaml.safe_load(text))
    assert accepts(read_text(text).resolved)


@pytest.mark.parametrize("case", CASES, ids=lambda p: p.stem)
def test_wrong_recipes_are_refused(case: Path) -> None:
    assert not accepts(yaml.safe_load(case.read_text(encoding="utf-8")))


def test_what_must_be_given_is_demanded_only_without_a_base() -> None:
    assert not accepts({"name": "x"})
    assert accepts({"based_on": "base.yaml"})
    assert accepts({"based_on": "base.yaml", "cover": {"stock": {"measured": 8.1}, "outer": {"turn": 3}}})
    assert not accepts({"based_on": "base.yaml", "original": {"bolts": [{"thread": "M6"}]}})
    assert not accepts({"based_on": "base.yaml", "colour": 1})


def test_of_keys_that_exclude_each_other_one_may_be_given() -> None:
    tree = yaml.safe_load(SMALL)
    polygon = {"corners": [{"at": [0, 0]}, {"at": [9, 0]}, {"at": [0, 9]}]}
    for more, right in (
        ({}, True),
        ({"rounded": 2}, True),
        ({"cut_off": 1}, True),
        ({"rounded": 2, "cut_off": None}, True),
        ({"rounded": 2, "cut_off": 1}, False),
    ):
        for base in ({}, {"based_on": "base.yaml"}):
            tree["original"]["footprint"] = {"corners": {**polygon, **more}}
            assert accepts({**base, **tree}) == right
        assert (mistakes_of(yaml.safe_dump(tree)) == []) == right


def test_examples_are_themselves_right() -> None:
    """Every example, put where it belongs, is accepted by schema and reader."""
    for word, key in keys_of(Recipe).items():
        tree = yaml.safe_load(SMALL)
        tree[word] = example_of(key.spec)
        assert accepts(tree), word
        assert mistakes_of(yaml.safe_dump(tree, sort_keys=False)) == [], word
    for kind in KINDS["outline"]:
        if kind.name == "drawing":
            continue
        for word, key in keys_of(kind.params).items():
            example = example_of(key.spec)
            assert example not in (None, ""), f"{kind.name}.{word}"


REFUSED_BY_BOTH: list[Any] = [[], {}, True, [1], {"nope": 1}]


@pytest.mark.parametrize("text", [SMALL, LARGE, INCHES])
def test_where_the_schema_refuses_the_reader_does_too(text: str) -> None:
    """Spoil every place in turn with several wrong values: the schema is never the stricter of the two."""
    plain = yaml.safe_load(text)
    random = Random(text)
    stricter = []
    refused = 0
    for i in range(len(spots(plain))):
        for value in random.sample([*REFUSED_BY_BOTH, "x", -1, 0, 10**9, None, 7], 3):
            tree = copy.deepcopy(plain)
            group, key = spots(tree)[i]
            group[key] = value
            if not accepts(tree):
                refused += 1
                if not mistakes_of(yaml.safe_dump(tree, sort_keys=False)):
                    stricter.append((key, value))
    assert stricter == []
    assert refused > len(spots(plain))


@pytest.mark.parametrize("text", [SMALL, LARGE, INCHES])
def test_unknown_and_missing_keys_are_refused_by_both(text: str) -> None:
    plain = yaml.safe_load(text)
    free = ("parameters", "inlays", "tools", "openings", "holes")
    for i in range(len(spots(plain))):
        group, key = spots(plain)[i]
        if isinstance(group, dict) and not any(group is plain.get(f) for f in free):
            tree = copy.deepcopy(plain)
            spoilt, _ = spots(tree)[i]
            spoilt["zzz"] = spoilt.pop(key)
            if spoilt is tree.get("original", {}).get("openings"):
                continue
            reader = bool(mistakes_of(yaml.safe_dump(tree, sort_keys=False)))
            assert accepts(tree) == (not reader), key
