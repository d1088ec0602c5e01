"""``contact-sheet.pdf``: every variant as a small card, to be printed, ticked off and hung up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil, floor
from typing import Final

from generator.base.cautions import CAUTIONS, LOAD_BEARING
from generator.base.frozen_record import frozen_record
from generator.base.many import many
from generator.base.paper_sizes import Format, format_of
from generator.family.returns.contact_card import PAD_MM, CardLook, card_height, draw_card, look_of
from generator.family.returns.entry import Entry, base_of, counted, entries_of, shared_values, title_of
from generator.family.returns.pictures import Frame, Picture, frame_of, picture_of
from generator.family.run import Ran
from generator.paper.box import Box
from generator.paper.letters import LEAST_MM, fitted, line_pitch
from generator.paper.lines import GREY
from generator.paper.pdf import pdf_bytes
from generator.paper.sheet import Easel, Sheet
from generator.paper.words import wrapped

__all__ = ["contact_sheet_files"]

EDGE_MM: Final = 10.0
"""Kept free along the sheet: printers leave some 5 mm white."""
GAP_MM: Final = 2.5
HEAD_MM: Final = 7.0
FOOT_MM: Final = 7.0
TITLE_MM: Final = 5.0
COLUMNS: Final = ((48, 3), (400, 4), (1_000_000, 5))
"""Columns of a family of up to so many variants: a few get large cards, many get few pages."""


@frozen_record
class _Layout:
    """Where cards stand: rows from ``top`` down; the first page begins lower."""

    paper: Format
    columns: int
    width_mm: float
    height_mm: float
    first_top_mm: float
    top_mm: float

    def rows(self, top_mm: float) -> int:
        """Return how many rows stand below ``top_mm``."""
        return max(1, floor((top_mm - EDGE_MM - FOOT_MM + GAP_MM) / (self.height_mm + GAP_MM)))

    def box(self, place: int, top_mm: float) -> Box:
        """Return the box of a card by its place on the page."""
        row, column = divmod(place, self.columns)
        left = EDGE_MM + column * (self.width_mm + GAP_MM)
        top = top_mm - row * (self.height_mm + GAP_MM)
        return Box(left, top - self.height_mm, left + self.width_mm, top)


def contact_sheet_files(ran: Ran) -> dict[str, bytes]:
    """Return ``contact-sheet.pdf`` on the paper that the family's recipe names; same family, same bytes."""
    entries = entries_of(ran)
    pictures = [picture_of(e) for e in entries]
    frame = frame_of(pictures)
    paper = format_of(base_of(ran.family).paper).portrait
    intro = _intro(ran, entries, frame, paper)
    layout, look = _layout(entries, frame, paper, len(intro))
    sheets = _sheets(ran, list(zip(entries, pictures, strict=True)), layout, look, intro)
    return {"contact-sheet.pdf": pdf_bytes(sheets, title=title_of(ran.family))}


_Line = tuple[str, bool]
"""A line of text, and whether it is set bold."""


def _intro(ran: Ran, entries: Sequence[Entry], frame: Frame, paper: Format) -> tuple[_Line, ...]:
    """Return what stands below the title, in lines; the caution that is to be read first is bold."""
    counts = ", ".join(f"{n} {word}" for word, n in counted(entries).items())
    shared = "; ".join(f"{n} {v}" for n, v in shared_values(entries).items())
    proof = f"The proof for the family: {ran.proof.sentence()}."
    told = [
        f"{many(len(entries), 'variant')} of the family {ran.family.file.family}: {counts}.",
        proof if ran.proof.holds else "",
        f"Alike in all: {shared}." if shared else "",
        "" if frame.one_scale else "Each picture has a scale of its own.",
        f"{CAUTIONS[0].title}: {CAUTIONS[0].text[0].lower()}{CAUTIONS[0].text[1:]}",
    ]
    room = paper.width_mm - 2.0 * EDGE_MM
    lines = [(line, False) for text in told if text for line in wrapped(text, LEAST_MM, room)]
    bears_load = any(s.check == "load-bearing" for e in entries for s in e.done.said)
    loud = ["" if ran.proof.holds else proof, f"{LOAD_BEARING.title}: {LOAD_BEARING.text}" if bears_load else ""]
    lines += [(line, True) for text in loud if text for line in wrapped(text, LEAST_MM, room, bold=True)]
    return tuple(lines)


def _layout(entries: Sequence[Entry], frame: Frame, paper: Format, intro: int) -> tuple[_Layout, CardLook]:
    columns = next(n for most, n in COLUMNS if len(entries) <= most)
    if paper.width_mm >= format_of("A4").height_mm:
        columns += 2
    width = (paper.width_mm - 2.0 * EDGE_MM - (columns - 1) * GAP_MM) / columns
    look = look_of(entries, frame, width)
    top = paper.height_mm - EDGE_MM - HEAD_MM
    first = top - line_pitch(LEAST_MM) * intro - 4.0
    return _Layout(paper, columns, width, card_height(look), first, top), look


def _sheets(
    ran: Ran,
    cards: Sequence[tuple[Entry, Picture | None]],
    layout: _Layout,
    look: CardLook,
    intro: Sequence[_Line],
) -> Iterator[Sheet]:
    """Yield the pages one by one: of a large family all of them together would take much memory."""
    on_first = layout.rows(layout.first_top_mm) * layout.columns
    on_each = layout.rows(layout.top_mm) * layout.columns
    pages = 1 + ceil(max(0, len(cards) - on_first) / on_each)
    for page in range(pages):
        easel = Easel()
        _draw_head(easel, ran, layout, page, pages)
        top = layout.top_mm if page else layout.first_top_mm
        if page == 0:
            _draw_intro(easel, layout, intro)
        start = on_first + (page - 1) * on_each if page else 0
        some = cards[start : start + (on_each if page else on_first)]
        for place, (entry, picture) in enumerate(some):
            draw_card(easel, layout.box(place, top), entry, picture, look)
        first, last = some[0][0].name, some[-1][0].name
        title = f"{page + 1}: {first} – {last}" if first != last else f"{page + 1}: {first}"
        yield Sheet(layout.paper, tuple(easel.items), title)


def _draw_head(easel: Easel, ran: Ran, layout: _Layout, page: int, pages: int) -> None:
    """Write the title, large on the first page, and the number of the page at the foot."""
    paper = layout.paper
    height = TITLE_MM if page == 0 else LEAST_MM
    room = paper.width_mm - 2.0 * EDGE_MM
    title = fitted(" ".join(title_of(ran.family).split()), height, room, bold=True)
    easel.write(title, (EDGE_MM, paper.height_mm - EDGE_MM - height), height, bold=True)
    told = f"page {page + 1} of {pages}"
    easel.write(told, (paper.width_mm - EDGE_MM, EDGE_MM), LEAST_MM, anchor="end", colour=GREY)
    easel.write(fitted(ran.family.file.family, LEAST_MM, room / 2.0), (EDGE_MM, EDGE_MM), LEAST_MM, colour=GREY)


def _draw_intro(easel: Easel, layout: _Layout, intro: Sequence[_Line]) -> None:
    y = layout.top_mm - PAD_MM - LEAST_MM
    for text, bold in intro:
        easel.write(text, (EDGE_MM, y), LEAST_MM, bold=bold)
        y -= line_pitch(LEAST_MM)
