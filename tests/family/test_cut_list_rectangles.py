"""Rectangles on sheets: against published instances with known optima, bounds, and random ones."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path
from statistics import mean

import cut_list_cases as cases
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.family.cut_list.fill import Margins, fits_box, rectangle_fillers, spread
from generator.family.cut_list.laid import Item
from generator.family.cut_list.one_kind import one_kind
from generator.family.cut_list.proof import fault_of
from generator.recipe.model_family import StockSheet

DATA = Path(__file__).parents[1] / "data" / "packing" / "hopper_turton_c.csv"
NOTHING = Margins(0.0, 0.0)
BEST_FIT = {"C1P1": 21, "C1P3": 24, "C2P1": 16, "C3P1": 32, "C4P1": 63, "C5P1": 93, "C6P1": 123, "C7P1": 247}
"""Lengths of best fit in Burke, Kendall and Whitwell, Operations Research 52 (2004), from memory."""


def stock(length: float, width: float) -> StockSheet:
    return StockSheet(material="any", thickness=1.0, length=length, width=width)


@cache
def instances():
    with DATA.open(encoding="utf-8", newline="") as handle:
        return [
            (r["instance"], float(r["width"]), int(r["optimum"]), [tuple(map(float, p.split("x"))) for p in
             r["pieces"].split()])
            for r in csv.DictReader(handle)
        ]  # fmt: skip


def length_used(items, placed) -> float:
    return max(p.x_mm + (items[p.item].width_mm if p.turn_deg else items[p.item].length_mm) for p in placed)


@cache
def lengths():
    """The least length of strip that any way to fill a sheet takes, by instance."""
    out = {}
    for name, width, optimum, pieces in instances():
        items = [Item(a, b) for a, b in pieces]
        strip, ones = stock(5.0 * optimum, width), np.ones(len(items), dtype=np.int64)
        every = [fill(strip, ones) for fill in rectangle_fillers(items, NOTHING)]
        out[name] = min(length_used(items, placed) for placed in every if len(placed) == len(items))
    return out


@pytest.mark.parametrize("row", instances(), ids=lambda r: r[0])
def test_published_instances_fill_their_sheet(row):
    _, width, optimum, pieces = row
    assert sum(a * b for a, b in pieces) == width * optimum


@pytest.mark.parametrize("name", BEST_FIT)
def test_published_instances_are_laid_no_worse_than_by_best_fit(name):
    assert lengths()[name] <= BEST_FIT[name]


def test_published_instances_come_within_a_twentieth_of_the_optimum():
    over = [lengths()[name] / optimum - 1.0 for name, _, optimum, _ in instances()]
    assert max(over) < 0.07
    assert mean(over) < 0.045


@pytest.mark.parametrize("row", instances(), ids=lambda r: r[0])
def test_published_instances_fill_one_sheet_to_more_than_nineteen_twentieths(row):
    _, width, optimum, pieces = row
    items = [Item(a, b) for a, b in pieces]
    spreads = spread(
        items, np.ones(len(items), dtype=np.int64), [(stock(optimum, width), None)], rectangle_fillers(items, NOTHING)
    )
    assert len(spreads.patterns) == 2  # the optimum is one, which nobody reaches without a search
    first = sum(items[p.item].area_mm2 for p in spreads.patterns[0].placed)
    assert first / (width * optimum) > 0.95


@pytest.mark.parametrize(
    ("sheet", "piece", "most"),
    [
        # closed forms: rows that leave nothing
        ((1200.0, 800.0), (400.0, 300.0), 8),
        ((100.0, 50.0), (10.0, 5.0), 100),
        # a square ring of four blocks, no cut goes from edge to edge: one less is the best that such cuts can do
        ((7.0, 7.0), (4.0, 3.0), 3),
        # two blocks that lie both ways: 4 x 5 + 5 = 25 of the area's 25.2 (own reckoning)
        ((36.0, 14.0), (5.0, 4.0), 25),
        ((4.9, 20.0), (5.0, 4.0), 4),
    ],
)
def test_equal_pieces_are_cut_as_often_as_edge_to_edge_cuts_allow(sheet, piece, most):
    laid = one_kind(sheet, piece)
    assert len(laid) == guillotine(int(10 * sheet[0]), int(10 * sheet[1]), *(int(10 * p) for p in piece))
    assert len(laid) == most


@cache
def guillotine(x: int, y: int, a: int, b: int) -> int:
    """The most pieces by any cuts from edge to edge, whole tenths of a mm: every cut at every sum of sides is tried."""
    if (x < a or y < b) and (x < b or y < a):
        return 0
    best = 1
    for cut in sums(x, a, b):
        best = max(best, guillotine(cut, y, a, b) + guillotine(x - cut, y, a, b))
    for cut in sums(y, a, b):
        best = max(best, guillotine(x, cut, a, b) + guillotine(x, y - cut, a, b))
    return best


@cache
def sums(most: int, a: int, b: int) -> tuple[int, ...]:
    every = {i * a + j * b for i in range(most // a + 1) for j in range((most - i * a) // b + 1)}
    return tuple(sorted(c for c in every if 0 < c <= most // 2))


@settings(max_examples=60, deadline=None)
@given(st.integers(10, 40), st.integers(10, 40), st.integers(2, 9), st.integers(2, 9))
def test_equal_pieces_come_within_one_of_every_edge_to_edge_pattern(x, y, a, b):
    laid = one_kind((float(x), float(y)), (float(a), float(b)))
    rows = max((x // a) * (y // b), (x // b) * (y // a))
    assert rows <= len(laid) <= x * y // (a * b)
    assert len(laid) >= guillotine(x, y, a, b) - 1


sizes = st.floats(5.0, 160.0).map(lambda v: round(v, 2))


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(sizes, sizes, st.integers(1, 7)), min_size=1, max_size=6),
    st.floats(0.0, 8.0),
    st.floats(0.0, 12.0),
    st.lists(
        st.tuples(st.floats(60.0, 400.0), st.floats(60.0, 300.0), st.none() | st.integers(1, 3)), min_size=1, max_size=2
    ),
)
def test_pieces_lie_apart_on_their_sheets_and_none_is_lost(pieces, spacing, edge, sheets):
    items, margins = [Item(a, b) for a, b, _ in pieces], Margins(spacing, edge)
    stocks = [(stock(a, b), n) for a, b, n in sheets]
    counts = np.array([n if any(fits_box(i, s, margins) for s, _ in stocks) else 0
                       for i, (_, _, n) in zip(items, pieces, strict=True)])  # fmt: skip
    made = spread(items, counts, stocks, rectangle_fillers(items, margins))
    placed = np.zeros(len(items), dtype=np.int64)
    for pattern in made.patterns:
        assert fault_of(pattern, items, margins) == ""
        shapes = [cases.lying(items[p.item], p) for p in pattern.placed]
        assert cases.edge_gap(shapes, pattern) >= edge - 1e-6
        if spacing > 1e-6:
            assert cases.least_gap(shapes) >= spacing - 1e-6
        used = sum(s.area for s in shapes)
        assert used == pytest.approx(sum(items[p.item].area_mm2 for p in pattern.placed))
        placed += pattern.times * np.bincount([p.item for p in pattern.placed], minlength=len(items))
    assert (placed + np.array(made.left) == counts).all()
    for kind, (sheet, number) in enumerate(stocks):
        taken = sum(p.times for p in made.patterns if p.stock is stocks[kind][0])
        assert number is None or taken <= number
        if sum(made.left):
            assert number is not None  # without end nothing that fits is left
            assert sheet is not None


def test_equal_sheets_are_laid_once():
    items = [Item(100.0, 50.0)]
    made = spread(items, np.array([205]), [(stock(420.0, 220.0), None)], rectangle_fillers(items, Margins(4.0, 5.0)))
    # two rows of seven upright ones: 7 x 54 of 414 mm, 2 x 104 of 214 mm; 205 = 14 x 14 + 9
    assert [p.times for p in made.patterns] == [14, 1]
    assert [len(p.placed) for p in made.patterns] == [14, 9]


def test_the_smallest_sheet_that_takes_the_last_pieces_is_taken():
    items = [Item(100.0, 50.0)]
    stocks = [(stock(1000.0, 500.0), None), (stock(220.0, 120.0), None)]
    made = spread(items, np.array([3]), stocks, rectangle_fillers(items, Margins(4.0, 5.0)))
    assert [p.stock.length for p in made.patterns] == [220.0]
