"""Families as ratios in one run: against a plain script that loops over the same parts, against themselves.

``python tests/bench/family_table.py [VARIANTS]`` (24 without one; the figures to reach are for 200).
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
OUTPUTS = "step,layers-dxf"
FINE, FINER = "fine: {kind: end mill, diameter: 0.8, ", "fine: {kind: end mill, diameter: 0.5, "
"""Numbers of three digits are too small for the demo's cutter."""


def timed(*words: str) -> tuple[float, float]:
    """Run a command; return seconds on the clock and of the processors."""
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    done = subprocess.run([sys.executable, *words], cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"{words}: {done.stdout}{done.stderr}")
    wall, after = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def family(folder: Path, count: int, *, changed: bool = False) -> Path:
    """Write a family of numbers over the demo's recipe, which lies beside it."""
    recipe = (ROOT / "recipes" / "gate-latch.yaml").read_text(encoding="utf-8")
    assert FINE in recipe
    (folder / "gate-latch.yaml").write_text(recipe.replace(FINE, FINER), encoding="utf-8")
    path = folder / "plots.yaml"
    more = "overrides: [{where: {plot: 21}, set: {cover.edge_break: 0.5}}]\n" if changed else ""
    text = "family: plots\nrecipe: gate-latch.yaml\nnames: plot-{plot}\n"
    path.write_text(f"{text}ranges: {{plot: {{first: 21, last: {20 + count}}}}}\n{more}", encoding="utf-8")
    return path


def made(path: Path, out: str, *more: str) -> tuple[float, float]:
    words = (
        "-m",
        "generator.cli",
        "family",
        str(path),
        "--out",
        str(path.parent / out),
        "--outputs",
        OUTPUTS,
        "--quiet",
    )
    return timed(*words, *more)


def told(name: str, value: float, target: float, *, at_least: bool = False) -> None:
    reached = value >= target if at_least else value <= target
    print(f"{name:66s} {value:7.3f}  (target {target:g}, {'reached' if reached else 'MISSED'})")


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 24
    print(f"{count} variants that differ in text, {OUTPUTS} and report; {os.cpu_count()} cores\n")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path = family(folder, count)
        plain = timed("tests/bench/plain_family.py", str(folder / "plain"), "21", str(20 + count))
        two = made(path, "two", "--jobs", "2")
        told("throughput of two workers / a plain script in one process", plain[0] / two[0], 5.0, at_least=True)
        print(
            f"{'':66s} by the clock {plain[0]:.1f} s / {two[0]:.1f} s, by processors {plain[1]:.1f} s / {two[1]:.1f} s"
        )
        again = made(path, "two", "--jobs", "2")
        told("nothing changed / first run", again[0] / two[0], 0.02)
        one_build = timed(
            "-m",
            "generator.cli",
            "build",
            str(folder / "gate-latch.yaml"),
            "--out",
            str(folder / "one"),
            "--outputs",
            OUTPUTS,
        )
        path = family(folder, count, changed=True)
        told("one changed row / one build", made(path, "two", "--jobs", "2")[0] / one_build[0], 1.5)
        path = family(folder, count)
        one = made(path, "one-worker", "--jobs", "1", "--store", str(folder / "another"))
        told("two workers / one worker", one[0] / two[0], 1.85, at_least=True)


if __name__ == "__main__":
    main()
