"""``coverplate printer-page``: a page that checks a printer alone."""

from __future__ import annotations

import argparse
from pathlib import Path

from generator.base.errors import OutputError
from generator.base.paper_sizes import format_of
from generator.base.whole_file import write_whole
from generator.cli import codes
from generator.cli.printer import printer_of
from generator.cli.tell import Console
from generator.paper.pdf import pdf_bytes
from generator.paper.printed_bars import correction_of
from generator.paper.printer_page import printer_page


def run(options: argparse.Namespace, console: Console) -> int:
    """Write the page and return the exit code."""
    printer = printer_of(options)
    paper = options.paper or printer.paper or "A4"
    sheet = printer_page(format_of(paper), correction_of(printer.printed_bars))
    path = Path(options.out)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, pdf_bytes([sheet], title=f"printer page, {paper}"))
    except OSError as error:
        raise OutputError(f"{options.out} cannot be written: {error.strerror or error}") from error
    if console.json:
        console.document({"wrote": str(path), "paper": paper})
    console.say(f"wrote {path}; print it at 100 %, actual size, and measure bars x and y")
    return codes.FINE
