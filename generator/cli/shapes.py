"""``coverplate shapes``: the catalogue of outer shapes."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from generator.base.errors import OutputError
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
            _replace(folder / name, content)
    except OSError as error:
        raise OutputError(f"{options.out} cannot be written: {error.strerror or error}") from error
    written = [str(folder / name) for name in files]
    if console.json:
        console.document({"wrote": written})
    for name in written:
        console.say(f"wrote {name}")
    return codes.FINE


def _replace(path: Path, content: bytes) -> None:
    """Write a file in one step: whoever reads it gets the earlier one or this one, whole."""
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        part.write_bytes(content)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
