"""``coverplate handoff``: the one zip that goes to the shop."""

from __future__ import annotations

import argparse
import sys
from typing import Any

from generator.build.handoff.handoff import HandedOff, handoff
from generator.cli.check import answer, verdict
from generator.cli.tell import Console


def run(options: argparse.Namespace, console: Console) -> int:
    """Hand over, tell, and return the exit code."""
    done = handoff(options.recipe, out=options.out, sets=options.sets, progress=console.progress)
    if console.json:
        console.document(answer(options.recipe, done.checked) | _answer(done))
    else:
        _tell(options.recipe, done, console)
    return verdict(done.checked)


def _tell(recipe: str, done: HandedOff, console: Console) -> None:
    console.findings(done.checked)
    for path, sentence in done.missing:
        console.problem(f"warns: {path}: {sentence}")
    if done.path is None or done.agreed is None:
        print(f"{recipe}: nothing handed over: a finding forbids it; any earlier zip is as it was", file=sys.stderr)
        return
    console.say(f"{recipe}: handed over in {done.path}")
    for file in done.files:
        console.say(f"    {file}")
    console.say(
        f"  {done.agreed.numbers} numbers read back from {len(done.agreed.files)} files "
        f"({done.agreed.statements} figures) agree"
    )


def _answer(done: HandedOff) -> dict[str, Any]:
    return {
        "zip": str(done.path) if done.path else None,
        "files": list(done.files),
        "missing": [{"path": path, "why": sentence} for path, sentence in done.missing],
        "numbers": done.agreed.numbers if done.agreed else 0,
        "figures": done.agreed.statements if done.agreed else 0,
    }
