"""Sheets of the recipes, and the same sheets filled in by a machine with a fault of our choosing."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from functools import cache
from pathlib import Path

from generator.build.judge import Checked, check
from generator.estimate.characteristic import Characteristic
from generator.estimate.inspection_csv import Inspected, inspected, inspection_csv
from generator.estimate.told_sizes import told_size

ROOT = Path(__file__).parents[2]
RECIPES = sorted(p.stem for p in (ROOT / "recipes").glob("*.yaml"))

Fault = Callable[[Characteristic, int], float]
"""Error in mm of a characteristic of part 1, 2 …"""


@cache
def checked(name: str, *sets: str) -> Checked:
    return check(ROOT / "recipes" / f"{name}.yaml", sets=sets)


@cache
def sheet(name: str, *sets: str) -> Inspected:
    made = checked(name, *sets)
    return inspected(made.reading.recipe, made.plan)


def table(name: str, *sets: str) -> list[list[str]]:
    """Return the empty table, cell by cell, as another reader sees it."""
    return list(csv.reader(io.StringIO(inspection_csv(sheet(name, *sets)))))


def filled(name: str, fault: Fault = lambda c, k: 0.0, parts: int = 1, separator: str = ",", comma: str = ".") -> str:
    """Return the table filled in with nominals plus the fault."""
    of = sheet(name)
    rows = table(name)
    rows[4] = [*rows[4][:9], *(f"part-{k}" for k in range(1, parts + 1))]
    for row, c in zip(rows[5:], of.characteristics, strict=True):
        nominal = told_size(c, of.unit).nominal
        readings = (nominal + fault(c, k) / of.unit.mm for k in range(1, parts + 1))
        row[4:7] = [cell.replace(".", comma) for cell in row[4:7]]
        row[9:] = [f"{x:.5f}".replace(".", comma) for x in readings]
    out = io.StringIO()
    csv.writer(out, delimiter=separator).writerows(rows)
    return out.getvalue()
