"""The kernel's targets, column for column, with what is reached here: offsets of the hard outlines, booleans, times."""

from __future__ import annotations

import json
import statistics
import sys
import time
from itertools import pairwise
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT)]

from generator.outline.combine import difference, intersection, union  # noqa: E402
from generator.outline.contour import Contour  # noqa: E402
from generator.outline.measure import area  # noqa: E402
from generator.outline.offset import offset_region  # noqa: E402
from generator.outline.region import Region  # noqa: E402


def outlines():
    for file in sorted((ROOT / "tests/data/outlines").glob("*.json")):
        data = json.loads(file.read_text(encoding="utf-8"))
        loops = [Contour.of(c) for r in data["regions"] for c in (r["outer"], *r["holes"])]
        yield data, Region.of(loops)


def main() -> None:
    times: dict[str, list[float]] = {"up to 50 segments": [], "up to 200": [], "5,000, traced": []}
    worst, loops_wrong, cases, outside = 0.0, 0, 0, []
    regions = []
    for data, region in outlines():
        regions.append(region)
        n = data["segments"]
        group = "up to 50 segments" if n <= 50 else "up to 200" if n <= 250 else "5,000, traced"
        for ref in data["offsets"]:
            start = time.perf_counter()
            grown = offset_region(region, ref["d"])
            times[group].append(time.perf_counter() - start)
            cases += 1
            loops_wrong += len(grown) != ref.get("loops", ref["loops_ref"])
            if "area_exact" in ref:
                worst = max(worst, abs(area(grown) - ref["area_exact"]))
            if abs(area(grown) - ref["area_ref"]) > ref["area_err"]:
                outside.append(f"{data['name']} at {ref['d']}")
    print(f"offsets: {cases} cases; loops wrong in {loops_wrong}; worst area against exact references {worst:.1e} mm²")
    print(f"area outside the stated bound of the facet reference: {', '.join(outside) or 'none'}")
    for group, seconds in times.items():
        if seconds:
            print(
                f"time, {group}: median {1e3 * statistics.median(seconds):.1f} ms, longest {1e3 * max(seconds):.1f} ms"
            )
    identity = 0.0
    for a, b in pairwise(regions):
        both, either, rest = area(intersection(a, b)), area(union(a, b)), area(difference(a, b))
        identity = max(identity, abs(area(a) + area(b) - either - both), abs(area(a) - rest - both))
    print(f"booleans: worst area identity over {len(regions) - 1} pairs {identity:.1e} mm² (target 1e-6)")


if __name__ == "__main__":
    main()
