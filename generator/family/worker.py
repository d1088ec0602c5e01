"""A worker: a process that has loaded what it needs once, takes tasks as lines of JSON and answers with what was made.

It ends when nobody talks to it any more. Whatever libraries print goes to the error stream, so that it cannot be taken
for an answer. A task that takes too long ends the process by an alarm that needs no cooperation: code of the solid
kernel that loops for ever answers to nothing else.
"""

from __future__ import annotations

import faulthandler
import gc
import json
import os
import signal
import sys
from contextlib import suppress
from typing import IO, Final

from generator.base.process import RARE
from generator.family.make_variant import make_variant, memory_mb
from generator.family.task import READY, Task, done_text
from generator.outputs import OUTPUTS

try:
    import resource
except ImportError:  # not on Windows
    resource = None  # type: ignore[assignment]

__all__ = ["main"]

GRACE_S: Final = 5
"""Seconds after which the alarm goes off although whoever watches has not ended the worker."""


def main() -> None:
    """Serve until the input ends. Arguments: seconds that a task may take, MB that the process may hold, outputs."""
    seconds, memory, *outputs = sys.argv[1:]
    answers = _private_answers()
    faulthandler.enable()
    gc.set_threshold(*RARE)
    with suppress(ValueError, OSError):  # Ctrl-C is for the process that a person talks to
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    _bound_memory(float(memory))
    _load(outputs)
    _answer(answers, json.dumps({READY: memory_mb()}))
    for line in sys.stdin:
        data = json.loads(line)
        task = Task(**{**data, "sets": tuple(data["sets"]), "outputs": tuple(data["outputs"])})
        _alarm(float(seconds) + GRACE_S)
        done = make_variant(task)
        _alarm(0)
        _answer(answers, done_text(done))
    sys.stdout.flush()
    os._exit(0)  # taking the libraries down in order takes longer than it is worth


def _load(outputs: list[str]) -> None:
    """Load what the outputs need once, which takes longer than a variant does; the kernel comes if it is needed."""
    import generator.build.make_pack

    if any(o.output.needs_solid for o in OUTPUTS if not outputs or o.name in outputs):
        import generator.solid.solids  # noqa: F401


def _private_answers() -> IO[str]:
    """Return the output that answers go to, and send everything else that is printed to the error stream."""
    private = os.fdopen(os.dup(1), "w", encoding="utf-8", newline="\n")
    os.dup2(2, 1)
    return private


def _answer(answers: IO[str], text: str) -> None:
    try:
        answers.write(f"{text}\n")
        answers.flush()
    except OSError:  # nobody listens any more
        os._exit(0)


def _alarm(seconds: float) -> None:
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_REAL, seconds)


def _bound_memory(megabytes: float) -> None:
    if resource is None or megabytes <= 0:
        return
    _, hard = resource.getrlimit(resource.RLIMIT_DATA)
    soft = int(megabytes * 1e6)
    with suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_DATA, (soft if hard < 0 else min(soft, hard), hard))


if __name__ == "__main__":
    main()
