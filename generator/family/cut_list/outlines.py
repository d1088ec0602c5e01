"""Sheets filled with true outlines: each piece to the first free place along the sheet, turned as it lies best."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import ceil, floor, sqrt
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.family.cut_list.fill import Filler, Margins
from generator.family.cut_list.laid import Item, Placed
from generator.family.cut_list.masks import GROWN_CELLS, WHOLE, Mask, bits_of, forbidden, grown_mm, masks_of
from generator.family.cut_list.skyline import Ints
from generator.recipe.model_family import StockSheet

__all__ = ["MOST_SHAPES", "outline_fillers", "worth_trying"]

MOST_CELLS: Final = 2_000_000
"""Cells of a sheet: a quarter of a megabyte as bits."""
PIECE_CELLS: Final = 70.0
"""Cells along the smaller side of a piece: finer gains less than a hundredth."""
LEAST_CELL_MM: Final = 0.1
TRIED: Final = 20
"""Sizes of cells that are compared."""
FILLED: Final = 0.97
"""An outline that fills so much of its box gains nothing over a rectangle."""
FEW: Final = 4
"""Up to so many shapes further turns than quarters are tried."""
SOME: Final = 50
"""Up to so many shapes a second way to judge places is tried."""
MOST_SHAPES: Final = 300
"""More shapes than these lie by their boxes: every one of them is moved over every sheet, in every turn."""
MOST_PAIRS: Final = 1500
"""Pairs of turned shapes that are remembered at a time, some fifty kilobytes each."""
GIVE_UP: Final = 10
"""So many shapes that find no place one after another end a sheet."""
QUARTERS: Final = (0.0,)
SLANTED: Final = (0.0, 15.0, 30.0, 45.0, 60.0, 75.0)
"""Turns before quarters are added, degrees."""


def worth_trying(items: Sequence[Item]) -> bool:
    """Return True if outlines among ``items`` leave parts of their boxes to others, and are not too many."""
    return len(items) <= MOST_SHAPES and any(i.area_mm2 < FILLED * i.length_mm * i.width_mm for i in items)


def outline_fillers(items: Sequence[Item], margins: Margins, stocks: Sequence[StockSheet]) -> list[Filler]:
    """Return the ways to fill a sheet with outlines.

    Raises: OffsetError: an outline could not be grown.
    """
    cell = _cell_mm(items, margins, stocks)
    bases = [QUARTERS, SLANTED] if len(items) <= FEW else [QUARTERS]
    reaches = (_right_edge, _left_edge) if len(items) <= SOME else (_right_edge,)
    ways = []
    for base in bases:
        masks = [tuple(m for b in base for m in masks_of(i, b, margins.spacing_mm, cell)) for i in items]
        table = _Table(items, masks, cell, margins, {})
        ways += [_filler(table, reach, is_across) for reach in reaches for is_across in (False, True)]
    return ways


def _cell_mm(items: Sequence[Item], margins: Margins, stocks: Sequence[StockSheet]) -> float:
    """Return the size of cells that the boxes of the items lose least by, not much finer than is of use."""
    largest = max((s.length * s.width for s in stocks), default=0.0)
    sizes = [(i.length_mm, i.width_mm) for i in items]
    piece = min(min(s) for s in sizes) + margins.spacing_mm
    least = max(sqrt(largest / MOST_CELLS), piece / PIECE_CELLS, LEAST_CELL_MM)
    lead = max(sizes, key=lambda s: s[0] * s[1])
    begin = ceil((max(lead) + margins.spacing_mm) / least)
    options = [
        (max(lead) + margins.spacing_mm) / (k - 2.0 * GROWN_CELLS) for k in range(max(begin - TRIED, 2), begin + 1)
    ]
    return min((c for c in options if c >= least), key=lambda c: _lost(min(lead), c, margins), default=least)


def _lost(size: float, cell_mm: float, margins: Margins) -> float:
    """Return what rounding up to whole cells takes of a size, mm."""
    grown = size + 2.0 * grown_mm(margins.spacing_mm, cell_mm)
    return ceil(grown / cell_mm - WHOLE) * cell_mm - grown


Reach = Callable[[int, int, Mask], tuple[int, int]]
"""Given place along and across of a mask, how good it lies: the smaller the better."""
Pairs = dict[tuple[int, int, int, int, int], int]
"""Places of one mask that another one forbids, by stride and the numbers of items and turns."""


def _right_edge(x: int, y: int, mask: Mask) -> tuple[int, int]:
    return x + mask.size[0], y + mask.size[1]


def _left_edge(x: int, y: int, mask: Mask) -> tuple[int, int]:
    return 2 * x + mask.size[0], 2 * y + mask.size[1]


@frozen_record
class _Table:
    """What the ways share: items with their masks by turn, and what pairs of them forbid each other."""

    items: Sequence[Item]
    masks: Sequence[tuple[Mask, ...]]
    cell_mm: float
    margins: Margins
    pairs: Pairs


def _filler(table: _Table, reach: Reach, is_across: bool) -> Filler:
    def fill(stock: StockSheet, counts: Ints) -> list[Placed]:
        cells = _Cells(table, stock, reach, is_across)
        return list(cells.laid(counts))

    return fill


class _Cells:
    """A sheet being filled: what is occupied, and for the shape in hand which places are forbidden."""

    def __init__(self, table: _Table, stock: StockSheet, reach: Reach, is_across: bool) -> None:
        self._table, self._reach, self._is_across = table, reach, is_across
        grown = grown_mm(table.margins.spacing_mm, table.cell_mm)
        self._begin = table.margins.edge_mm - grown
        room = [floor((s - 2.0 * self._begin) / table.cell_mm + 1e-9) for s in (stock.length, stock.width)]
        self._long, self._wide = reversed(room) if is_across else room
        # a pad across keeps what lies over the edge of one row out of the next
        self._stride = max(self._wide, 1) + max(max(m.size) for masks in table.masks for m in masks)
        self._occupied = 0
        self._grown = grown

    def laid(self, counts: Ints) -> Iterator[Placed]:
        """Yield pieces where they are laid, the largest shape first."""
        order = sorted((k for k in range(len(counts)) if counts[k]), key=lambda k: -self._table.items[k].area_mm2)
        failed = 0
        for item in order:
            before = self._occupied
            yield from self._all_of(item, int(counts[item]))
            failed = failed + 1 if self._occupied == before else 0
            if failed >= GIVE_UP:
                return

    def _all_of(self, item: int, count: int) -> Iterator[Placed]:
        """Yield as many of one shape as find room; after each only what it forbids itself is added."""
        turns = [k for k, m in enumerate(self._table.masks[item]) if self._valid(self._mask(item, k))]
        free = {k: self._valid(self._mask(item, k)) & ~self._forbidden(item, k) for k in turns}
        for remaining in range(count, 0, -1):
            best = min((self._first(free[k], item, k) for k in turns if free[k]), default=None)
            if best is None:
                return
            _, x, y, turn = best
            yield self._place(item, turn, x, y)
            mask = self._mask(item, turn)
            self._occupied |= bits_of(mask, self._stride) << (x * self._stride + y)
            for k in turns if remaining > 1 else ():
                free[k] &= ~self._moved(self._pair((item, k), (item, turn)), x, y, self._mask(item, k))

    def _mask(self, item: int, turn: int) -> Mask:
        mask = self._table.masks[item][turn]
        return mask.swapped if self._is_across else mask

    def _first(self, free: int, item: int, turn: int) -> tuple[tuple[int, int], int, int, int]:
        at = (free & -free).bit_length() - 1
        x, y = divmod(at, self._stride)
        return self._reach(x, y, self._mask(item, turn)), x, y, turn

    def _valid(self, mask: Mask) -> int:
        """Return the places at which the mask lies on the sheet."""
        across, along = self._wide - mask.size[1] + 1, self._long - mask.size[0] + 1
        if across <= 0 or along <= 0:
            return 0
        return _repeated((1 << across) - 1, along, self._stride)

    def _forbidden(self, item: int, turn: int) -> int:
        return forbidden(self._occupied, self._mask(item, turn), self._stride) if self._occupied else 0

    def _pair(self, moving: tuple[int, int], lying: tuple[int, int]) -> int:
        """Return places that a mask at the origin forbids another, moved so that none is negative."""
        key = (2 * self._stride + self._is_across, *moving, *lying)
        pairs = self._table.pairs
        if key not in pairs:
            if len(pairs) >= MOST_PAIRS:
                pairs.clear()
            mover, other = self._mask(*moving), self._mask(*lying)
            i, j = mover.size
            bits = bits_of(other, self._stride) << ((i - 1) * self._stride + j - 1)
            pairs[key] = forbidden(bits, mover, self._stride)
        return pairs[key]

    def _moved(self, bits: int, x: int, y: int, mover: Mask) -> int:
        by = (x - mover.size[0] + 1) * self._stride + y - mover.size[1] + 1
        return bits << by if by >= 0 else bits >> -by

    def _place(self, item: int, turn: int, x: int, y: int) -> Placed:
        mask = self._table.masks[item][turn]
        i, j = (y, x) if self._is_across else (x, y)
        cell = self._table.cell_mm
        at = [self._begin + k * cell + s + self._grown for k, s in zip((i, j), mask.slack_mm, strict=True)]
        return Placed(item, at[0], at[1], mask.turn_deg)


def _repeated(row: int, times: int, stride: int) -> int:
    """Return a row of bits ``times`` over, ``stride`` apart."""
    out, done = row, 1
    while done < times:
        step = min(done, times - done)
        out |= out << (step * stride)
        done += step
    return out
