"""``coverplate shapes``: the catalogue of outer shapes."""

from __future__ import annotations

import argparse
from pathlib import Path

from generator.base.errors import OutputError
from generator.base.whole_file import write_whole
from generator.cli import codes
from generator.cli.tell import Console
from generator.outputs.catalogue import catalogue_files


def run(options: argparse.Namespace, console: Console) -> int:
    """Write ``shapes.html``, ``shapes.png`` and the drawing that one names into a folder; return the exit code."""
    folder = Path(options.out)
    console.progress("drawing every outer shape round two originals")
    files = catalogue_files()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            write_whole(folder / name, content)
    except OSError as error:
        raise OutputError(f"{options.out} cannot be written: {error.strerror or error}") from error
    written = [str(folder / name) for name in files]
    if console.json:
        console.document({"wrote": written})
    for name in written:
        console.say(f"wrote {name}")
    return codes.FINE
