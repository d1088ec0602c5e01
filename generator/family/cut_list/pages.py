"""The cut list on paper: totals and cautions first, then a page for every pattern with its picture to scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from generator.base.cautions import CAUTIONS
from generator.base.many import many
from generator.base.paper_sizes import FORMATS
from generator.family.cut_list.laid import Group, Left
from generator.family.cut_list.numbers import percent, plain, square_metres
from generator.family.cut_list.picture import BOTTOM_MM, EDGE_MM, PAPER, TEXT_MM, heading, pattern_pages
from generator.paper.letters import line_pitch, width_mm
from generator.paper.ruled import Cell, Column, Row, Ruled, Said, draw_ruled, row_height
from generator.paper.sheet import Easel, Sheet
from generator.paper.words import wrapped
from generator.recipe.model_family import FamilyFile

__all__ = ["pages"]

PITCH_MM: Final = line_pitch(TEXT_MM)
WIDTH_MM: Final = PAPER.width_mm - 2.0 * EDGE_MM
CUT_WORDS: Final = (
    "Cutting sheet metal",
    "Guard over the blade or the shear's clamp down before every cut, hands clear of both; gloves for carrying sheet, "
    "never at a turning tool. Fresh edges and burrs cut: deburr before the next step. Clamp thin sheet over its whole "
    "area on a backing; a loose offcut is thrown.",
)
"""Our own words; what else must be known stands with the machine."""
SHOWN: Final = ("machine", "edges", "law")
HOW: Final = (
    "Blanks and inserts lie as the pictures show, seen from the top; places are told from the lower left corner of the "
    "sheet to that of the box round a piece. Every piece keeps {spacing} mm to its neighbours and {edge} mm to the "
    "edge of the sheet; turns are free, so look at the grain first where it is to show. Waste is all that no piece "
    "takes, the rest at the end of the last sheet included."
)


def pages(groups: Sequence[Group], file: FamilyFile, title: str) -> tuple[Sheet, ...]:
    """Return the sheets of paper.

    Args:
        groups: what is cut.
        file: the family's, for its margins.
        title: of the family.
    """
    out = list(_totals(groups, file, title))
    for group in groups:
        out += pattern_pages(group, title)
    return tuple(_numbered(out))


def _numbered(sheets: Sequence[Sheet]) -> Iterator[Sheet]:
    for number, sheet in enumerate(sheets):
        easel = Easel(list(sheet.items))
        text = f"{number + 1} / {len(sheets)}"
        easel.write(text, (PAPER.width_mm - EDGE_MM, EDGE_MM - 5.0), TEXT_MM, anchor="end")
        yield Sheet(sheet.format, tuple(easel.items), sheet.title)


class _Flow:
    """Pages that are filled from the top."""

    def __init__(self, title: str) -> None:
        self._title = title
        self.pages: list[Easel] = []
        self.easel, self.y = Easel(), 0.0
        self.turn()

    def turn(self) -> None:
        """Begin a new page."""
        self.easel = Easel()
        self.y = heading(self.easel, f"Cut list: {self._title}", (), "continued" if self.pages else "")
        self.pages.append(self.easel)

    def need(self, height: float) -> None:
        """Begin a new page unless there is so much room left."""
        if self.y - height < BOTTOM_MM:
            self.turn()

    def words(self, text: str, *, bold: bool = False, indent: float = 0.0) -> None:
        """Write a paragraph."""
        for line in wrapped(text, TEXT_MM, WIDTH_MM - indent, bold=bold):
            self.need(PITCH_MM)
            self.y -= PITCH_MM
            self.easel.write(line, (EDGE_MM + indent, self.y), TEXT_MM, bold=bold)

    def table(self, table: Ruled) -> None:
        """Draw a table over as many pages as it takes."""
        rows = list(table.rows)
        while rows:
            self.need(table.head_mm + row_height(rows[0], table))
            room, some = self.y - BOTTOM_MM - table.head_mm, 0
            while some < len(rows) and room >= row_height(rows[some], table):
                room -= row_height(rows[some], table)
                some += 1
            some = max(some, 1)
            self.y = draw_ruled(self.easel, EDGE_MM, self.y, table, rows[:some]) - 2.0
            rows = rows[some:]


def _totals(groups: Sequence[Group], file: FamilyFile, title: str) -> Iterator[Sheet]:
    flow = _Flow(title)
    flow.table(_totals_table(groups))
    flow.y -= 1.0
    flow.words(HOW.format(spacing=plain(file.spacing), edge=plain(file.sheet_edge)))
    left = [(g, row) for g in groups for row in g.left]
    if left:
        flow.y -= 2.0
        flow.words(f"On no sheet: {many(len(left), 'piece')}", bold=True)
        flow.y -= 2.0
        flow.table(_left_table(left))
    flow.y -= 2.0
    flow.need(8.0 * PITCH_MM)
    for heads, text in (CUT_WORDS, *((c.title, c.text) for c in CAUTIONS if c.id in SHOWN)):
        flow.words(heads, bold=True)
        flow.words(text)
    for easel in flow.pages:
        yield Sheet(FORMATS["A4"].landscape, tuple(easel.items), "cut list")


def _totals_table(groups: Sequence[Group]) -> Ruled:
    heads = ("what", "material", "thickness\nmm", "pieces", "sheets", "pieces\nm²", "sheets\nm²", "waste\nm²", "waste",
             "mass of\nsheets kg", "on no\nsheet")  # fmt: skip
    rows = [_totals_row(g) for g in groups]
    spare = WIDTH_MM - 18.0 - sum(TOTALS_MM)
    widths = (18.0, spare, *TOTALS_MM)
    columns = tuple(
        Column(h, w, "start" if k in (0, 1, 4) else "end") for k, (h, w) in enumerate(zip(heads, widths, strict=True))
    )
    return Ruled(columns, tuple(_row(columns, r) for r in rows))


TOTALS_MM: Final = (22.0, 16.0, 58.0, 20.0, 20.0, 20.0, 17.0, 20.0, 16.0)


def _totals_row(group: Group) -> tuple[tuple[str, ...], ...]:
    whole, used = group.sheet_area_mm2, group.used_area_mm2
    pieces = sum(len(s.pieces) for s in group.sheets)
    mass = "not known" if group.mass_kg is None else f"{group.mass_kg:.2f}"
    stocks: dict[tuple[float, float], int] = {}
    for p in group.patterns:
        size = p.stock.length, p.stock.width
        stocks[size] = stocks.get(size, 0) + p.times
    sheets = tuple(f"{n} of {plain(a)} × {plain(b)} mm" for (a, b), n in stocks.items())
    none = not group.patterns
    return (
        (group.kind,), (group.material,), (plain(group.thickness_mm),), (str(pieces),), sheets or ("none",),
        (square_metres(used),), (square_metres(whole),), (square_metres(whole - used),),
        ("" if none else percent(1.0 - used / whole),), ("" if none else mass,), (str(len(group.left)),),
    )  # fmt: skip


def _row(columns: Sequence[Column], cells: Sequence[Sequence[str]]) -> Row:
    out = []
    for column, texts in zip(columns, cells, strict=True):
        lines = [w for t in texts for w in wrapped(t, TEXT_MM, column.width_mm - 2.4)]
        out.append(Cell(tuple(Said(w, TEXT_MM) for w in lines)))
    return Row((), (tuple(out),))


def _left_table(left: Sequence[tuple[Group, Left]]) -> Ruled:
    """Return a row for every material, size and reason, with the pieces' names."""
    rows: dict[tuple[str, ...], list[str]] = {}
    for group, one in left:
        item = group.items[one.wanted.item]
        size = f"{plain(item.length_mm)} × {plain(item.width_mm)} × {plain(group.thickness_mm)}"
        rows.setdefault((group.material, size, one.why), []).append(one.wanted.label)
    size_mm = max(40.0, *(width_mm(k[1], TEXT_MM) + 3.0 for k in rows))
    columns = (
        Column("material", 42.0), Column("size mm", size_mm), Column("why", 75.0),
        Column("pieces", WIDTH_MM - 117.0 - size_mm),
    )  # fmt: skip
    out = []
    for (material, size, why), names in rows.items():
        shown = ", ".join(names[:MOST_NAMES])
        more = f" and {len(names) - MOST_NAMES} more, see cut-list.csv" if len(names) > MOST_NAMES else ""
        out.append(_row(columns, ((material,), (size,), (why,), (f"{len(names)}: {shown}{more}",))))
    return Ruled(columns, tuple(out))


MOST_NAMES: Final = 40
