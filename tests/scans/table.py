"""Score traced footprints against the truth and print the figures beside those to reach.

``python -m tests.scans.table --corpus --simulated 5`` traces the corpus and five simulated cases of every kind. What
traces is the command line unless ``--tracer module:function`` names a function from a ``Case`` to a ``Traced``.
``--damaged 5`` traces five damaged cases of every kind and says which chips and burrs were listed. A figure beyond its
target has an ``!``. Beside it stands what is left up to a scale: two readings tell a scale no
better than they were read.
"""

from __future__ import annotations

import argparse
import importlib
import json
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from tests.scans.damage_cases import KINDS, damaged_case
from tests.scans.damage_lines import Seen, cell, damage_table, pixel_of
from tests.scans.damage_score import DamageScore, damage_score
from tests.scans.scan_cases import AT_DAMAGE, TARGETS, Case, corpus, simulated
from tests.scans.scan_relations import Kept, axes_kept, common_centres, tangent_joins
from tests.scans.scorer import Doubt, Listed, Score, Traced, read_dxf, score, shape_score

ROOT = Path(__file__).parents[2]
Tracer = Callable[[Case], Traced]


@dataclass(frozen=True)
class Row:
    """One traced case; no score if it could not be traced, and why; ``shape``: the score with a best scale freed."""

    case: Case
    seconds: float
    score: Score | None
    why: str = ""
    joins: Kept = Kept(0, 0, 0)
    centres: Kept = Kept(0, 0, 0)
    axes: Kept = Kept(0, 0, 0)
    shape: Score | None = None
    damage: DamageScore | None = None


def by_command(case: Case) -> Traced:
    """Trace by the command line, in a folder of its own, and read the DXF that it writes."""
    with tempfile.TemporaryDirectory() as kept:
        folder = Path(kept)
        images = [shutil.copy(p, folder / f"scan-{n}{p.suffix}") for n, p in enumerate(case.images)]
        shutil.copy(case.readings, folder / "caliper.yaml")
        words = ["trace", *(Path(p).name for p in images), "--readings", "caliper.yaml", "--reference", case.reference]
        done = subprocess.run(
            [sys.executable, "-m", "generator.cli", *words],
            cwd=folder,
            env=_environment(),
            capture_output=True,
            text=True,
        )
        made = sorted(folder.rglob("*.footprint.dxf"))
        if done.returncode or not made:
            said = (done.stderr or done.stdout).strip().splitlines()
            raise ValueError(said[-1] if said else f"exit code {done.returncode}, no footprint")
        traced = read_dxf(made[0])
        told = sorted(folder.rglob("*.trace.json"))
        return as_told(traced, json.loads(told[0].read_text(encoding="utf-8"))) if told else traced


def as_told(traced: Traced, figures: dict[str, Any]) -> Traced:
    """A traced footprint with the doubts and the damage that the figures tell."""
    listed = [Listed((d["at"][0], d["at"][1]), d["off"], d["length"]) for d in figures["damage"]]
    return replace(with_doubts(traced, figures), listed=listed)


def with_doubts(traced: Traced, figures: dict[str, Any]) -> Traced:
    """What the figures say of every arc and circle beside the edges of the DXF, which stand in the same order."""
    by_number = {f["number"]: f for f in figures["features"]}
    edges = [n for loop in (figures["outline"]["numbers"], *figures["openings"]) for n in loop]
    if len(edges) != len(traced.edges) or len(figures["holes"]) != len(traced.circles):
        return traced
    return replace(
        traced,
        edge_doubts=[_doubt(by_number[n]) for n in edges],
        circle_doubts=[_doubt(by_number[n]) for n in figures["holes"]],
    )


def _doubt(feature: dict[str, Any]) -> Doubt | None:
    if feature["kind"] == "line":
        return None
    # a centre that symmetry pins down in one direction has no spread there: a micrometre of rounding instead
    return Doubt(feature["radius_uncertainty_95"], np.array(feature["centre_covariance"]) + 1e-6 * np.eye(2))


def _environment() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(ROOT)}


def _spent() -> float:
    """Processor seconds of this process and its children, which a busy machine does not stretch."""
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.process_time() + children.ru_utime + children.ru_stime


def traced(case: Case, tracer: Tracer) -> Row:
    """Trace and score one case."""
    start = _spent()
    try:
        footprint = tracer(case)
    except Exception as error:  # one case that fails must not hide the others
        return Row(case, _spent() - start, None, f"{type(error).__name__}: {error}"[:150])
    seconds = _spent() - start
    try:
        s = score(case.truth, footprint)
    except ValueError as error:
        return Row(case, seconds, None, str(error))
    kept = [look(case.truth, footprint, s.place) for look in (tangent_joins, common_centres, axes_kept)]
    damage = damage_score(case.truth, footprint)
    return Row(case, seconds, s, "", *kept, shape_score(case.truth, footprint, s.place), damage)


def figures(row: Row) -> list[tuple[float, float]]:
    """Figures of a row, each with the one to reach: micrometres, then seconds."""
    s, t = row.score, TARGETS[row.case.kind]
    assert s is not None
    lengths = [
        (s.both.rms, t.rms), (s.both.p95, t.p95), (s.both.most, t.most), (s.diameter, t.diameter), (s.centre, t.centre),
    ]  # fmt: skip
    return [(1e3 * a, 1e3 * b) for a, b in lengths] + [(row.seconds, t.seconds)]


def up_to_scale(row: Row) -> list[float]:
    """The five lengths of a row with a best scale freed, micrometres."""
    s = row.shape
    assert s is not None
    return [1e3 * v for v in (s.both.rms, s.both.p95, s.both.most, s.diameter, s.centre)]


def line(row: Row) -> str:
    """One line of the table."""
    if row.score is None:
        return f"{row.case.name:44s} FAILED  {row.why}"
    s = row.score
    cells = [f"{value:7.1f}{'!' if value > most else ' '}" for value, most in figures(row)]
    counts = "exact" if s.counts == s.true_counts else _difference(s)
    holes = "" if s.holes[0] == s.holes[1] == s.holes[2] else f"  holes {s.holes[2]} of {s.holes[0]}"
    hurt = f"  {cell(row.damage, AT_DAMAGE)}" if row.damage and (row.damage.judged or row.damage.false) else ""
    covered = f"  covered {sum(s.covered)}/{len(s.covered)}" if s.covered else ""
    relations = f"  joins {_kept(row.joins)} centres {_kept(row.centres)} axes {_kept(row.axes)}"
    shape = f"  up to scale {' '.join(f'{v:.1f}' for v in up_to_scale(row))}"
    return f"{row.case.name:44s}{''.join(cells)}{shape}  {counts}{holes}{hurt}{relations}{covered}"


def _kept(k: Kept) -> str:
    return f"{k.found}/{k.true}" + (f"+{k.false} false" if k.false else "")


def _difference(s: Score) -> str:
    kinds = [(k, s.counts[k] - s.true_counts[k]) for k in ("lines", "arcs", "circles")]
    return " ".join(f"{n:+d} {k}" for k, n in kinds if n)


def _total(kept: list[Kept]) -> Kept:
    return Kept(sum(k.true for k in kept), sum(k.found for k in kept), sum(k.false for k in kept))


def summary(kind: str, rows: list[Row]) -> list[str]:
    """The worst of a kind beside its target, how many are exact, how much is covered."""
    good = [r for r in rows if r.score is not None]
    if not good:
        return [f"{kind}: none of {len(rows)} could be traced"]
    columns = list(zip(*(figures(r) for r in good), strict=True))
    worst = [max(value for value, _ in column) for column in columns]
    shapes = list(zip(*(up_to_scale(r) for r in good), strict=True))
    within = [sum(value <= most for value, most in column) for column in columns]
    exact = sum(r.score.counts == r.score.true_counts for r in good if r.score)
    covered = [c for r in good if r.score for c in r.score.covered]
    share = f", {100 * sum(covered) / len(covered):.0f} % of {len(covered)} intervals cover" if covered else ""
    kept = [_total([getattr(r, what) for r in good]) for what in ("joins", "centres", "axes")]
    return [
        f"{kind}: {len(good)} of {len(rows)} traced, {exact} with exact counts{share}; tangent joins {_kept(kept[0])}, "
        f"common centres {_kept(kept[1])}, axes {_kept(kept[2])}",
        f"{'  worst':44s}"
        + "".join(f"{w:7.1f}{'!' if w > c[0][1] else ' '}" for w, c in zip(worst, columns, strict=True)),
        f"{'  median':44s}" + "".join(f"{float(np.median([v for v, _ in c])):7.1f} " for c in columns),
        f"{'  worst up to scale':44s}" + "".join(f"{max(c):7.1f} " for c in shapes),
        f"{'  median up to scale':44s}" + "".join(f"{float(np.median(c)):7.1f} " for c in shapes),
        f"{'  to reach':44s}" + "".join(f"{c[0][1]:7.1f} " for c in columns),
        f"{'  within':44s}" + "".join(f"{n:4d}/{len(good):<3d}" for n in within),
    ]


def table(cases: list[Case], tracer: Tracer) -> list[Row]:
    """Trace and print all cases, then the worst of every kind."""
    names = ("RMS", "p95", "max", "diam", "centre", "s")
    print(f"{'micrometres':44s}" + "".join(f"{n:>7s} " for n in names))
    rows: list[Row] = []
    for case in cases:
        rows.append(traced(case, tracer))
        print(line(rows[-1]), flush=True)
    for kind in TARGETS:
        own = [r for r in rows if r.case.kind == kind]
        if own:
            print("\n" + "\n".join(summary(kind, own)))
    seen = [Seen(r.case.kind, pixel_of(r.case.truth), r.damage) for r in rows if r.damage]
    if any(d.score.judged or d.score.false for d in seen):
        print("\n" + "\n".join(damage_table(seen, AT_DAMAGE)))
    return rows


def main(words: list[str] | None = None) -> int:
    """Run the command; 1 if a case failed or lies beyond its target."""
    parser = argparse.ArgumentParser(prog="python -m tests.scans.table", description=__doc__)
    parser.add_argument(
        "--corpus", action="store_true", help="the six cases of tests/data/scans (also without options)"
    )
    parser.add_argument("--simulated", type=int, default=0, metavar="N", help="N simulated cases of every kind")
    parser.add_argument("--damaged", type=int, default=0, metavar="N", help="N damaged cases of every kind")
    parser.add_argument("--size", type=float, default=1.0, help="factor on the depth of their chips and burrs")
    parser.add_argument("--kind", action="append", choices=list(TARGETS), help="only this kind (may be given again)")
    parser.add_argument("--case", help="only cases whose name has this in it")
    parser.add_argument("--tracer", help="module:function from a Case to a Traced, instead of the command")
    given = parser.parse_args(words)
    tracer: Tracer = by_command
    if given.tracer:
        module, _, function = given.tracer.partition(":")
        tracer = getattr(importlib.import_module(module), function)
    with tempfile.TemporaryDirectory() as folder:
        cases = corpus() if given.corpus or not (given.simulated or given.damaged) else []
        kinds = [k for k in TARGETS if not given.kind or k in given.kind]
        cases += [simulated(kind, n, Path(folder)) for kind in kinds for n in range(given.simulated)]
        damaged = [k for k in kinds if k in KINDS]
        cases += [damaged_case(k, n, Path(folder), given.size) for k in damaged for n in range(given.damaged)]
        cases = [c for c in cases if not given.kind or c.kind in given.kind]
        rows = table([c for c in cases if not given.case or given.case in c.name], tracer)
    reached = all(r.score is not None and all(a <= b for a, b in figures(r)) for r in rows)
    return 0 if reached else 1


if __name__ == "__main__":
    sys.exit(main())
