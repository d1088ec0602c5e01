"""``coverplate family``: every variant of a family, and only what has changed."""

from __future__ import annotations

import argparse
from collections import Counter
from typing import Any

from generator.base.many import many
from generator.cli import codes
from generator.cli.progress_bar import ProgressBar
from generator.cli.tell import Console
from generator.family.crew import Limits
from generator.family.run import PACKS, Asked, Ran, Row, plan_family, run_family
from generator.family.strays import told_strays
from generator.family.task import FORBIDDEN, WRONG, Done

_CODES = {FORBIDDEN: codes.FORBIDDEN, WRONG: codes.WRONG}
MOST_TOLD = 30


def run(options: argparse.Namespace, console: Console) -> int:
    """Make the family, tell, and return the worst exit code of its variants."""
    asked = _asked(options)
    if options.dry_run:
        return _tell_plan(asked, console)
    bar = ProgressBar(shown=not console.json and not console.quiet)
    failed = 0

    def watch(done: Done, count: int, of: int) -> None:
        nonlocal failed
        if not done.is_good:
            failed += 1
            bar.say(f"{done.name}: {done.status}: {done.why}")
        bar.show(count, of, failed)

    try:
        ran = run_family(asked, watch)
    finally:
        bar.end()
    for trouble in filter(None, (ran.store_trouble, told_strays(ran.folder / PACKS, ran.proof.strays))):
        console.problem(trouble)
    if console.json:
        console.document(_document(ran))
    else:
        _tell(ran, console)
    return max((_code(r.done) for r in ran.rows if r.is_chosen and r.done), default=codes.FINE)


def _asked(options: argparse.Namespace) -> Asked:
    outputs = tuple(o.strip() for o in options.outputs.split(",") if o.strip())
    jobs = {"jobs": options.jobs} if options.jobs else {}
    return Asked(
        options.family,
        out=options.out,
        only=tuple(options.only),
        outputs=outputs,
        keep_going=options.keep_going,
        limits=Limits(seconds=options.limit),
        store=options.store,
        scheduler=options.scheduler,
        **jobs,
    )


def _code(done: Done) -> int:
    return codes.FINE if done.is_good else _CODES.get(done.status, codes.INTERNAL)


def _tell_plan(asked: Asked, console: Console) -> int:
    bar = ProgressBar(shown=not console.json and not console.quiet)
    try:
        planned = plan_family(asked, bar.show)
    finally:
        bar.end()
    due = [r for r in planned.rows if r.is_due]
    wrong = sum(bool(r.mistake) for r in due)
    code = codes.WRONG if wrong else codes.FINE
    if console.json:
        rows = [_planned_row(r) for r in planned.rows]
        others, unused = list(planned.strangers), list(planned.unused)
        console.document({"family": planned.family.file.family, "variants": rows, "others": others, "unused": unused})
        return code
    for row in due:
        console.say(f"{row.variant.name}: {row.why}")
        if row.mistake:
            console.say(f"    {row.variant.place}: its recipe has a mistake: {row.mistake}")
    chosen = sum(r.is_chosen for r in planned.rows)
    console.say(f"{asked.path}: {len(due)} of {many(chosen, 'variant')} would be made; nothing was written")
    if wrong:
        console.say(f"  {wrong} of them would not be: their recipes have mistakes")
    _tell_unused(planned.unused, console)
    _tell_strangers(planned.strangers, console)
    return code


def _planned_row(r: Row) -> dict[str, Any]:
    why = r.why if r.is_chosen else ""
    told = {"name": r.variant.name, "chosen": r.is_chosen, "why": why, "sets": list(r.made.sets)}
    return {**told, "mistake": r.mistake} if r.mistake else told


def _tell(ran: Ran, console: Console) -> None:
    chosen = [r for r in ran.rows if r.is_chosen]
    counts = Counter(r.done.status if r.done else "not made" for r in chosen)
    console.say(f"{ran.family.path}: {', '.join(f'{n} {word}' for word, n in counts.items())}; in {ran.folder}/")
    for row in _failed(chosen)[:MOST_TOLD]:
        assert row.done
        console.say(f"    {row.variant.name} ({row.variant.place}): {row.done.status}: {row.done.why}")
    if len(_failed(chosen)) > MOST_TOLD:
        console.say(f"    and {len(_failed(chosen)) - MOST_TOLD} more: see family.csv")
    if ran.stopped:
        console.say("  stopped at the first failure; run again to go on with the rest")
    console.say(f"  {ran.proof.sentence()}")
    for name in ran.files:
        console.say(f"    {ran.folder / name}")
    _tell_unused(ran.unused, console)
    _tell_strangers(ran.strangers, console)


def _tell_unused(unused: tuple[str, ...], console: Console) -> None:
    for sentence in unused:
        console.say(f"  {sentence}")


def _failed(rows: list[Row]) -> list[Row]:
    return [r for r in rows if r.done and not r.done.is_good]


def _tell_strangers(strangers: tuple[str, ...], console: Console) -> None:
    if strangers:
        named = ", ".join(strangers[:5]) + (f" and {len(strangers) - 5} more" if len(strangers) > 5 else "")
        console.say(f"  packs that no variant of the family has any more, left as they are: {named}")


def _document(ran: Ran) -> dict[str, Any]:
    return {
        "family": ran.family.file.family,
        "folder": str(ran.folder),
        "stopped": ran.stopped,
        "proof": {"packs": ran.proof.packs, "comparisons": ran.proof.comparisons, "alike": ran.proof.alike},
        "files": list(ran.files),
        "variants": [
            {
                "name": r.variant.name,
                "chosen": r.is_chosen,
                "status": r.done.status if r.done else "not made",
                "why": r.done.why if r.done else "",
                "seconds": r.done.seconds if r.done else 0.0,
            }
            for r in ran.rows
        ],
        "others": list(ran.strangers),
        "strays": list(ran.proof.strays),
        "unused": list(ran.unused),
    }
