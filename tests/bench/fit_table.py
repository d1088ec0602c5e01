"""Times of the fit on the original: ``python tests/bench/fit_table.py``; medians of eleven, warm, this machine.

The aim: the chance with 10,000 samples in at most 300 ms.
"""

from __future__ import annotations

import statistics
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from time import perf_counter

from generator.build.judge import check
from generator.checks.fit import CHECKS
from generator.fit.case import case_of
from generator.fit.chance import chance_of, clearance_for
from generator.fit.play import play_of

RECIPES = sorted((Path(__file__).parents[2] / "recipes").glob("*.yaml"))
SAMPLES = 10_000


def milliseconds(work: Callable[[], object]) -> float:
    """Return the median time of eleven runs, each reckoned anew."""
    times = []
    for _ in range(11):
        chance_of.cache_clear()
        play_of.cache_clear()
        start = perf_counter()
        work()
        times.append(1e3 * (perf_counter() - start))
    return statistics.median(times)


def main() -> None:
    """Print a row a demo recipe."""
    print("recipe                bolts   all checks  10,000 samples  0.1 mm only  clearance for 99.7 %   (ms)")
    for path in RECIPES:
        checked = check(path)
        recipe, plan = checked.reading.recipe, checked.plan
        case = case_of(recipe, plan)
        tight = replace(case, clearance_mm=0.1)
        row = (
            milliseconds(lambda r=recipe, p=plan: [list(c.run(r, p)) for c in CHECKS]),
            milliseconds(lambda c=case: chance_of(c, SAMPLES)),
            milliseconds(lambda c=tight: chance_of(c, SAMPLES)),
            milliseconds(lambda c=case: clearance_for(c, SAMPLES, 0.997)),
        )
        print(f"{path.stem:22s}{len(case.pins):5d}{row[0]:13.1f}{row[1]:16.1f}{row[2]:13.1f}{row[3]:22.1f}")


if __name__ == "__main__":
    main()
