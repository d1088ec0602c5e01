"""The committed schema of a family is the one that the declarations make, and says what is read."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import yaml
from jsonschema import Draft202012Validator

from generator.base.errors import RecipeError
from generator.family.family_file import read_family
from generator.recipe.schema import family_schema
from tests.family.family_cases import write_family

ROOT = Path(__file__).parents[2]
HEAD = "family: tags\nrecipe: tag.yaml\n"


def test_the_schema_is_fresh_and_one():
    made = json.dumps(family_schema(), indent=2, ensure_ascii=False) + "\n"
    assert (ROOT / "schema" / "family.schema.json").read_text(encoding="utf-8") == made, "stale: run `make docs`"
    Draft202012Validator.check_schema(json.loads(made))


@pytest.mark.parametrize(
    ("text", "is_good"),
    [
        (HEAD, True),
        (HEAD + "rows: [{plot: 1, holder: Ash}]", True),
        (HEAD + "lists: {metal: [a, 2]}\nranges: {plot: {first: 1, last: 9, digits: 2}}", True),
        (HEAD + "sets: {'original.bolts[0].at': [[1, 2]], cover.seats: null}", True),
        (HEAD + "leave_out: [{plot: [1, 2]}, {metal: a}]", True),
        (HEAD + "overrides: [{where: {plot: 1}, set: {cover.outer: {disc: {radius: 9}}}}]", True),
        (HEAD + "stock: [{material: EN AW-6082 T6, thickness: 10, length: 1000, width: 500, count: 2}]", True),
        ("family: tags", False),
        ("recipe: tag.yaml", False),
        (HEAD + "rows: {plot: 1}", False),
        (HEAD + "rows: [{plot: [1]}]", False),
        (HEAD + "rows: [{plot no: 1}]", False),
        (HEAD + "lists: {metal: []}", False),
        (HEAD + "ranges: {plot: {first: 1}}", False),
        (HEAD + "sets: {'cover edge': 1}", False),
        (HEAD + "leave_out: [{}]", False),
        (HEAD + "overrides: [{where: {plot: 1}}]", False),
        (HEAD + "stock: [{material: a, thickness: -1, length: 1000, width: 500}]", False),
        (HEAD + "variants: []", False),
    ],
)
def test_schema_and_reader_agree(tmp_path, text, is_good):
    path = write_family(tmp_path)
    path.write_text(text, encoding="utf-8")
    assert Draft202012Validator(family_schema()).is_valid(yaml.safe_load(text)) == is_good
    try:
        read_family(str(path))
        read = True
    except RecipeError:
        read = False
    assert read == is_good
