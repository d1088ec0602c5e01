"""``make bench``: ratios in one run, on this machine, against ``import cadquery`` and a plain cadquery script.

Every process is started anew; each ratio is the median over pairs run one after the other, so that a machine whose
speed drifts does not decide it. Targets are printed beside the figures; nothing here is a test.
"""

from __future__ import annotations

import compileall
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
RECIPE = "recipes/gate-latch.yaml"
PAIRS = 3
SCAN = "tests/data/scans/s02-three-hole-flange-300"
NO_PICTURES = "step,layers-dxf"
NO_SHEETS = "step,layers-dxf,previews,plan-svg"


def once(args: list[str]) -> tuple[float, float]:
    """Run ``args`` in the project's folder; return seconds on the clock and peak memory in MB."""
    start = time.perf_counter()
    child = subprocess.Popen([sys.executable, *args], cwd=ROOT, stdout=subprocess.DEVNULL)
    _, status, usage = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode not in (0, 1):
        raise SystemExit(f"{args} ended with {child.returncode}")
    return time.perf_counter() - start, usage.ru_maxrss / 1024


def ratio(name: str, ours: list[str], base: list[str], target: float) -> None:
    """Print the median ratio of ``ours`` to ``base`` over pairs, beside its target."""
    once(ours)
    once(base)
    pairs = [(once(ours), once(base)) for _ in range(PAIRS)]
    ratios = [a[0] / b[0] for a, b in pairs]
    seconds = statistics.median(a[0] for a, _ in pairs), statistics.median(b[0] for _, b in pairs)
    memory = max(a[1] for a, _ in pairs)
    verdict = "reached" if statistics.median(ratios) <= target else "MISSED"
    print(
        f"{name:52s} {statistics.median(ratios):6.2f} x  (target {target:.2f}, {verdict}; "
        f"{seconds[0]:.2f} s / {seconds[1]:.2f} s, spread {min(ratios):.2f} to {max(ratios):.2f}, peak {memory:.0f} MB)"
    )


def command(*args: str) -> list[str]:
    return ["-m", "generator.cli", *args]


def fresh_build(folder: str, *more: str) -> list[str]:
    """A build that never finds its pack: a new output folder is made inside the process."""
    code = (
        "import sys, tempfile; from generator.cli import main; "
        f"out = tempfile.mkdtemp(dir={folder!r}); sys.exit(main(['build', {RECIPE!r}, '--out', out, *{list(more)!r}]))"
    )
    return ["-c", code]


def fresh_trace(folder: str) -> list[str]:
    """A scan and its readings traced, all files written."""
    return command("trace", f"{SCAN}/image.png", "--readings", f"{SCAN}/caliper.yaml", "--out", folder)


def main() -> None:
    importing = ["-c", "import cadquery"]
    with tempfile.TemporaryDirectory() as folder:
        plain = ["tests/bench/plain_script.py", os.path.join(folder, "plain")]
        kept = command("build", RECIPE, "--out", os.path.join(folder, "kept"))
        # libraries come with their bytecode, so this package gets it before anything is timed
        compileall.compile_dir(ROOT / "generator", quiet=1)
        once(kept)
        print(f"{os.cpu_count()} cores, Python {sys.version.split()[0]}, {PAIRS} pairs each\n")
        ratio("check, cold / import cadquery", command("check", RECIPE), importing, 0.25)
        ratio("build again, unchanged / import cadquery", kept, importing, 0.3)
        ratio("cold build without pictures / plain script", fresh_build(folder, "--outputs", NO_PICTURES), plain, 1.3)
        without = fresh_build(folder, "--outputs", NO_SHEETS)
        ratio("cold build with all pictures / plain script", without, plain, 2.5)
        ratio("cold build with all sheets / without them", fresh_build(folder), without, 1.2)
        scan = ["tests/bench/plain_contours.py", f"{SCAN}/image.png"]
        ratio("trace of a 300 dpi scan / contours by scikit-image", fresh_trace(folder), scan, 5.0)
        _, peak = once(fresh_build(folder))
        print(f"{'peak memory of a build':52s} {peak:6.0f} MB (target 700)")
    for script in (
        "typical_part.py",
        "kernel_table.py",
        "shapes_table.py",
        "lettering_table.py",
        "fit_table.py",
        "checks_table.py",
        "family_table.py",
    ):
        print(f"\n== {script}", flush=True)
        subprocess.run([sys.executable, str(ROOT / "tests" / "bench" / script)], cwd=ROOT, check=True)


if __name__ == "__main__":
    main()
