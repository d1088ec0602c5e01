"""Outer shapes round all eight originals with margins of 2, 5, 9 and 15 mm: times of each kind, and its least wall."""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT)]

from generator.base.errors import GeometryError  # noqa: E402
from generator.shapes.outer import OUTER_SHAPES  # noqa: E402
from tests.shapes.outer.walls import NAMES, around, exact_wall  # noqa: E402
from tests.shapes.recipe_form import drawn  # noqa: E402

MARGINS = (2, 5, 9, 15)
TARGET_MS = 25.0
NEEDS = {"pointed": {"direction": 60, "reach": 130}}


def main() -> None:
    print(f"outer shapes: {len(NAMES)} originals, margins {MARGINS} mm; target {TARGET_MS:g} ms each, warm")
    for shape in OUTER_SHAPES:
        times, least, failed = [], float("inf"), 0
        for name in NAMES:
            context = around(name)
            for margin in MARGINS:
                spec = {shape.name: {"margin": margin, **NEEDS.get(shape.name, {})}}
                try:
                    drawn(spec, context)
                    start = time.process_time()
                    outer = drawn(spec, context)
                    times.append(1e3 * (time.process_time() - start))
                except GeometryError:
                    failed += 1
                    continue
                least = min(least, exact_wall(outer, name) - margin)
        verdict = "reached" if max(times) <= TARGET_MS else "MISSED"
        print(
            f"{shape.name:16s} median {statistics.median(times):5.1f} ms, longest {max(times):5.1f} ms ({verdict}); "
            f"wall less margin at least {1e3 * least:+.4f} µm; failures {failed}"
        )


if __name__ == "__main__":
    main()
