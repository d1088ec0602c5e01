"""Reading what is known of a printer: its settings file, and readings given on the command line."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from generator.base.errors import Mistake, RecipeError
from generator.recipe.context import Context
from generator.recipe.load import Opener, opened, read_bytes
from generator.recipe.mistakes import Mistakes, one_mistake
from generator.recipe.model_paper import PrintedBars
from generator.recipe.model_printer import Printer
from generator.recipe.parameters import read_parameters
from generator.recipe.places import Place, SourceText, shown
from generator.recipe.records import read_record
from generator.recipe.text import MapNode, Node, Scalar, parse_text, source_text

__all__ = ["OPTION", "Faults", "read_printed_bar", "read_printer"]

OPTION: Final = "--printed-bar"
_FORM: Final = "both readings in mm, such as `x=99.6,y=100.2`"
_LENGTH: Final = r"[-+]?[\d.][-+.\deE/ ]*?(?: *[a-z]+)?"
_BOTH: Final = re.compile(rf" *(?P<one>[xy]) *= *(?P<first>{_LENGTH}) *, *(?P<other>[xy]) *= *(?P<second>{_LENGTH}) *")
_DECIMAL_COMMA: Final = re.compile(r"\d,\d")

Faults = Callable[[PrintedBars], list[Mistake]]
"""Says which readings none can have given; the mistakes carry the path below the printer, such as
``printed_bars.x``, and no place."""


def read_printer(path: str, *, faults: Faults, opener: Opener = read_bytes) -> Printer:
    """Return the printer of a settings file.

    Args:
        path: of the file.
        faults: judges the readings.
        opener: gives the bytes of a file by its path.

    Raises: RecipeError: with every mistake found.
    """
    data = opened(path, "a readable settings file of a printer", opener)
    root = parse_text(source_text(path, data))
    context = _context()
    printer = read_record(context, Printer, root, "", root.place)
    context.mistakes.raise_any()
    assert isinstance(printer, Printer)
    if printer.printed_bars is not None:
        _judge(context, faults(printer.printed_bars))
    return printer


def read_printed_bar(text: str, *, faults: Faults) -> PrintedBars:
    """Return the readings of ``x=99.6,y=100.2``; bare numbers are mm, ``x=3.92in`` carries its own unit.

    Raises: RecipeError: with every mistake found.
    """
    source = SourceText(OPTION, text)
    place = Place(source, 1, 1)
    match = _BOTH.fullmatch(text)
    if match is None or match["one"] == match["other"]:
        remedy = "write decimals with a point" if _DECIMAL_COMMA.search(text) else ""
        raise one_mistake(place, f"`{shown(text)}`", _FORM, remedy)
    entries: dict[str, tuple[Place, Node]] = {
        match[axis]: (place, Scalar(match[value], True, Place(source, 1, match.start(value) + 1)))
        for axis, value in (("one", "first"), ("other", "second"))
    }
    context = _context()
    bars = read_record(context, PrintedBars, MapNode(entries, place), "printed_bars", place)
    context.mistakes.raise_any()
    assert isinstance(bars, PrintedBars)
    _judge(context, faults(bars))
    return bars


def _context() -> Context:
    mistakes = Mistakes()
    return Context({}, read_parameters(None, "mm", mistakes), "mm", mistakes, "")


def _judge(context: Context, found: list[Mistake]) -> None:
    """Raise what is wrong with the readings, each where it was written."""
    if found:
        raise RecipeError([_located(context, m) for m in found])


def _located(context: Context, mistake: Mistake) -> Mistake:
    at = context.origins[mistake.path]
    return replace(mistake, file=at.file, line=at.line, column=at.column, snippet=at.snippet)
