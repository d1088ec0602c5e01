"""The inspection sheet on paper: a picture with balloons, beside it a table to be filled in, a part after the other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from generator.base.cautions import CAUTIONS
from generator.base.frozen_record import frozen_record
from generator.base.paper_sizes import Format, format_of
from generator.base.units import LengthUnit
from generator.estimate.characteristic import BLANK, Characteristic
from generator.estimate.characteristics import datum_of
from generator.estimate.inspection_csv import Inspected
from generator.estimate.told_sizes import told_size
from generator.paper.box import Box
from generator.paper.drawing.lettered import draw_balloon
from generator.paper.inspection_picture import Picture, draw_picture
from generator.paper.letters import LEAST_MM, fitted, width_mm
from generator.paper.lines import NARROW, VISIBLE
from generator.paper.sheet import Easel, Sheet, line, rectangle
from generator.paper.words import wrapped
from generator.part.part import Plan
from generator.recipe.model import Recipe

__all__ = ["inspection_sheets"]

EDGE_MM: Final = 10.0
"""Nothing is printed nearer to the edges of the sheet."""
HEAD_MM: Final = 19.0
FOOT_MM: Final = 17.0
PICTURE: Final = 0.36
"""Share of the width that the picture takes."""
PICTURE_MM: Final = 100.0
"""Least height of the picture."""
GAP_MM: Final = 4.0
TEXT_MM: Final = LEAST_MM
PITCH_MM: Final = 3.9
ROW_MM: Final = 9.2
"""Least height of a row: room to write in by hand."""
PAD_MM: Final = 1.2
COLUMN_MM: Final = 14.0
"""Least width of a column for readings."""
NUMBER_MM, FIGURE_MM, INSTRUMENT_MM, WHAT_MM = 9.5, 18.0, 27.0, 52.0
DEBURR: Final = next(c.text for c in CAUTIONS if c.id == "edges")


@frozen_record
class _Row:
    """A row of the table: its characteristic, what it says in lines, and its height, mm."""

    characteristic: Characteristic
    what: tuple[str, ...]
    instrument: tuple[str, ...]
    height: float


@frozen_record
class _Table:
    """Places of the columns: left edges, and the last one's right edge; how many are for readings."""

    box: Box
    edges: tuple[float, ...]
    parts: int

    @property
    def what_mm(self) -> float:
        return self.edges[2] - self.edges[1]


def inspection_sheets(recipe: Recipe, plan: Plan, sheet: Inspected) -> tuple[Sheet, ...]:
    """Return the pages of the inspection sheet on the recipe's paper, lying."""
    paper = format_of(recipe.paper.size).landscape
    table = _table(paper, sheet.parts)
    pages = list(_pages(sheet, table))
    out = []
    for k, (part, rows) in enumerate(pages, start=1):
        easel = Easel()
        _head(easel, paper, plan, sheet, part, f"sheet {k} of {len(pages)}")
        low = _draw_table(easel, table, rows, sheet)
        low = max(table.box.bottom, min(low, table.box.top - PICTURE_MM))
        left = Box(EDGE_MM, low, table.box.left - GAP_MM, table.box.top)
        shown = tuple(r.characteristic for r in rows)
        datum = datum_of(plan) if part == "cover" else None
        draw_picture(easel, left, plan, Picture(part, shown, datum))
        _foot(easel, paper, plan, part, table, sheet.parts)
        out.append(Sheet(paper, tuple(easel.items), f"inspection, {_told(part)}"))
    return tuple(out)


def _told(part: str) -> str:
    return part.replace("insert-", "insert ") if part != BLANK else "blank, before it is turned over"


# ------------------------------------------------------------------ layout
def _table(paper: Format, wanted: int) -> _Table:
    """Return the columns: as many for readings as there are parts and as fit, what is left goes to the words."""
    left = EDGE_MM + PICTURE * (paper.width_mm - 2.0 * EDGE_MM) + GAP_MM
    box = Box(left, EDGE_MM + FOOT_MM, paper.width_mm - EDGE_MM, paper.height_mm - EDGE_MM - HEAD_MM)
    fixed = NUMBER_MM + 2.0 * FIGURE_MM + INSTRUMENT_MM
    parts = max(1, min(wanted, int((box.width - fixed - WHAT_MM) / COLUMN_MM)))
    what = max(WHAT_MM, min(box.width - fixed - parts * COLUMN_MM, 1.4 * WHAT_MM))
    column = (box.width - fixed - what) / parts
    widths = (NUMBER_MM, what, FIGURE_MM, FIGURE_MM, INSTRUMENT_MM, *(column for _ in range(parts)))
    edges = [box.left]
    for w in widths:
        edges.append(edges[-1] + w)
    return _Table(box, tuple(edges), parts)


def _pages(sheet: Inspected, table: _Table) -> Iterator[tuple[str, tuple[_Row, ...]]]:
    """Yield part and rows of every page: each part begins a page of its own, rows are spread evenly over its pages."""
    for part in dict.fromkeys(c.part for c in sheet.characteristics):
        rows = [_row(c, table) for c in sheet.characteristics if c.part == part]
        room = table.box.height - ROW_MM
        fewest = len(list(_filled(rows, room)))
        even = room
        while fewest > 1 and len(list(_filled(rows, even - 1.0))) == fewest:
            even -= 1.0
        yield from ((part, page) for page in _filled(rows, even))


def _filled(rows: Sequence[_Row], room: float) -> Iterator[tuple[_Row, ...]]:
    page: list[_Row] = []
    used = 0.0
    for row in rows:
        if page and used + row.height > room:
            yield tuple(page)
            page, used = [], 0.0
        page.append(row)
        used += row.height
    if page:
        yield tuple(page)


def _row(c: Characteristic, table: _Table) -> _Row:
    what = wrapped(f"{c.count} × {c.what}" if c.count > 1 else c.what, TEXT_MM, table.what_mm - 2.0 * PAD_MM)
    instrument = wrapped(c.instrument, TEXT_MM, INSTRUMENT_MM - 2.0 * PAD_MM)
    lines = max(len(what), len(instrument))
    return _Row(c, what, instrument, max(ROW_MM, lines * PITCH_MM + 1.4))


# ------------------------------------------------------------------ head and foot
def _head(easel: Easel, paper: Format, plan: Plan, sheet: Inspected, part: str, page: str) -> None:
    top, right = paper.height_mm - EDGE_MM, paper.width_mm - EDGE_MM
    drawing = f"drawing {sheet.number}" + (f"-{part}" if part != BLANK else "") if sheet.number else ""
    issued = ", ".join(w for w in (drawing, f"issued {sheet.date}" if sheet.date else "") if w)
    if issued:
        room = 0.6 * (right - EDGE_MM) - width_mm(f"; {page}", 3.5)
        page = f"{fitted(issued, 3.5, room)}; {page}"
    easel.write(page, (right, top - 5.5), 3.5, anchor="end")
    room = right - EDGE_MM - width_mm(page, 3.5) - 6.0
    easel.write(fitted(f"Inspection: {_told(part)}", 5.0, room, bold=True), (EDGE_MM, top - 5.5), 5.0, bold=True)
    kept = f"sizes in {sheet.unit.plural}; characteristics {sheet.digest}"
    room = right - EDGE_MM
    for words, share in ((f"revision {plan.revision}", 0.6), (plan.name, 0.8), (plan.title, 1.0)):
        if words:
            left = share * room - width_mm(f"; {kept}", 3.5)
            kept = f"{fitted(words, 3.5, left)}{'; ' if words.startswith('revision ') else ', '}{kept}"
    easel.write(kept, (EDGE_MM, top - 11.5), 3.5)
    easel.draw(line((EDGE_MM, top - 14.5), (right, top - 14.5)), kind=VISIBLE)


def _foot(easel: Easel, paper: Format, plan: Plan, part: str, table: _Table, wanted: int) -> None:
    right = paper.width_mm - EDGE_MM
    sentences = ["Picture not to scale, seen from the top; dashed: bottom face."]
    if part == "cover":
        datum = datum_of(plan)
        sentences.append(f"Datum, x to the right, y up: {datum.what}; {datum.along}.")
    sentences.append("Several alike: write the reading farthest from nominal.")
    if wanted > table.parts:
        sentences.append("Print again for more parts.")
    sentences.append(DEBURR)
    signed = "measured by ....................... on ..................."
    room = right - EDGE_MM - width_mm(signed, TEXT_MM) - 6.0
    y = EDGE_MM + FOOT_MM - 3.0 - TEXT_MM
    for text in wrapped(" ".join(sentences), TEXT_MM, room):
        easel.write(text, (EDGE_MM, y), TEXT_MM)
        y -= PITCH_MM
    easel.write(signed, (right, EDGE_MM + 1.0), TEXT_MM, anchor="end")


# ------------------------------------------------------------------ table
def _draw_table(easel: Easel, table: _Table, rows: Sequence[_Row], sheet: Inspected) -> float:
    """Draw the table and return the height at which it ends."""
    y = table.box.top
    _headings(easel, table, y, sheet)
    y -= ROW_MM
    for row in rows:
        _draw_row(easel, table, row, y, sheet.unit)
        easel.draw(line((table.box.left, y), (table.box.right, y)), kind=NARROW)
        y -= row.height
    for x in table.edges[1:-1]:
        easel.draw(line((x, y), (x, table.box.top)), kind=NARROW)
    easel.draw(rectangle(Box(table.box.left, y, table.box.right, table.box.top)), kind=VISIBLE, name="table")
    return y


def _headings(easel: Easel, table: _Table, top: float, sheet: Inspected) -> None:
    more = sheet.parts > table.parts
    parts = ["part" if more else _column(k, table.edges[-1] - table.edges[-2]) for k in range(1, table.parts + 1)]
    words = ("No.", "what", "nominal", "limits", "instrument", *parts)
    for k, word in enumerate(words):
        room = table.edges[k + 1] - table.edges[k] - 2.0 * PAD_MM
        y = top - ROW_MM / 2.0 - TEXT_MM / 2.0
        text = fitted(word, TEXT_MM, room, bold=True)
        easel.write(text, (table.edges[k] + PAD_MM, y), TEXT_MM, bold=True)


def _column(k: int, room_mm: float) -> str:
    """Return the heading of a column for readings: the number alone where the word does not fit."""
    word = f"part {k}"
    return word if width_mm(word, TEXT_MM, bold=True) <= room_mm - 2.0 * PAD_MM else str(k)


def _draw_row(easel: Easel, table: _Table, row: _Row, top: float, unit: LengthUnit) -> None:
    c, middle = row.characteristic, top - row.height / 2.0
    size = told_size(c, unit)
    draw_balloon(easel, c.number, (table.edges[0] + NUMBER_MM / 2.0, middle))
    _lines(easel, row.what, table.edges[1] + PAD_MM, middle)
    sign = "⌀" if "diameter" in c.kind.value else "R" if c.kind.value == "corner radius" else ""
    _lines(easel, (f"{sign}{size.nominal_text}",), table.edges[3] - PAD_MM, middle, anchor="end")
    _lines(easel, (size.upper_text, size.lower_text), table.edges[4] - PAD_MM, middle, anchor="end")
    _lines(easel, row.instrument, table.edges[4] + PAD_MM, middle)


def _lines(easel: Easel, lines: Sequence[str], x: float, middle: float, *, anchor: str = "start") -> None:
    """Write lines of text about a height."""
    y = middle + (len(lines) - 1) * PITCH_MM / 2.0 - TEXT_MM / 2.0
    for text in lines:
        easel.write(text, (x, y), TEXT_MM, anchor=anchor)
        y -= PITCH_MM
