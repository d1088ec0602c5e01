"""``coverplate trace``: from scans or a photo and caliper readings to a footprint."""

from __future__ import annotations

import argparse
import re
from pathlib import Path
from typing import TYPE_CHECKING

from generator.base.errors import GeometryError, Mistake, RecipeError
from generator.cli import codes
from generator.cli.tell import Console

if TYPE_CHECKING:
    from generator.build.footprint_files import TracedFiles

LEAST_DPI, MOST_DPI = 20.0, 10_000.0
MOST_THICKNESS_MM = 100.0


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
            thickness=options.thickness,
            part=options.part,
            demanded=options.demand,
            forbidden=options.forbid,
            name=name,
            out=options.out,
            progress=console.progress,
        )
    except GeometryError as error:
        if options.debug:
            raise
        if console.json:
            console.document({"status": "wrong", "why": str(error)})
        else:
            console.problem(str(error))
        return codes.WRONG
    for warning in done.account.traced.warnings:
        console.problem(warning)
    if console.json:
        from generator.outputs.footprint.figures import figures

        wrote = {"wrote": [str(done.folder / f) for f in done.files]}
        console.document({"status": "fine", **wrote, "trace": figures(done.account)})
    else:
        _tell(done, console)
    return codes.FINE


def _tell(done: TracedFiles, console: Console) -> None:
    from generator.outputs.footprint.told import given_up_lines
    from generator.trace.disputes import dispute_words

    account = done.account
    footprint = account.footprint
    lines = sum(f.primitive.kind == "line" for f in footprint.features)
    arcs = sum(f.primitive.kind == "arc" for f in footprint.features)
    console.say(
        f"{account.name}: {_count(lines, 'line')}, {_count(arcs, 'arc')}, {_count(len(footprint.holes), 'hole')}; "
        f"outline known to ± {footprint.outline_doubt:.3f} mm (95 %)"
    )
    for remark in account.traced.remarks:
        if remark not in account.traced.warnings:
            console.say(f"  {remark}")
    for dispute in account.traced.disputes:
        console.problem(dispute_words(dispute))
    for sentence in given_up_lines(account):
        console.problem(sentence)
    for sentence in account.untold:
        console.say(f"  cannot be told: {sentence}")
    for w in account.wanted[:1]:
        console.say(f"  would help most: {w.what}; {w.why}")
    for file in done.files:
        console.say(f"  wrote {done.folder / file}")


def _count(n: int, word: str) -> str:
    return f"{n} {word}{'' if n == 1 else 's'}"


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
    if options.thickness is not None and not 0.0 < options.thickness <= MOST_THICKNESS_MM:
        wanted = f"a thickness above 0 and at most {MOST_THICKNESS_MM:g}, in mm"
        wrong += _wrong("--thickness", f"{options.thickness:g}", wanted).mistakes
    if options.part is not None and options.part < 1:
        wrong += _wrong("--part", str(options.part), "1 for the largest part, 2 for the next").mistakes
    if wrong:
        raise RecipeError(wrong)


def _wrong(option: str, found: str, expected: str) -> RecipeError:
    return RecipeError([Mistake(option, 0, 0, "", f"`{found}`", expected)])
