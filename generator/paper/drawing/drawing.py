"""The drawing of one part: which sheet and scale, and everything on it at its place.

Sheets are tried from the smallest on, and on each the scales that suit the part from the largest on; the first where
all blocks find their places is the drawing. What finds none on the sheets that a workshop prints goes on to a second
one; where the recipe's sheet is too small for the views, they are drawn smaller.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import Enum
from itertools import product
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.paper_sizes import FORMATS, Format
from generator.estimate.characteristics import Characteristic
from generator.paper.drawing.block import Block
from generator.paper.drawing.layout import by_columns, from_upper_left
from generator.paper.drawing.scales import scale_word, scales_for
from generator.paper.drawing.sheet_frame import draw_frame, frame_box, lying
from generator.paper.drawing.subject import Subject, subject_of
from generator.paper.drawing.title_block import title_block
from generator.paper.drawing.told import Told
from generator.paper.drawing.view_places import SMALLER, Views
from generator.paper.drawing.word_places import INSET_MM, Page, Words, empty_floor
from generator.paper.sheet import Easel, Sheet
from generator.part.part import Part, Plan
from generator.part.slabs import slabs
from generator.recipe.model import Recipe
from generator.recipe.model_paper import AUTO

__all__ = ["Drawing", "NoSheetError", "drawing_of", "drawn_parts"]

DRAWN_ON: Final = ("A4", "A3", "A2", "A1", "A0")
HANDY: Final = ("A4", "A3")
"""Sheets that a workshop prints: tables rather go on to a second one than all on to a larger one (our own choice)."""


class Further(Enum):
    """What may go on to further sheets; the cautions and parts list of a cover always do."""

    NOTHING = "nothing"
    WORDS = "tables, notes and cautions"
    VIEWS = "these, and every view but that of the top face"


@frozen_record
class Drawing:
    """A drawing as sheets.

    Attributes:
        sheets: the pages.
        form: format of the first sheet, which shows the views.
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
    return tuple(p for p in plan.parts if p.profile and slabs(p))


def drawing_of(recipe: Recipe, plan: Plan, part: Part, listed: tuple[Characteristic, ...] | None = None) -> Drawing:
    """Return the drawing of ``part``; ``listed`` are the characteristics of all parts where they are known already.

    Raises:
        NoSheetError: the recipe's sheet is too small at every scale.
        GeometryError, OffsetError: the part cannot be drawn.
    """
    subject = subject_of(recipe, plan, part, listed)
    for form, scale, further in _tries(subject):
        found = _laid_out(subject, form, scale, further)
        if found is not None:
            return found
    raise NoSheetError(part.name)


def _tries(subject: Subject) -> Iterator[tuple[Format, float, Further]]:
    """Yield sheets and scales in the order in which they are tried, last those with further sheets for the tables."""
    wanted = subject.said.recipe.paper.drawing
    forms = [lying(FORMATS[name]) for name in (DRAWN_ON if wanted == AUTO else (wanted,))]
    well, rest = scales_for(subject.size_mm)
    handy, large = [f for f in forms if f.name in HANDY], [f for f in forms if f.name not in HANDY]
    yield from product(handy, well, (Further.NOTHING,))
    yield from product(reversed(handy), well, (Further.WORDS,))
    yield from product(large, well, (Further.NOTHING, Further.WORDS))
    for scale in (*well, *rest):
        yield from product(forms, (scale,), (Further.WORDS, Further.VIEWS))


# ------------------------------------------------------------------ one try
def _laid_out(subject: Subject, form: Format, scale: float, further: Further) -> Drawing | None:
    """Return the drawing on this sheet at this scale; None if not everything finds its place."""
    space = frame_box(form).grown(-INSET_MM)
    if subject.size_mm * scale > max(space.width, space.height):
        return None
    told = Told(subject.said)
    views = Views(subject, scale, space, told)
    if views.too_large:
        return None
    words = Words(subject, told, form)
    best: tuple[float, list[Page]] | None = None
    for aligned, beside, corner, smaller in product(
        (True, False), (True, False), (from_upper_left, by_columns), range(1 if further is Further.NOTHING else SMALLER)
    ):
        floor = empty_floor(form)
        left = views.place(floor, corner, aligned=aligned, beside=beside, smaller=smaller)
        if left is not None and (not left or further is Further.VIEWS):
            found = words.placed(floor, left, form, further=further is not Further.NOTHING)
            if found is not None and (best is None or found[0] < best[0]):
                best = found
            if best is not None and best[0] == 0.0:
                break
    return None if best is None else _drawing(subject, scale, views.section_scale, best[1], told)


def _drawing(subject: Subject, scale: float, section_scale: float, pages: Sequence[Page], told: Told) -> Drawing:
    sheets, blocks = [], []
    for k, (form, placed) in enumerate(pages, start=1):
        corner = frame_box(form)
        title = title_block(subject.said, scale=scale_word(scale), size=form.name, sheet=k, sheets=len(pages))
        every = (*placed, title.moved(corner.right, corner.bottom))
        easel = Easel()
        draw_frame(easel, form)
        for block in every:
            easel.items += block.items
        name = subject.said.part.name
        sheets.append(Sheet(form, tuple(easel.items), name if len(pages) == 1 else f"{name}, sheet {k}"))
        blocks.append(every)
    return Drawing(tuple(sheets), pages[0][0], scale, section_scale, tuple(blocks), frozenset(told.numbers), subject)
