"""Families as ratios in one run: against a plain script that loops over the same parts, against themselves.

``python tests/bench/family_table.py [VARIANTS]`` (24 without one; the figures to reach are for 200), or
``python tests/bench/family_table.py growth [VARIANTS]`` (2,000 against 50, numbers of four digits).
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


GROWTH = """
import resource, sys
from generator.cli import main
code = main(sys.argv[1:])
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, file=sys.stderr)
sys.exit(code)
"""


def grown(folder: Path, count: int) -> tuple[float, float]:
    """Return seconds a variant, what comes back included, and MB of the main process; numbers of four digits."""
    path = family(folder, 1)
    text = path.read_text(encoding="utf-8").replace("first: 21, last: 21", f"first: 1000, last: {999 + count}")
    path.write_text(text, encoding="utf-8")
    out, store = str(folder / f"out-{count}"), str(folder / f"store-{count}")
    start = time.perf_counter()
    words = ["family", str(path), "--out", out, "--store", store, "--outputs", OUTPUTS, "--quiet", "--jobs", "2"]
    done = subprocess.run([sys.executable, "-c", GROWTH, *words], cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"{done.stdout}{done.stderr}")
    return (time.perf_counter() - start) / count, float(done.stderr.split()[-1])


def growth(many: int) -> None:
    with tempfile.TemporaryDirectory() as name:
        few = min(50, many)
        (one, _), (each, memory) = grown(Path(name), few), grown(Path(name), many)
        told(f"a variant of {many} / a variant of {few}", each / one, 1.1)
        told("main process, MB", memory, 400.0)
        print(f"{'':66s} seconds a variant by the clock: {one:.3f} and {each:.3f}")


def told(name: str, value: float, target: float, *, at_least: bool = False) -> None:
    reached = value >= target if at_least else value <= target
    print(f"{name:66s} {value:7.3f}  (target {target:g}, {'reached' if reached else 'MISSED'})")


def main() -> None:
    if sys.argv[1:2] == ["growth"]:
        growth(int(sys.argv[2]) if len(sys.argv) > 2 else 2000)
        return
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
