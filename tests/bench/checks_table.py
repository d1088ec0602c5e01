"""Times of all checks on every demo recipe: ``python tests/bench/checks_table.py``; everything reckoned anew.

The aim: all checks on a demo recipe, warm, in at most 150 ms. Processor time, so that others on the machine count less.
"""

from __future__ import annotations

import functools
import gc
import statistics
import sys
from pathlib import Path
from time import process_time

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT)]

from generator.build.judge import read  # noqa: E402
from generator.checks import CHECKS  # noqa: E402
from generator.part.plan import make_plan  # noqa: E402
from generator.shapes.shape import NoFiles  # noqa: E402

TARGET_MS = 150.0
RUNS = 5
SLOWEST = 4


def forget() -> None:
    """Empty every memory of answers, as in a process that has loaded all and judged nothing yet."""
    for found in gc.get_objects():
        if isinstance(found, functools._lru_cache_wrapper) and found.__module__.startswith("generator."):
            found.cache_clear()


def main() -> None:
    """Print a row a demo recipe: all checks, and the slowest of them."""
    print(f"all {len(CHECKS)} checks, medians of {RUNS}; target {TARGET_MS:g} ms")
    for path in sorted((ROOT / "recipes").glob("*.yaml")):
        rows = [_times(path) for _ in range(RUNS)]
        whole = statistics.median(sum(row.values()) for row in rows)
        each = {name: statistics.median(row[name] for row in rows) for name in rows[0]}
        slowest = sorted(each.items(), key=lambda x: -x[1])[:SLOWEST]
        told = ", ".join(f"{name} {ms:.0f}" for name, ms in slowest)
        print(f"{path.stem:16s}{whole:7.1f} ms ({'reached' if whole <= TARGET_MS else 'MISSED'})   {told}")


def _times(path: Path) -> dict[str, float]:
    """Return the milliseconds of each check."""
    reading = read(path)
    recipe, plan = reading.recipe, make_plan(reading.recipe, files=NoFiles())  # regions remember: a new one each time
    forget()
    times = {}
    for one in CHECKS:
        start = process_time()
        list(one.run(recipe, plan))
        times[one.id] = 1e3 * (process_time() - start)
    return times


if __name__ == "__main__":
    main()
