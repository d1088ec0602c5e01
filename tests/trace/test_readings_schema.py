"""The committed schema of caliper readings is the one that the declarations make, and says what is read."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
import yaml
from jsonschema import Draft202012Validator

from generator.base.errors import RecipeError
from generator.recipe.schema import readings_schema
from generator.trace.readings_file import read_caliper

ROOT = Path(__file__).parents[2]
SCHEMA = ROOT / "schema" / "readings.schema.json"
CORPUS = sorted((ROOT / "tests" / "data" / "scans").glob("*/caliper.yaml"))


def test_the_schema_is_fresh_and_one():
    made = json.dumps(readings_schema(), indent=2, ensure_ascii=False) + "\n"
    if os.environ.get("REMAKE"):
        SCHEMA.write_text(made, encoding="utf-8")
    assert SCHEMA.read_text(encoding="utf-8") == made, "stale: run `make docs`"
    Draft202012Validator.check_schema(json.loads(made))


@pytest.mark.parametrize("path", CORPUS, ids=lambda p: p.parent.name)
def test_the_corpus_is_good_by_the_schema(path):
    Draft202012Validator(readings_schema()).validate(yaml.safe_load(path.read_text()))


@pytest.mark.parametrize(
    ("text", "is_good"),
    [
        ("readings: []", True),
        ("readings: [{id: a, kind: diameter, value: 3, holes: [[1, 2]]}]", True),
        ("readings: [{id: a, kind: diameter, value: 0.2 in, numbers: [3]}]", True),
        ("readings: [{id: a, kind: diameter, value: null}]", True),
        ("units: mm", False),
        ("readings: [{id: a, kind: width, value: 3}]", False),
        ("readings: [{id: a, kind: diameter, value: 3, holes: [[1, 2, 3]]}]", False),
        ("readings: [{id: a, kind: diameter, value: -3, holes: [[1, 2]]}]", False),
        ("readings: [{kind: thickness, value: 3}]", False),
        ("reading: []", False),
    ],
)
def test_schema_and_reader_agree(text, is_good):
    assert Draft202012Validator(readings_schema()).is_valid(yaml.safe_load(text)) == is_good
    try:
        read_caliper("c.yaml", opener=lambda _: text.encode())
        read = True
    except RecipeError:
        read = False
    assert read == is_good
