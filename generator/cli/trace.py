"""``coverplate trace``: from scans or a photo and caliper readings to a footprint."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

from generator.base.errors import GeometryError, Mistake, RecipeError
from generator.cli import codes
from generator.cli.tell import Console

LEAST_DPI, MOST_DPI = 20.0, 10_000.0


def run(options: argparse.Namespace, console: Console) -> int:
    """Trace, write, tell, and return the exit code."""
    name = _name(options)
    _demand_sense(options)
    from generator.build.footprint_files import trace_files

    try:
        done = trace_files(
            options.images,
            readings=options.readings,
            reference=options.reference,
            dpi=options.dpi,
            part=options.part,
            name=name,
            out=options.out,
        )
    except GeometryError as error:
        if options.debug:
            raise
        if console.json:
            console.document({"status": "wrong", "why": str(error)})
        else:
            console.problem(str(error))
        return codes.WRONG
    if console.json:
        console.document({"status": "fine", "wrote": [str(done.folder / f) for f in done.files]})
    for remark in done.traced.remarks:
        console.say(remark)
    for file in done.files:
        console.say(f"wrote {done.folder / file}")
    return codes.FINE


def _name(options: argparse.Namespace) -> str:
    """Return what the files are to be called.

    Raises: RecipeError: that is no name.
    """
    if not options.name:
        stem = re.sub(r"[^A-Za-z0-9_-]+", "-", Path(options.images[0]).stem).strip("-_")
        return stem[:60] or "traced"
    if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}", options.name):
        raise _wrong("--name", options.name, "a name of letters, digits, `-` and `_`")
    return str(options.name)


def _demand_sense(options: argparse.Namespace) -> None:
    """Refuse numbers that cannot be.

    Raises: RecipeError: names every one of them.
    """
    wrong: list[Mistake] = []
    if options.dpi is not None and not LEAST_DPI <= options.dpi <= MOST_DPI:
        wrong += _wrong("--dpi", f"{options.dpi:g}", f"a resolution from {LEAST_DPI:g} to {MOST_DPI:g}").mistakes
    if options.part < 1:
        wrong += _wrong("--part", str(options.part), "1 for the largest part, 2 for the next").mistakes
    if wrong:
        raise RecipeError(wrong)


def _wrong(option: str, found: str, expected: str) -> RecipeError:
    return RecipeError([Mistake(option, 0, 0, "", f"`{found}`", expected)])
