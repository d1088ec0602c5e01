"""The committed schema of a printer's settings file is the one that the declarations make, and says what is read."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
import yaml
from jsonschema import Draft202012Validator

from generator.base.errors import RecipeError
from generator.recipe.printer_file import read_printer
from generator.recipe.schema import printer_schema

SCHEMA = Path(__file__).parents[2] / "schema" / "printer.schema.json"


def test_the_schema_is_fresh_and_one() -> None:
    made = json.dumps(printer_schema(), indent=2, ensure_ascii=False) + "\n"
    if os.environ.get("REMAKE"):
        SCHEMA.write_text(made, encoding="utf-8")
    assert SCHEMA.read_text(encoding="utf-8") == made, "stale: run `make docs`"
    Draft202012Validator.check_schema(json.loads(made))


@pytest.mark.parametrize(
    ("text", "is_good"),
    [
        ("paper: A4", True),
        ("paper: Letter\nprinted_bars: {x: 99.6, y: 3.94 in}", True),
        ("printed_bars: null", True),
        ("paper: A7", False),
        ("printed_bars: {x: 99.6}", False),
        ("printed_bars: [99.6, 100]", False),
        ("bars: {x: 99.6, y: 100}", False),
    ],
)
def test_schema_and_reader_agree(text: str, is_good: bool) -> None:
    assert Draft202012Validator(printer_schema()).is_valid(yaml.safe_load(text)) == is_good
    try:
        read_printer("p.yaml", faults=lambda _: [], opener=lambda _: text.encode())
        read = True
    except RecipeError:
        read = False
    assert read == is_good
