"""Where tables, notes and cautions go: beside the views, and on further sheets."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby, pairwise, product
from typing import Final

from generator.base.paper_sizes import FORMATS, Format
from generator.paper.box import Box
from generator.paper.drawing.block import Block
from generator.paper.drawing.layout import Corner, Floor, from_lower_left, from_lower_right, from_upper_left
from generator.paper.drawing.notes import caution_blocks, note_blocks, notes_of
from generator.paper.drawing.sheet_frame import frame_box, lying, marks_inside
from generator.paper.drawing.subject import Subject
from generator.paper.drawing.tables import checks_table, hole_tables, parts_table, pocket_table
from generator.paper.drawing.title_block import TITLE_BLOCK_MM, TITLE_BLOCK_TALL_MM
from generator.paper.drawing.title_fields import overlong
from generator.paper.drawing.told import Told

__all__ = ["Page", "Words", "empty_floor"]

INSET_MM: Final = 2.5
"""Blocks keep this far from the frame and the title block."""
NOTE_WIDTHS_MM: Final = (172.0, 120.0)
"""Notes are set about as wide as the title block, or narrower beside views."""
TABLE_MM: Final = 225.0
"""Tables are parted where they would be wider."""
MOST_SHEETS: Final = 40

Page = tuple[Format, list[Block]]
"""A sheet's format and what lies on it."""


def empty_floor(form: Format) -> Floor:
    """Return the drawing space of a sheet, its title block and centring marks taken."""
    frame = frame_box(form)
    title = Box(frame.right - TITLE_BLOCK_MM, frame.bottom, frame.right, frame.bottom + TITLE_BLOCK_TALL_MM)
    return Floor(frame.grown(-INSET_MM), (title.grown(INSET_MM), *(m.grown(1.0) for m in marks_inside(form))))


class Words:
    """Tables, notes and cautions, and where they go.

    The cautions of every cover and the parts list stand on the second sheet of the cover's drawing; the loud caution
    stands beside the views.
    """

    def __init__(self, subject: Subject, told: Told, form: Format) -> None:
        room = min(TABLE_MM, frame_box(form).width - 2.0 * INSET_MM - 2.0)
        shown = {p.feature.name for p in subject.in_section}
        self._tables = [
            *hole_tables(subject.kinds, subject.datum, told, room, lambda b: _fits(b, form)),
            *pocket_table(subject.pockets, subject.datum, told, subject.sized, shown, room),
        ]
        notes = notes_of(told, subject.datum, overlong(subject.said), has_pockets=bool(subject.pockets))
        self._tables += checks_table(told, room)
        parts = parts_table(subject.said, room)
        self._last = [caution_blocks(told, NOTE_WIDTHS_MM[0])[1], *parts] if subject.said.is_cover else []
        self._notes = {width: note_blocks(notes, width) for width in NOTE_WIDTHS_MM}
        self._cautions = {width: caution_blocks(told, width) for width in NOTE_WIDTHS_MM}

    def placed(
        self, with_views: Floor, views_left: Sequence[Block], form: Format, *, further: bool
    ) -> tuple[float, list[Page]] | None:
        """Return what lies on every sheet once all have found their places; None if they find none.

        In front of it stands the area of what went on to further sheets, mm²: the less, the better.

        Args:
            with_views: the first sheet with its views.
            views_left: views that go on to the next sheet.
            form: of all sheets.
            further: what finds no place goes on to further sheets, the cautions of every cover first.
        """
        best: tuple[float, list[Page]] | None = None
        for corner, widths, largest_first in product(
            (from_lower_right, from_lower_left), product(NOTE_WIDTHS_MM, repeat=2), (False, True)
        ):
            floor = with_views.copy()
            loud, others = self._cautions[widths[1]]
            notes = self._notes[widths[0]]
            rest = [*loud, *self._tables, *notes] if further else [*self._tables, *notes, *loud]
            if not self._last:
                rest.append(others)
            groups = [list(g) for _, g in groupby(rest, key=lambda b: b.name)]
            if largest_first and not further:
                groups.sort(key=lambda g: -max(b.box.width * b.box.height for b in g))
            left = []
            for group in groups:
                floor, over = _in_order(floor, group, corner)
                left += over
            pages = _further([*views_left, *left, *self._last], form) if further or not left else None
            size = sum(b.box.width * b.box.height for b in (*views_left, *left))
            if pages is not None and (best is None or size < best[0]):
                best = size, [(form, floor.placed), *pages]
            if not left:
                break
        return best


def _fits(block: Block, form: Format) -> bool:
    """Tell whether a block finds a place on an empty sheet, beside or over the title block."""
    return empty_floor(form).place(block, from_upper_left) is not None


def _in_order(floor: Floor, parts: Sequence[Block], corner: Corner) -> tuple[Floor, list[Block]]:
    """Return the floor with as many of the first parts of a table as it takes, and the parts that are left.

    Places are taken from the foot of the sheet on, so that the last part is placed first; none may stand over one
    before it.
    """
    for count in range(len(parts), 0, -1):
        for step in (-1, 1) if count > 1 else (1,):
            tried = floor.copy()
            placed = [tried.place(b, corner) for b in parts[:count][::step]][::step]
            if all(placed) and _reads([b for b in placed if b]):
                return tried, list(parts[count:])
    return floor, list(parts)


def _reads(parts: Sequence[Block]) -> bool:
    """Return True if every part stands under the one before it, or right of it."""
    return all(b.box.top <= a.box.top or b.box.left >= a.box.right for a, b in pairwise(parts))


def _further(blocks: Sequence[Block], form: Format) -> list[Page] | None:
    """Return further sheets, one of A4 if all fit on it; None if a block is larger than a sheet."""
    small = _pages(blocks, lying(FORMATS["A4"]))
    return small if small is not None and len(small) < 2 else _pages(blocks, form)


def _pages(blocks: Sequence[Block], form: Format) -> list[Page] | None:
    """Return as many sheets of a format as the blocks take, in their order; None if one is larger than a sheet."""
    pages: list[Page] = []
    left = list(blocks)
    while left and len(pages) < MOST_SHEETS:
        floor = empty_floor(form)
        again = [b for b in left if floor.place(b, from_upper_left) is None]
        if len(again) == len(left):
            return None
        pages.append((form, floor.placed))
        left = again
    return pages
