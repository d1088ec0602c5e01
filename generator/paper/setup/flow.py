"""Blocks down one page after another: each keeps together where a page can hold it, else it is parted between rows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.paper.box import Box
from generator.paper.letters import width_mm
from generator.paper.lines import VISIBLE
from generator.paper.ruled import Ruled, draw_ruled, row_height
from generator.paper.sheet import Easel, rectangle
from generator.paper.words import wrapped

__all__ = ["AFTER_MM", "Block", "Portion", "height_of", "paginated", "table_block", "text_block"]

PITCH: Final = 1.45
AFTER_MM: Final = 3.0
HEADING_MM: Final = 6.2


@frozen_record
class Block:
    """Rows that follow each other.

    Attributes:
        rows: how many.
        height: of the rows from one number to before another, heading and white below included, mm.
        draw: draws them from a height down.
    """

    rows: int
    height: Callable[[int, int], float]
    draw: Callable[[Easel, float, int, int], None]


@frozen_record
class Portion:
    """Some rows of a block on a page."""

    block: Block
    first: int
    end: int

    @property
    def height(self) -> float:
        """Return the height, mm."""
        return self.block.height(self.first, self.end)


def height_of(blocks: Sequence[Block]) -> float:
    """Return the height of blocks one below the other, unparted, mm."""
    return sum(b.height(0, b.rows) for b in blocks)


def paginated(blocks: Sequence[Block], first_mm: float, page_mm: float) -> tuple[tuple[Portion, ...], ...]:
    """Return what stands on every page: the first has ``first_mm`` of room and may stay empty, others ``page_mm``."""
    pages: list[list[Portion]] = [[]]
    free = first_mm
    for block in blocks:
        start = 0
        while start < block.rows:
            end = _fitting(block, start, free)
            whole = block.height(start, block.rows) <= page_mm
            fresh = len(pages) > 1 and not pages[-1]
            if end < block.rows and not fresh and (whole or end == start):
                pages.append([])
                free = page_mm
                continue
            end = max(end, start + 1)
            pages[-1].append(Portion(block, start, end))
            free -= pages[-1][-1].height
            start = end
    return tuple(tuple(p) for p in pages)


def _fitting(block: Block, start: int, free: float) -> int:
    """Return the end of the most rows that fit."""
    end = start
    while end < block.rows and block.height(start, end + 1) <= free:
        end += 1
    return end


def table_block(left: float, table: Ruled, title: str = "") -> Block:
    """Return a table with a heading that is repeated on every page."""
    above = HEADING_MM if title else 0.0

    def height(first: int, end: int) -> float:
        return above + table.head_mm + sum(row_height(r, table) for r in table.rows[first:end]) + AFTER_MM

    def draw(easel: Easel, top: float, first: int, end: int) -> None:
        if title:
            words = title if first == 0 else f"{title}, continued"
            easel.write(words, (left, top - 4.2), 3.5, bold=True)
        draw_ruled(easel, left, top - above, table, table.rows[first:end])

    return Block(len(table.rows), height, draw)


def text_block(
    left: float, width: float, paragraphs: Sequence[str], height_mm: float, *, title: str = "", framed: bool = False
) -> Block:
    """Return paragraphs, broken between words, under a heading, framed if they are to be read first."""
    inset = 2.0 if framed else 0.0
    lines: list[tuple[str, bool]] = [(title, True)] if title else []
    for text in paragraphs:
        lines += [(t, False) for t in wrapped(text, height_mm, width - 2.0 * inset)]
    pitch = PITCH * height_mm

    def height(first: int, end: int) -> float:
        return (end - first) * pitch + 2.0 * inset + AFTER_MM

    def draw(easel: Easel, top: float, first: int, end: int) -> None:
        y = top - inset
        for text, bold in lines[first:end]:
            y -= pitch
            easel.write(text, (left + inset, y + 0.3 * height_mm), height_mm, bold=bold)
        if framed:
            box = Box(left, y - inset, left + width, top)
            easel.draw(rectangle(box), kind=VISIBLE, name="frame")

    assert all(width_mm(t, height_mm, bold=b) <= width or " " not in t for t, b in lines)
    return Block(len(lines), height, draw)
