"""What the command line says of a printer: its settings file and readings of printed bars."""

from __future__ import annotations

import argparse

from generator.base.errors import Mistake
from generator.base.units import MILLIMETRE
from generator.paper.printed_bars import faults
from generator.recipe.model_paper import PrintedBars
from generator.recipe.model_printer import Printer
from generator.recipe.printer_file import read_printed_bar, read_printer

__all__ = ["printer_of", "sets_of"]


def printer_of(options: argparse.Namespace) -> Printer:
    """Return what file and readings say together; readings given alone go before those of the file.

    Raises: RecipeError: with every mistake found in them.
    """
    printer = read_printer(options.printer, faults=_in_file) if options.printer is not None else Printer()
    if options.printed_bar is None:
        return printer
    return Printer(paper=printer.paper, printed_bars=read_printed_bar(options.printed_bar, faults=_on_line))


def _in_file(bars: PrintedBars) -> list[Mistake]:
    return faults(bars, MILLIMETRE, path="printed_bars")


def _on_line(bars: PrintedBars) -> list[Mistake]:
    return faults(bars, MILLIMETRE, path="printed_bars", between="=")


def sets_of(printer: Printer) -> list[str]:
    """Return the overrides of a recipe that say the same."""
    sets = [f"paper.size={printer.paper}"] if printer.paper else []
    bars = printer.printed_bars
    if bars is not None:
        sets.append(f"paper.printed_bars={{x: {bars.x!r} mm, y: {bars.y!r} mm}}")
    return sets
