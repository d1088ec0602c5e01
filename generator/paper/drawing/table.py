"""Tables on a drawing: as wide as their cells need, ruled, with balloons behind figures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.paper.box import Box
from generator.paper.drawing.block import Block
from generator.paper.drawing.lettered import draw_label, label_box
from generator.paper.letters import fitted
from generator.paper.lines import NARROW, VISIBLE
from generator.paper.sheet import Easel, line, rectangle

__all__ = ["TEXT_MM", "Cell", "Column", "table", "tables"]

TEXT_MM: Final = 2.5
ROW_MM: Final = 6.0
HEAD_MM: Final = 5.6
PAD_MM: Final = 1.5
MOST_CELL_MM: Final = 90.0
MOST_ROWS: Final = 28
"""A table with more rows is parted, so that each part finds its place on any sheet."""


@frozen_record
class Cell:
    """A text with balloons behind it; an empty one belongs to the cell above it, without a rule between."""

    text: str = ""
    numbers: tuple[int, ...] = ()


@frozen_record
class Column:
    """A column.

    Attributes:
        head: what stands over it.
        to_right: figures end at its right edge.
        shares_limits: limits that every one of its rows has may stand in the head.
    """

    head: str
    to_right: bool = False
    shares_limits: bool = False


def tables(
    name: str, title: str, columns: Sequence[Column], rows: Sequence[Sequence[Cell]], room_mm: float
) -> list[Block]:
    """Return a table, in parts where it would be wider than ``room_mm`` or longer than a sheet; see ``table``.

    Parts beside each other all begin with the first column.
    """
    out: list[Block] = []
    for first in range(0, len(rows), MOST_ROWS):
        some = rows[first : first + MOST_ROWS]
        heading = title if first == 0 else f"{title}, continued"
        for chosen in _column_groups(columns, some, room_mm):
            part = [[row[k] for k in chosen] for row in some]
            out.append(table(name, heading, [columns[k] for k in chosen], part))
            heading = f"{title}, continued"
    return out


def _column_groups(columns: Sequence[Column], rows: Sequence[Sequence[Cell]], room_mm: float) -> list[list[int]]:
    """Return the numbers of the columns of every part."""
    heads, cells = _heads_with_limits(columns, rows)
    used = [k for k in range(len(columns)) if k == 0 or any(row[k].text or row[k].numbers for row in rows)]
    groups: list[list[int]] = [[used[0]]]
    wide = {k: _width(heads[k], [row[k] for row in cells]) for k in used}
    for k in used[1:]:
        if len(groups[-1]) > 1 and sum(wide[j] for j in groups[-1]) + wide[k] > room_mm:
            groups.append([used[0]])
        groups[-1].append(k)
    return groups


def table(name: str, title: str, columns: Sequence[Column], rows: Sequence[Sequence[Cell]]) -> Block:
    """Return a table with its upper left corner at (0, 0).

    Args:
        name: of the block.
        title: stands over the table.
        columns: from the left; a column without any text is left out.
        rows: one cell a column.
    """
    columns, rows = _heads_with_limits(columns, rows)
    used = [k for k, c in enumerate(columns) if any(row[k].text or row[k].numbers for row in rows)]
    widths = [_width(columns[k], [row[k] for row in rows]) for k in used]
    total = sum(widths)
    easel = Easel()
    easel.write(title, (0.0, -3.6), 3.5)
    top = -5.6
    x = 0.0
    for k, wide in zip(used, widths, strict=True):
        easel.write(columns[k].head, (x + PAD_MM, top - HEAD_MM + 1.6), TEXT_MM, bold=True)
        for r, row in enumerate(rows):
            y = top - HEAD_MM - ROW_MM * (r + 1)
            _cell(easel, columns[k], row[k], x, y, wide)
            if r and (row[k].text or row[k].numbers or k == used[0]):
                easel.draw(line((x, y + ROW_MM), (x + wide, y + ROW_MM)), kind=NARROW)
        x += wide
    bottom = top - HEAD_MM - ROW_MM * len(rows)
    edges = [sum(widths[:k]) for k in range(1, len(widths))]
    easel.draw(*(line((e, top), (e, bottom)) for e in edges), kind=NARROW)
    easel.draw(line((0.0, top - HEAD_MM), (total, top - HEAD_MM)), kind=VISIBLE)
    easel.draw(rectangle(Box(0.0, bottom, total, top)), kind=VISIBLE, name="table")
    title_right = label_box(title, (), 3.5).right
    return Block(name, tuple(easel.items), Box(-0.5, bottom - 0.5, max(total, title_right) + 0.5, 0.5))


def _heads_with_limits(
    columns: Sequence[Column], rows: Sequence[Sequence[Cell]]
) -> tuple[list[Column], list[list[Cell]]]:
    """Return the table with limits that all figures of a column of places share written once, in its head."""
    heads, cells = list(columns), [[_short(cell) for cell in row] for row in rows]
    for k, column in enumerate(columns):
        if not column.shares_limits:
            continue
        limits = {row[k].text.partition(" ±")[2] for row in rows}
        if len(limits) == 1 and (shared := limits.pop()):
            heads[k] = Column(f"{column.head} ±{shared}", column.to_right)
            for row in cells:
                row[k] = Cell(row[k].text.removesuffix(f" ±{shared}"), row[k].numbers)
    return heads, cells


def _width(column: Column, cells: Sequence[Cell]) -> float:
    head = label_box(column.head, (), TEXT_MM).width * 1.12  # bold runs wider
    return 2.0 * PAD_MM + max([head, *(label_box(c.text, c.numbers, TEXT_MM).width for c in cells)])


def _short(cell: Cell) -> Cell:
    """Return a cell whose words are not wider than a column may be."""
    return Cell(fitted(cell.text, TEXT_MM, MOST_CELL_MM), cell.numbers)


def _cell(easel: Easel, column: Column, cell: Cell, x: float, y: float, wide: float) -> None:
    if not cell.text and not cell.numbers:
        return
    left = x + PAD_MM
    if column.to_right:
        left = x + wide - PAD_MM - label_box(cell.text, cell.numbers, TEXT_MM).width
    draw_label(easel, cell.text, cell.numbers, (left, y + (ROW_MM - TEXT_MM) / 2.0), TEXT_MM)
