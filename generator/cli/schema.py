"""``coverplate schema``: JSON Schema and reference page of the recipe, made from the declarations."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from generator.base.errors import OutputError
from generator.cli import codes
from generator.cli.tell import Console
from generator.recipe.reference import reference_page
from generator.recipe.schema import family_schema, printer_schema, readings_schema, recipe_schema
from generator.shapes import KINDS


def run(options: argparse.Namespace, console: Console) -> int:
    """Print or write schema or reference page and return the exit code."""
    if options.checks:
        from generator.build.check_pages import checks_page

        text = checks_page()
    elif options.reference:
        text = reference_page(KINDS)
    elif options.printer:
        text = json.dumps(printer_schema(), indent=2, ensure_ascii=False) + "\n"
    elif options.family:
        text = json.dumps(family_schema(), indent=2, ensure_ascii=False) + "\n"
    elif options.readings:
        text = json.dumps(readings_schema(), indent=2, ensure_ascii=False) + "\n"
    else:
        text = json.dumps(recipe_schema(KINDS), indent=2, ensure_ascii=False) + "\n"
    if not options.write:
        print(text, end="")
        return codes.FINE
    try:
        Path(options.write).write_text(text, encoding="utf-8")
    except OSError as error:
        raise OutputError(f"{options.write} cannot be written: {error.strerror}") from error
    if console.json:
        console.document({"wrote": options.write})
    console.say(f"wrote {options.write}")
    return codes.FINE
