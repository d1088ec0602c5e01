"""One sheet filled with rectangles, in several ways, and pieces spread over sheets one sheet after another."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import Final

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.family.cut_list.free_boxes import by_free_boxes
from generator.family.cut_list.laid import Item, Pattern, Placed
from generator.family.cut_list.one_kind import one_kind
from generator.family.cut_list.skyline import LOW, SHORTER, TALLER, Box, Floats, Ints, Oblongs, skyline
from generator.recipe.model_family import StockSheet

__all__ = ["Filler", "Margins", "Spread", "fits_box", "rectangle_fillers", "spread"]

FEW: Final = 600
"""Up to so many pieces every way to fill a sheet is tried for all sheets, too, not only sheet by sheet."""


@frozen_record
class Margins:
    """What is kept free between pieces and along the edges of a sheet, mm."""

    spacing_mm: float
    edge_mm: float

    def room(self, stock: StockSheet) -> tuple[float, float]:
        """Return length and width in which pieces with their spacing find room."""
        more = self.spacing_mm - 2.0 * self.edge_mm
        return stock.length + more, stock.width + more


Filler = Callable[[StockSheet, Ints], list[Placed]]
"""Given a sheet and how many there are of each item, lays as many as it can."""


def fits_box(item: Item, stock: StockSheet, margins: Margins) -> bool:
    """Return True if the box round an item fits an empty sheet, either way round."""
    length, width = margins.room(stock)
    a, b = item.length_mm + margins.spacing_mm, item.width_mm + margins.spacing_mm
    slack = 1e-9
    return (a <= length + slack and b <= width + slack) or (b <= length + slack and a <= width + slack)


def rectangle_fillers(items: Sequence[Item], margins: Margins) -> list[Filler]:
    """Return the ways to fill a sheet with the boxes round ``items``."""
    gap = margins.spacing_mm
    sizes = np.array([[i.length_mm + gap, i.width_mm + gap] for i in items])
    oblongs = Oblongs.of(sizes[:, 0], sizes[:, 1])
    return [_filler(way, items, margins) for way in _ways(oblongs, sizes)]


Way = Callable[[tuple[float, float], Ints], list[Box]]


def _ways(oblongs: Oblongs, sizes: Floats) -> Iterator[Way]:
    """Yield the ways; each is tried along the sheet and across it."""
    long, short = sizes.max(axis=1), sizes.min(axis=1)
    orders = [np.lexsort((-short, -long)), np.lexsort((-long, -long * short)), np.lexsort((-long, -short))]
    if len(sizes) == 1:
        orders = orders[:1]
        yield lambda room, counts: one_kind(room, (sizes[0, 0], sizes[0, 1]))[: counts[0]]
    for side in (LOW, TALLER, SHORTER):
        for by_area in (False, True):
            yield from _both_ways(partial(skyline, oblongs=oblongs, side=side, by_area=by_area))
    for order in orders:
        for by_corner in (True, False):
            yield from _both_ways(
                partial(by_free_boxes, oblongs=oblongs, order=order.tolist(), by_corner=by_corner)
            )  # fmt: skip


def _both_ways(way: Way) -> Iterator[Way]:
    yield way
    yield lambda room, counts: [Box(b.item, b.y, b.x, not b.is_turned) for b in way((room[1], room[0]), counts)]


def _filler(way: Way, items: Sequence[Item], margins: Margins) -> Filler:
    edge = margins.edge_mm

    def fill(stock: StockSheet, counts: Ints) -> list[Placed]:
        room = margins.room(stock)
        if min(room) <= 0.0:
            return []
        boxes = way(room, counts)
        return [Placed(b.item, b.x + edge, b.y + edge, 90.0 if b.is_turned else 0.0) for b in boxes]

    return fill


@frozen_record
class Spread:
    """Pieces spread over sheets.

    Attributes:
        patterns: in the order in which they were laid.
        left: how many of each item found no place.
        rest_mm2: the largest strip from edge to edge that the last sheet has left.
    """

    patterns: tuple[Pattern, ...]
    left: tuple[int, ...]
    rest_mm2: float

    @property
    def key(self) -> tuple[int, float, float]:
        """Return what makes one better than another: fewer left, less stock, a larger rest."""
        stock = sum(p.times * p.stock.length * p.stock.width for p in self.patterns)
        return sum(self.left), round(stock, 3), -round(self.rest_mm2, 3)


def spread(
    items: Sequence[Item], counts: Ints, stocks: Sequence[tuple[StockSheet, int | None]], fillers: Sequence[Filler]
) -> Spread:
    """Return the best of several ways to spread pieces over sheets.

    Args:
        items: the shapes.
        counts: how many there are of each.
        stocks: kinds of sheets, and how many there are of each; None for as many as are needed.
        fillers: ways to fill one sheet.
    """
    fillers = [_remembered(f) for f in fillers]
    tries = [_sheet_by_sheet(items, counts, stocks, fillers)]
    if counts.sum() <= FEW and len(fillers) > 1 and len(tries[0].patterns) > 1:
        tries += [_sheet_by_sheet(items, counts, stocks, [f]) for f in fillers]
    return min(tries, key=lambda t: t.key)


def _remembered(filler: Filler) -> Filler:
    """Return the same way to fill a sheet, which is not gone twice."""
    known: dict[tuple[StockSheet, bytes], list[Placed]] = {}

    def fill(stock: StockSheet, counts: Ints) -> list[Placed]:
        key = stock, counts.tobytes()
        if key not in known:
            known[key] = filler(stock, counts)
        return known[key]

    return fill


def _sheet_by_sheet(
    items: Sequence[Item], counts: Ints, stocks: Sequence[tuple[StockSheet, int | None]], fillers: Sequence[Filler]
) -> Spread:
    left = counts.copy()
    there = [n for _, n in stocks]
    patterns: list[Pattern] = []
    rest = 0.0
    areas = np.array([i.area_mm2 for i in items])
    while left.any():
        best: tuple[tuple[float, ...], int, list[Placed], float] | None = None
        for k, (stock, _) in enumerate(stocks):
            if there[k] == 0:
                continue
            for filler in fillers:
                placed = filler(stock, left)
                if not placed:
                    continue
                strip = _rest(stock, placed, items)
                key = _worth(stock, placed, areas, int(left.sum()), strip)
                if best is None or key > best[0]:
                    best = key, k, placed, strip
        if best is None:
            break
        _, k, placed, rest = best
        used = np.bincount([p.item for p in placed], minlength=len(items))
        times = int((left[used > 0] // used[used > 0]).min())
        if (number := there[k]) is not None:
            times = min(times, number)
            there[k] = number - times
        left -= times * used
        patterns.append(Pattern(stocks[k][0], tuple(placed), times))
    return Spread(tuple(patterns), tuple(int(n) for n in left), rest)


def _worth(stock: StockSheet, placed: Sequence[Placed], areas: Floats, wanted: int, strip: float) -> tuple[float, ...]:
    """Return how good a filled sheet is: all that is left on the smallest sheet, otherwise the fullest."""
    whole = stock.length * stock.width
    if len(placed) == wanted:
        return 1.0, -whole, strip
    return 0.0, round(float(areas[[p.item for p in placed]].sum()) / whole, 9), len(placed)


def _rest(stock: StockSheet, placed: Sequence[Placed], items: Sequence[Item]) -> float:
    """Return the larger of the strips that are left along and across."""
    boxes = [(p, *_reach(p, items[p.item])) for p in placed]
    x = max(p.x_mm + a for p, a, _ in boxes)
    y = max(p.y_mm + b for p, _, b in boxes)
    return max((stock.length - x) * stock.width, (stock.width - y) * stock.length)


def _reach(placed: Placed, item: Item) -> tuple[float, float]:
    if placed.turn_deg % 180.0 == 0.0:
        return item.length_mm, item.width_mm
    if placed.turn_deg % 90.0 == 0.0:
        return item.width_mm, item.length_mm
    from generator.outline.measure import bounds

    box = bounds(item.lying(placed.turn_deg))
    return box.width_mm, box.height_mm
