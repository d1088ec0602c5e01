"""Limits in the head of a column hold for every row under it: they may stand there only where they do."""

from __future__ import annotations

import pytest

from generator.paper.drawing.table import Cell, Column, table
from generator.paper.sheet import Letters

COLUMNS = [Column("Mark"), Column("x", True, True)]


def texts(*figures: str) -> list[str]:
    rows = [[Cell(f"A{k}"), Cell(f, (k,) if "±" in f else ())] for k, f in enumerate(figures, start=1)]
    return [i.text for i in table("t", "Holes", COLUMNS, rows).items if isinstance(i, Letters)]


def test_limits_of_all_rows_stand_in_the_head():
    found = texts("3 ±0.05", "4 ±0.05")
    assert "x ±0.05" in found
    assert "3" in found
    assert "4" in found


@pytest.mark.parametrize("other", ["0", "7", "7 ±0.1", "7 +0.1/0"])
def test_limits_of_some_rows_stand_with_their_figures(other):
    found = texts("3 ±0.05", other, "4 ±0.05")
    assert "x" in found
    assert {"3 ±0.05", "4 ±0.05", other} <= set(found)
