"""Words below the picture in two columns, as even as they go, with the table of holes at the end of the second."""

from __future__ import annotations

from typing import Final

from generator.base.frozen_record import frozen_record
from generator.paper.ruled import Ruled
from generator.paper.setup.flow import table_block
from generator.paper.setup.side import (
    Section,
    draw_sections,
    holes_table,
    holes_title,
    sections,
    sections_height,
)
from generator.paper.setup.subject import Subject
from generator.paper.sheet import Easel

__all__ = ["Below", "draw_words_below", "words_below"]

GAP_MM: Final = 6.0
MOST_SHARE: Final = 0.5
"""A table of holes that would make the columns higher than this share of the page goes elsewhere."""


@frozen_record
class Below:
    """Sections of the left and of the right column, mm.

    Attributes:
        left, right: sections.
        holes: the table of holes; None if it stands elsewhere or there is none.
        holes_right: whether it stands below the right column, else below the left one.
        column_mm: width of a column.
        height: of both.
    """

    left: tuple[Section, ...]
    right: tuple[Section, ...]
    holes: Ruled | None
    holes_right: bool
    column_mm: float
    height: float


def words_below(subject: Subject, width_mm: float, page_mm: float, *, with_holes: bool) -> Below:
    """Return the two columns of a width, for a page of a height; holes that find no room there stand elsewhere."""
    column = (width_mm - GAP_MM) / 2.0
    rows, holes = sections(subject), holes_table(subject, column)
    if holes is not None and with_holes:
        more = table_block(0.0, holes, "-").height(0, len(holes.rows))
        k, is_right, high = _parted(rows, more, column)
        if high <= MOST_SHARE * page_mm:
            return Below(rows[:k], rows[k:], holes, is_right, column, high)
    k, _, high = _parted(rows, 0.0, column)
    return Below(rows[:k], rows[k:], None, True, column, high)


def _parted(rows: tuple[Section, ...], more: float, column: float) -> tuple[int, bool, float]:
    """Return before which section the second column begins, whether the table stands in it, and the height then."""

    def high(k: int, is_right: bool) -> float:
        left, right = sections_height(rows[:k], column), sections_height(rows[k:], column)
        return max(left + (0.0 if is_right else more), right + (more if is_right else 0.0))

    ways = [(k, is_right) for is_right in (True, False) for k in range(len(rows) + 1)]
    best = min(ways, key=lambda way: (round(high(*way), 3), not way[1], way[0]))
    return (*best, high(*best))


def draw_words_below(easel: Easel, subject: Subject, below: Below, left: float, top: float) -> float:
    """Draw the columns from a height down and return the height at which they end."""
    x = left + below.column_mm + GAP_MM
    ends = (
        draw_sections(easel, below.left, left, top, below.column_mm),
        draw_sections(easel, below.right, x, top, below.column_mm),
    )
    if below.holes is not None:
        at = x if below.holes_right else left
        block = table_block(at, below.holes, holes_title(subject))
        block.draw(easel, ends[below.holes_right], 0, block.rows)
    return top - below.height
