"""``coverplate build``: packs from recipes."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from generator.base.errors import CoverplateError, RecipeError
from generator.build.pack_up import Built, build
from generator.cli import codes
from generator.cli.check import answer, verdict
from generator.cli.printer import printer_of, sets_of
from generator.cli.recipes import expand
from generator.cli.tell import Console, mistake_data


def run(options: argparse.Namespace, console: Console) -> int:
    """Build every recipe, go on after one that fails, and return the worst exit code."""
    outputs = [o.strip() for o in options.outputs.split(",") if o.strip()]
    options.sets = [*sets_of(printer_of(options)), *options.sets]
    paths = expand(options.recipes)
    worst = codes.FINE
    answers: list[dict[str, Any]] = []
    made: dict[str, str] = {}
    for number, path in enumerate(paths, 1):
        if len(paths) > 1:
            console.progress(f"{number} of {len(paths)}: {path}")
        code, said = _one(path, options, outputs, console, made)
        worst = max(worst, code)
        answers.append(said)
    if console.json:
        console.document({"recipes": answers})
    return worst


def _one(
    path: str, options: argparse.Namespace, outputs: list[str], console: Console, made: dict[str, str]
) -> tuple[int, dict[str, Any]]:
    """Build one recipe; return its exit code and JSON answer."""
    try:
        built = build(path, out=options.out, sets=options.sets, outputs=outputs, progress=console.progress, taken=made)
    except RecipeError as error:
        if not console.json:
            console.mistakes(error)
        return codes.WRONG, {"recipe": path, "status": "wrong", "mistakes": [mistake_data(m) for m in error.mistakes]}
    except CoverplateError as error:
        if options.debug:
            raise
        console.problem(f"{path}: {error}")
        return codes.INTERNAL, {"recipe": path, "status": "failed", "why": str(error)}
    if not console.json:
        _tell(path, built, console)
    code = verdict(built.checked)
    return code, answer(path, built.checked) | _answer(built)


def _answer(built: Built) -> dict[str, Any]:
    return {
        "folder": str(built.folder) if built.folder else None,
        "unchanged": built.was_current,
        "files": list(built.files),
        "proofs": [
            {"what": p.what, "feature": p.feature, "deviation": p.deviation, "limit": p.limit, "unit": p.unit}
            for p in built.proofs
        ],
    }


def _tell(path: str, built: Built, console: Console) -> None:
    console.findings(built.checked)
    if built.folder is None:
        print(f"{path}: not built: a finding forbids it; any earlier pack is as it was", file=sys.stderr)
        return
    if built.was_current:
        console.say(f"{path}: unchanged: {len(built.files)} files in {built.folder} verified")
        return
    console.say(f"{path}: built {built.folder}{Path('/')}")
    for file in built.files:
        console.say(f"    {file}")
    console.say(f"  proven, {len(built.proofs)} comparisons; the closest calls:")
    for p in sorted(built.proofs, key=lambda p: -p.deviation / p.limit if p.limit else 0.0)[:6]:
        console.say(f"    {p.what} ({p.feature}): {p.deviation:.2g}, limit {p.limit:.2g} {p.unit}")
    console.say(
        "  The cover is cosmetic: it never replaces, thins or bears for the original. "
        "Read the cautions in report.md before you cut."
    )
