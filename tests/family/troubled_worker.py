"""A worker in trouble, for tests: what the name of a variant says happens to it, before it is made as ever.

``crash``: the process ends as by a fault in the kernel; ``hang``: it loops for ever in code that answers to nothing;
``once``: it crashes the first time alone; ``fat``: it takes memory until the system refuses; ``slow``: it waits.
"""

from __future__ import annotations

import os
import signal
import sys
import time
from dataclasses import replace
from pathlib import Path

from generator.family import make_variant as made_where
from generator.family import worker
from generator.family.task import Done, Task

GROWN_MB = 10_000.0


def make_variant(task: Task) -> Done:
    name = task.name
    if "crash" in name:
        os.kill(os.getpid(), signal.SIGSEGV)
    if "hang" in name:
        signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGTERM, signal.SIGINT})
        while True:
            pass
    if "once" in name:
        mark = Path(task.out) / f".{name}-tried"
        if not mark.exists():
            mark.touch()
            os._exit(3)
    if "fat" in name:
        held = []
        try:
            while True:
                held.append(bytearray(50_000_000))
        except MemoryError:
            held.clear()
            return Done(name, "failed", why="out of memory")
    if "slow" in name:
        time.sleep(0.3)
    if "chatter" in name:
        os.write(1, b'{"name": "printed by a library"}\n')
        print("said in vain")
    done = Done(name, "built", why=str(os.getpid())) if "--pretend" in PRETEND else made_where.make_variant(task)
    return replace(done, rss_mb=GROWN_MB) if "grown" in name else done


PRETEND = [a for a in sys.argv[1:] if a == "--pretend"]
sys.argv = [a for a in sys.argv if a != "--pretend"]
worker.make_variant = make_variant  # type: ignore[attr-defined]

if __name__ == "__main__":
    worker.main()
