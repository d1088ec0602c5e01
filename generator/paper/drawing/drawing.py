"""The drawing of one part: which sheet and scale, and everything on it at its place.

Sheets are tried from the smallest on, and on each the scales that suit the part from the largest on; the first where
all blocks find their places is the drawing. What finds none on the sheets that a workshop prints goes on to a second
one; where the recipe's sheet is too small for the views, they are drawn smaller.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.paper_sizes import FORMATS, Format
from generator.paper.box import Box
from generator.paper.drawing.block import Block
from generator.paper.drawing.layout import (
    GAP_MM,
    Corner,
    Floor,
    by_columns,
    from_lower_left,
    from_lower_right,
    from_upper_left,
)
from generator.paper.drawing.notes import caution_blocks, note_block, notes_of
from generator.paper.drawing.scales import SCALES, scale_word, scales_for
from generator.paper.drawing.sheet_frame import draw_frame, frame_box, lying, marks_inside
from generator.paper.drawing.subject import Subject, subject_of
from generator.paper.drawing.tables import checks_table, hole_tables, pocket_table
from generator.paper.drawing.title_block import title_block
from generator.paper.drawing.told import Told
from generator.paper.drawing.views import bottom_view, isometric_view, section_view, top_view
from generator.paper.sheet import Easel, Sheet
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe
from generator.recipe.model_paper import AUTO, FIRST_ANGLE

__all__ = ["Drawing", "NoSheetError", "drawing_of", "drawn_parts"]

DRAWN_ON: Final = ("A4", "A3", "A2", "A1", "A0")
HANDY: Final = ("A4", "A3")
"""Sheets that a workshop prints: tables rather go on to a second one than all on to a larger one (our own choice)."""
INSET_MM: Final = 2.5
"""Blocks keep this far from the frame."""
NOTE_WIDTHS_MM: Final = (172.0, 120.0)
"""Notes are set about as wide as the title block, or narrower beside views."""
TABLE_MM: Final = 176.0
"""Tables of holes are parted in two where one would be wider: it stands over the title block."""
SECTION_MM: Final = 14.0
"""A section lower than this is drawn at the next scale …"""
SECTION_WIDE_MM: Final = 150.0
"""… if it gets no wider than this, or than the view."""
BESIDE_STEPS: Final = 12
SMALLER: Final = 3
"""The isometric view may be drawn at the sheet's scale or one of the next smaller ones, so many in all."""
MOST_SHEETS: Final = 40


@frozen_record
class Drawing:
    """A drawing as sheets.

    Attributes:
        sheets: the pages.
        form: the sheets' format.
        scale: of the views of the faces, mm on paper a mm of the part.
        section_scale: of the section.
        blocks: what lies on each sheet, title block included.
        told: numbers of the characteristics that have a balloon.
        subject: what it is drawn from.
    """

    sheets: tuple[Sheet, ...]
    form: Format
    scale: float
    section_scale: float
    blocks: tuple[tuple[Block, ...], ...]
    told: frozenset[int]
    subject: Subject


class NoSheetError(Exception):
    """A part fits on no sheet that the recipe allows."""


def drawn_parts(plan: Plan) -> tuple[Part, ...]:
    """Return the parts that are drawn: the cover, and inserts that there is anything of."""
    return tuple(p for p in plan.parts if p.profile)


def drawing_of(recipe: Recipe, plan: Plan, part: Part) -> Drawing:
    """Return the drawing of ``part``.

    Raises:
        NoSheetError: the recipe's sheet is too small at every scale.
        GeometryError, OffsetError: the part cannot be drawn.
    """
    subject = subject_of(recipe, plan, part)
    for form, scale, further in _tries(subject):
        found = _laid_out(subject, form, scale, further)
        if found is not None:
            return found
    raise NoSheetError(part.name)


def _tries(subject: Subject) -> Iterator[tuple[Format, float, bool]]:
    """Yield sheets and scales in the order in which they are tried, last those with further sheets for the tables."""
    wanted = subject.said.recipe.paper.drawing
    forms = [lying(FORMATS[name]) for name in (DRAWN_ON if wanted == AUTO else (wanted,))]
    well, rest = scales_for(subject.size_mm)
    handy, large = [f for f in forms if f.name in HANDY], [f for f in forms if f.name not in HANDY]
    yield from product(handy, well, (False,))
    yield from product(reversed(handy), well, (True,))
    yield from product(large, well, (False, True))
    for scale in rest:
        yield from product(forms, (scale,), (True,))


# ------------------------------------------------------------------ one try
def _laid_out(subject: Subject, form: Format, scale: float, further: bool) -> Drawing | None:
    """Return the drawing on this sheet at this scale; None if not everything finds its place."""
    space = frame_box(form).grown(-INSET_MM)
    told = Told(subject.said)
    views = _Views(subject, scale, space, told)
    if views.too_large:
        return None
    corner = frame_box(form)
    title = title_block(subject.said, scale=scale_word(scale), size=form.name, sheet=1, sheets=1)
    taken = title.box.moved(corner.right, corner.bottom).grown(INSET_MM)
    empty = Floor(space, (taken, *(m.grown(1.0) for m in marks_inside(form))))
    rest = _Rest(subject, told)
    for aligned, beside, corner_of_views in product((True, False), (True, False), (from_upper_left, by_columns)):
        with_views = empty.copy()
        if views.place(with_views, corner_of_views, aligned=aligned, beside=beside):
            pages = rest.placed(with_views, form, further=further)
            if pages is not None:
                return _drawing(subject, form, scale, views.section_scale, pages, told)
    return None


class _Rest:
    """Tables, notes and cautions, and where they go."""

    def __init__(self, subject: Subject, told: Told) -> None:
        shown = {p.feature.name for p in subject.in_section}
        self._tables = [
            *hole_tables(subject.kinds, subject.datum, told, TABLE_MM),
            *pocket_table(subject.pockets, subject.datum, told, subject.sized, shown),
        ]
        notes = notes_of(told, subject.datum, (), has_pockets=bool(subject.pockets))
        self._tables += checks_table(told)
        self._notes = {width: note_block(notes, width) for width in NOTE_WIDTHS_MM}
        self._cautions = {width: caution_blocks(told, width) for width in NOTE_WIDTHS_MM}

    def placed(self, with_views: Floor, form: Format, *, further: bool) -> list[list[Block]] | None:
        """Return what lies on every sheet once all have found their places; None if they find none.

        Args:
            with_views: the first sheet with its views.
            form: of all sheets.
            further: what finds no place goes on to further sheets, the cautions of every cover first.
        """
        for corner, widths, largest_first in product(
            (from_lower_right, from_lower_left), product(NOTE_WIDTHS_MM, repeat=2), (False, True)
        ):
            floor = with_views.copy()
            loud, others = self._cautions[widths[1]]
            notes = self._notes[widths[0]]
            rest = [*loud, *self._tables, notes, others] if further else [*self._tables, notes, *loud, others]
            if largest_first and not further:
                rest.sort(key=lambda b: -b.box.width * b.box.height)
            left = [b for b in rest if floor.place(b, corner) is None]
            pages = _further(left, form) if further or not left else None
            if pages is not None:
                return [floor.placed, *pages]
        return None


class _Views:
    """The views at one scale, and where they go."""

    def __init__(self, subject: Subject, scale: float, space: Box, told: Told) -> None:
        self._subject, self._scale, self._space = subject, scale, space
        self._pictures: dict[float, Block] = {}
        self.top = top_view(subject, scale, told)
        self.bottom = bottom_view(subject, scale, told)
        self.section_scale = _section_scale(subject, scale, space)
        same = self.section_scale == scale
        self.section = section_view(subject, self.section_scale, told, is_main_scale=same)
        self._can_align = same and subject.plane.along == "x"
        if self._can_align:
            self._over = _stacked(self.top, self.section, above=subject.said.recipe.paper.projection == FIRST_ANGLE)

    @property
    def too_large(self) -> bool:
        """Return True if one view alone is larger than the sheet."""
        room = self._space
        return any(
            v.box.width > room.width or v.box.height > room.height for v in (self.top, self.bottom, self.section)
        )

    def place(self, floor: Floor, corner: Corner, *, aligned: bool, beside: bool) -> bool:
        """Place all views; False if one finds no place.

        Args:
            floor: where.
            corner: which places are welcome.
            aligned: the section stands over or under the view of the top face, as far as its scale lets it.
            beside: the view of the bottom face stands beside that of the top face if there is room.
        """
        aligned = aligned and self._can_align
        main = self._over if aligned else self.top
        put = floor.place(main, corner)
        if put is None:
            return False
        if not (beside and self._beside(floor, put, main)) and floor.place(self.bottom, corner) is None:
            return False
        if not aligned and floor.place(self.section, corner) is None:
            return False
        return self._isometric(floor, corner)

    def _beside(self, floor: Floor, put: Block, main: Block) -> bool:
        """Place the view of the bottom face at the height of that of the top face, if that is free."""
        for k in range(BESIDE_STEPS):
            right = put.box.right + GAP_MM * (k + 1)
            beside = self.bottom.moved(right - self.bottom.box.left, put.box.bottom - main.box.bottom)
            if floor.fits(beside):
                floor.put(beside)
                return True
        return False

    def _isometric(self, floor: Floor, corner: Corner) -> bool:
        """Place the isometric view at the sheet's scale or the next smaller ones."""
        for scale in [s for s in SCALES if s <= self._scale][:SMALLER]:
            if scale not in self._pictures:
                self._pictures[scale] = isometric_view(self._subject, scale, is_main_scale=scale == self._scale)
            if floor.place(self._pictures[scale], corner) is not None:
                return True
        return False


def _stacked(top: Block, section: Block, *, above: bool) -> Block:
    """Return a view with the section straight over it (first angle) or under it, as one block."""
    dy = top.box.top + GAP_MM - section.box.bottom if above else top.box.bottom - GAP_MM - section.box.top
    over = section.moved(0.0, dy)
    return Block("top", (*top.items, *over.items), top.box.joined(over.box))


def _section_scale(subject: Subject, scale: float, space: Box) -> float:
    """Return the scale of the section: larger than that of the sheet where a thin part would show nothing."""
    thickness, wide = subject.said.part.thickness_mm, subject.size_mm
    best = scale
    for s in sorted(s for s in SCALES if s > scale):
        if thickness * best >= SECTION_MM or wide * s > min(max(SECTION_WIDE_MM, wide * scale), space.width - 60.0):
            break
        best = s
    return best


def _further(blocks: Sequence[Block], form: Format) -> list[list[Block]] | None:
    """Return the blocks of further sheets, in order; None if one is larger than a sheet."""
    pages: list[list[Block]] = []
    left = list(blocks)
    while left and len(pages) < MOST_SHEETS:
        space = frame_box(form).grown(-INSET_MM)
        title = Box(space.right - 180.0 - INSET_MM, space.bottom, space.right, space.bottom + 56.0)
        floor = Floor(space, (title, *(m.grown(1.0) for m in marks_inside(form))))
        again = [b for b in left if floor.place(b, from_upper_left) is None]
        if len(again) == len(left):
            return None
        pages.append(floor.placed)
        left = again
    return pages


def _drawing(
    subject: Subject, form: Format, scale: float, section_scale: float, pages: Sequence[Sequence[Block]], told: Told
) -> Drawing:
    corner = frame_box(form)
    sheets, blocks = [], []
    for k, placed in enumerate(pages, start=1):
        title = title_block(subject.said, scale=scale_word(scale), size=form.name, sheet=k, sheets=len(pages))
        every = (*placed, title.moved(corner.right, corner.bottom))
        easel = Easel()
        draw_frame(easel, form)
        for block in every:
            easel.items += block.items
        name = subject.said.part.name
        sheets.append(Sheet(form, tuple(easel.items), name if len(pages) == 1 else f"{name}, sheet {k}"))
        blocks.append(every)
    return Drawing(tuple(sheets), form, scale, section_scale, tuple(blocks), frozenset(told.numbers), subject)
