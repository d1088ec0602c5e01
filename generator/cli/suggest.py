"""``coverplate suggest``: the nearest recipe in which nothing forbids."""

from __future__ import annotations

import argparse

from generator.base.finding import Severity
from generator.build.rewrite_file import write_edits
from generator.build.suggest import Suggestion, shown, suggest
from generator.cli import codes
from generator.cli.tell import Console, finding_data


def run(options: argparse.Namespace, console: Console) -> int:
    """Search, show the edits, apply them if asked to, and return the exit code."""
    path = options.recipes[0]
    found = suggest(path, sets=options.sets, told=console.progress)
    wrote = bool(options.write and found.edits and found.after)
    if wrote:
        write_edits(path, found.edits, sets=options.sets)
    if console.json:
        console.document(_answer(path, found, wrote))
    else:
        _tell(path, found, console, wrote)
    return codes.FINE if found.after else codes.FORBIDDEN


def _answer(path: str, found: Suggestion, wrote: bool) -> dict[str, object]:
    after = [finding_data(f, found.after.place_of(f)) for f in found.after.findings] if found.after else []
    return {
        "recipe": path,
        "forbidden": list(found.before),
        "edits": [
            {"key": e.key, "value": e.value, "was": w or None} for e, w in zip(found.edits, found.was, strict=True)
        ],
        "new_warnings": list(found.new_warnings),
        "found": found.after is not None,
        "written": wrote,
        "findings_after": after,
        "trials": found.trials,
    }


def _tell(path: str, found: Suggestion, console: Console, wrote: bool) -> None:
    if not found.before:
        console.say(f"{path}: nothing forbids; nothing to change")
        return
    console.say(f"{path}: {len(found.before)} forbid{'s' * (len(found.before) == 1)}:")
    for sentence in found.before:
        console.say(f"    {sentence}")
    if found.after is None:
        console.say(f"no edit that may be made mends this ({found.trials} tried); the remedies of")
        console.say(f"`coverplate check {path}` say what a person can do")
        return
    console.say("the nearest recipe in which nothing forbids:")
    for edit, was in zip(found.edits, found.was, strict=True):
        console.say(f"    {shown(edit)}" + (f"   (was {was})" if was and edit.value is not None else ""))
    warns = sum(f.severity is Severity.WARNS for f in found.after.findings)
    left = f"{warns} warning{'s are' if warns > 1 else ' is'} left" if warns else "no warning is left"
    console.say(f"    {left}" + (", these only now:" if found.new_warnings else ""))
    for sentence in found.new_warnings:
        console.say(f"        {sentence}")
    end = "written" if wrote else "nothing was written; --write puts these edits into the recipe"
    console.say(f"{path}: {end}")
