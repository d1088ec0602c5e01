"""Ruled tables with cells of several lines, to be read beside a machine."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.paper.box import Box
from generator.paper.letters import LEAST_MM, width_mm
from generator.paper.lines import NARROW, VISIBLE
from generator.paper.sheet import Easel, line, rectangle
from generator.paper.words import wrapped

__all__ = ["Cell", "Column", "Row", "Ruled", "Said", "cell", "draw_ruled", "row_height", "width_for"]

PAD_MM: Final = 1.1
PITCH: Final = 1.42
"""Distance of baselines in heights of letters (ISO 3098 wants 1.4 at least, from memory)."""


@frozen_record
class Said:
    """A line of text in a cell."""

    text: str
    height_mm: float = 3.5
    bold: bool = False


@frozen_record
class Cell:
    """Lines of text, and what else is drawn in the cell, given easel and middle of the cell."""

    lines: tuple[Said, ...] = ()
    draw: Callable[[Easel, tuple[float, float]], None] | None = None


@frozen_record
class Column:
    """Head, width (mm) and which edge the texts lie at: ``start``, ``middle`` or ``end``."""

    head: str
    width_mm: float
    anchor: str = "start"


@frozen_record
class Row:
    """Cells over all columns; some of them over several lines of cells.

    Attributes:
        over: cells of the first columns, once.
        each: the other cells, line by line, with narrow rules between.
    """

    over: tuple[Cell, ...]
    each: tuple[tuple[Cell, ...], ...]


@frozen_record
class Ruled:
    """A table."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    least_mm: float = 6.5

    @property
    def head_mm(self) -> float:
        """Return the height of the heads."""
        lines = max(len(_head(c)) for c in self.columns)
        return lines * PITCH * LEAST_MM + 2.0 * PAD_MM


def cell(*said: Said, width_mm: float) -> Cell:
    """Return a cell whose texts are broken between words to its width."""
    out = []
    for s in said:
        for text in wrapped(s.text, s.height_mm, width_mm - 2.0 * PAD_MM, bold=s.bold):
            out.append(Said(text, s.height_mm, s.bold))
    return Cell(tuple(out))


def width_for(head: str, texts: Iterable[str], height_mm: float = 3.5) -> float:
    """Return the width of a column that breaks none of its texts, nor a word of its head, mm."""
    words = [width_mm(w, LEAST_MM, bold=True) for w in head.split()]
    return max([*words, *(width_mm(t, height_mm) for t in texts)], default=0.0) + 2.0 * PAD_MM + 0.2


def row_height(row: Row, table: Ruled) -> float:
    """Return the height of a row, mm."""
    each = sum(_line_height(cells, table) for cells in row.each)
    return max(each, _line_height(row.over, table))


def draw_ruled(easel: Easel, left: float, top: float, table: Ruled, rows: Sequence[Row]) -> float:
    """Draw a table with some of its rows and return the height at which it ends."""
    edges = [left]
    for c in table.columns:
        edges.append(edges[-1] + c.width_mm)
    y = top - table.head_mm
    for c, x in zip(table.columns, edges, strict=False):
        _write(easel, Cell(_head(c)), Box(x, y, x + c.width_mm, top), c.anchor)
    for row in rows:
        high, n = row_height(row, table), len(row.over)
        easel.draw(line((left, y), (edges[-1], y)), kind=VISIBLE)
        for c, x, one in zip(table.columns, edges, row.over, strict=False):
            _write(easel, one, Box(x, y - high, x + c.width_mm, y), c.anchor)
        _draw_lines(easel, table, row, edges, (y, high), n)
        y -= high
    easel.draw(*(line((x, y), (x, top)) for x in edges[1:-1]), kind=NARROW)
    easel.draw(rectangle(Box(left, y, edges[-1], top)), kind=VISIBLE, name="table")
    return y


def _draw_lines(
    easel: Easel, table: Ruled, row: Row, edges: Sequence[float], place: tuple[float, float], first: int
) -> None:
    """Draw the lines of a row: what is left of its height goes to all of them alike."""
    y, high = place
    heights = [_line_height(cells, table) for cells in row.each]
    more = (high - sum(heights)) / max(len(heights), 1)
    for k, cells in enumerate(row.each):
        low = y - heights[k] - more
        if k:
            easel.draw(line((edges[first], y), (edges[-1], y)), kind=NARROW)
        for c, x, one in zip(table.columns[first:], edges[first:], cells, strict=False):
            _write(easel, one, Box(x, low, x + c.width_mm, y), c.anchor)
        y = low


def _head(column: Column) -> tuple[Said, ...]:
    room = column.width_mm - 2.0 * PAD_MM
    words = (w for part in column.head.split("\n") for w in wrapped(part, LEAST_MM, room, bold=True))
    return tuple(Said(w, LEAST_MM, True) for w in words)


def _text_height(lines: Sequence[Said]) -> float:
    return sum(PITCH * s.height_mm for s in lines)


def _line_height(cells: Sequence[Cell], table: Ruled) -> float:
    return max([table.least_mm, *(_text_height(c.lines) + 2.0 * PAD_MM - 0.6 for c in cells)])


def _write(easel: Easel, one: Cell, box: Box, anchor: str) -> None:
    """Write the lines of a cell about its middle."""
    if one.draw is not None:
        one.draw(easel, box.centre)
    x = {"start": box.left + PAD_MM, "middle": box.centre[0], "end": box.right - PAD_MM}[anchor]
    y = box.centre[1] + _text_height(one.lines) / 2.0
    for s in one.lines:
        # letters stand in the middle of their pitch, their descent counted
        easel.write(s.text, (x, y - (PITCH + 0.85) / 2.0 * s.height_mm), s.height_mm, anchor=anchor, bold=s.bold)
        y -= PITCH * s.height_mm
