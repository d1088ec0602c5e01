"""``coverplate check``: mistakes and findings of recipes, without solids."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from generator.base.errors import GeometryError, OutputError, RecipeError
from generator.base.whole_file import write_whole
from generator.build.judge import Checked, check
from generator.cli import codes
from generator.cli.recipes import expand
from generator.cli.tell import Console, finding_data, mistake_data


def run(options: argparse.Namespace, console: Console) -> int:
    """Check every recipe, or explain a check, and return the worst exit code."""
    if options.explain:
        return _explain(options.explain, console)
    if not options.recipes:
        console.problem("name a recipe to check, or a check with --explain")
        return codes.WRONG
    paths = expand(options.recipes)
    for word, asked in (("--plan draws one plan", options.plan), ("--templates prints one plan", options.templates)):
        if asked and len(paths) != 1:
            console.problem(f"{word}, and {len(paths)} recipes are named; check them one at a time")
            return codes.WRONG
    worst = codes.FINE
    answers: list[dict[str, Any]] = []
    for path in paths:
        try:
            checked = check(path, sets=options.sets)
        except RecipeError as error:
            worst = max(worst, codes.WRONG)
            answers.append({"recipe": path, "status": "wrong", "mistakes": [mistake_data(m) for m in error.mistakes]})
            if not console.json:
                console.mistakes(error)
            continue
        worst = max(worst, verdict(checked))
        answers.append(answer(path, checked))
        if not console.json:
            _tell(path, checked, console)
        if options.plan:
            _draw(options.plan, checked, console)
        if options.templates:
            _print(options.templates, checked, console)
    if console.json:
        console.document({"recipes": answers})
    return worst


def _explain(name: str, console: Console) -> int:
    """Print what a check is about; a name that no check has gets the nearest one."""
    from generator.build.check_pages import explained, unknown

    try:
        text = explained(name)
    except KeyError:
        console.problem(unknown(name))
        return codes.WRONG
    if console.json:
        console.document({"check": name, "explanation": text})
    else:
        print(text)
    return codes.FINE


def _draw(file: str, checked: Checked, console: Console) -> None:
    """Write the plan with its findings to a file; what forbids building is drawn as well.

    Raises: OutputError: the plan cannot be drawn, or the file cannot be written.
    """
    from generator.build.draw_plan import drawn_plan

    try:
        text = drawn_plan(checked)
    except GeometryError as error:
        raise OutputError(f"the plan cannot be drawn before what forbids it is mended: {error}") from error
    try:
        write_whole(Path(file), text.encode("utf-8"))
    except OSError as error:
        raise OutputError(f"{file} cannot be written: {error.strerror}") from error
    console.say(f"wrote {file}: the plan with its findings at their places")


def _print(folder: str, checked: Checked, console: Console) -> None:
    """Write the 1:1 prints into a folder; those of a plan that may not be built say so on every sheet.

    Raises:
        RecipeError: the paper is too small for one.
        OutputError: they cannot be drawn or written.
    """
    from generator.build.print_templates import printed_templates

    try:
        files = printed_templates(checked)
    except GeometryError as error:
        raise OutputError(f"the prints cannot be drawn before what forbids them is mended: {error}") from error
    for name, data in files.items():
        file = Path(folder) / name
        try:
            file.parent.mkdir(parents=True, exist_ok=True)
            write_whole(file, data)
        except OSError as error:
            raise OutputError(f"{file} cannot be written: {error.strerror}") from error
    marked = "; each sheet says that nothing may be cut by it yet" if checked.forbids else ""
    console.say(f"wrote {len(files)} 1:1 prints to {folder}{marked}")


def verdict(checked: Checked) -> int:
    """Return the exit code that the checks call for."""
    if any(o.crash for o in checked.outcomes):
        return codes.INTERNAL
    return codes.FORBIDDEN if checked.forbids else codes.FINE


def answer(path: str, checked: Checked) -> dict[str, Any]:
    """Return the JSON answer for one checked recipe."""
    return {
        "recipe": path,
        "name": checked.plan.name,
        "status": "forbidden" if checked.forbids else "fine",
        "findings": [finding_data(f, checked.place_of(f)) for f in checked.findings],
        "crashed_checks": [{"check": o.check, "why": o.crash} for o in checked.outcomes if o.crash],
    }


def _tell(path: str, checked: Checked, console: Console) -> None:
    counts = {s: sum(f.severity.value == s for f in checked.findings) for s in ("forbids", "warns", "notes")}
    console.findings(checked)
    for o in checked.outcomes:
        if o.crash:
            console.problem(f"check {o.check} failed (our fault, the others went on): {o.crash}")
    told = ", ".join(f"{n} {s}" for s, n in counts.items() if n) or "nothing found"
    console.say(f"{path}: {checked.plan.name}: {len(checked.outcomes)} checks, {told}")
