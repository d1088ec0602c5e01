"""``coverplate printer-page``: a page that checks a printer alone."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from generator.base.errors import OutputError
from generator.base.paper_sizes import format_of
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
        _replace(path, pdf_bytes([sheet], title=f"printer page, {paper}"))
    except OSError as error:
        raise OutputError(f"{options.out} cannot be written: {error.strerror or error}") from error
    if console.json:
        console.document({"wrote": str(path), "paper": paper})
    console.say(f"wrote {path}; print it at 100 %, actual size, and measure bars x and y")
    return codes.FINE


def _replace(path: Path, content: bytes) -> None:
    """Write a file in one step: whoever reads it gets the earlier one or this one, whole."""
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        part.write_bytes(content)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
