"""Reading the recipes of variants that are not to be made yet, on all cores: most of a dry run of thousands."""

from __future__ import annotations

import gc
import json
import os
import queue
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from typing import IO, Any, Final

from generator.base.errors import RecipeError
from generator.base.process import RARE
from generator.build.reading import read
from generator.family.crew import environment
from generator.family.told import first_told

__all__ = ["mistakes_of"]

FEW: Final = 300
"""So many are read here before another process would be ready."""
READER: Final = (sys.executable, "-m", "generator.family.readers")
"""Command that starts a reader."""

Watch = Callable[[int, int, int], None]
"""Told how many recipes are read, of how many, and how many of them have mistakes."""


def mistakes_of(
    recipe: str, sets: Sequence[tuple[str, ...]], jobs: int, watch: Watch, reader: Sequence[str] = READER
) -> list[str]:
    """Return what is wrong with a recipe with each of ``sets`` laid over it, a sentence each; empty where nothing is.

    Args:
        recipe: path.
        sets: of each variant.
        jobs: how many processes may read.
        watch: told of every one.
        reader: command that starts a reader; what it does not answer is read here.
    """
    found: dict[int, str] = {}
    wrong = 0

    def note(number: int, mistake: str) -> None:
        nonlocal wrong
        found[number] = mistake
        wrong += bool(mistake)
        watch(len(found), len(sets), wrong)

    at_once = min(jobs, len(sets) // FEW + 1)
    if at_once > 1:
        _ask(recipe, sets, at_once, note, reader)
    for number, of_one in enumerate(sets):
        if number not in found:
            note(number, _mistake(recipe, of_one))
    return [found[n] for n in range(len(sets))]


def _mistake(recipe: str, sets: Sequence[str]) -> str:
    try:
        read(recipe, sets=sets)
    except RecipeError as error:
        return first_told(error)
    return ""


def _ask(
    recipe: str, sets: Sequence[tuple[str, ...]], jobs: int, note: Callable[[int, str], None], reader: Sequence[str]
) -> None:
    """Have ``jobs`` processes read, one variant after another each, and note what they answer."""
    answers: queue.Queue[str | None] = queue.Queue()
    at_work: list[subprocess.Popen[bytes]] = []
    waiting = set(range(len(sets)))
    try:
        for first in range(jobs):
            with tempfile.TemporaryFile() as asked:
                asked.writelines(_line([n, sets[n]]) for n in range(first, len(sets), jobs))
                asked.seek(0)
                at_work.append(_started(recipe, asked, reader))
            threading.Thread(target=_listen, args=(at_work[-1], answers), daemon=True).start()
        running = jobs
        while running:
            line = answers.get()
            if line is None:
                running -= 1
                continue
            with suppress(ValueError, TypeError):
                number, mistake = json.loads(line)
                if number in waiting:
                    waiting.remove(number)
                    note(number, str(mistake))
    finally:
        for process in at_work:
            process.kill()
            process.wait()


def _started(recipe: str, asked: IO[bytes], reader: Sequence[str]) -> subprocess.Popen[bytes]:
    apart = os.name == "posix"  # a terminal's Ctrl-C is not for it
    return subprocess.Popen(
        [*reader, recipe],
        stdin=asked,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=environment(),
        start_new_session=apart,
    )


def _listen(process: subprocess.Popen[bytes], answers: queue.Queue[str | None]) -> None:
    assert process.stdout is not None
    with suppress(OSError, ValueError), process.stdout as lines:
        for line in lines:
            answers.put(line.decode("utf-8", "replace"))
    answers.put(None)


def _line(value: Any) -> bytes:
    return json.dumps(value).encode() + b"\n"


def main() -> None:
    """Answer every line of the input, number and sets, with a line: number and mistake. Argument: the recipe."""
    gc.set_threshold(*RARE)
    for line in sys.stdin.buffer:
        number, sets = json.loads(line)
        sys.stdout.buffer.write(_line([number, _mistake(sys.argv[1], sets)]))
        sys.stdout.buffer.flush()


if __name__ == "__main__":
    main()
