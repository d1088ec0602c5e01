"""Readings from a filled inspection sheet, with everything that is wrong with it told in one go."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.estimate.inspection_csv import COLUMNS, HEAD, PART, Inspected
from generator.estimate.reading_figures import FigureError, figures_in, mix_ups
from generator.estimate.table_cells import Cell, OpenQuoteError, cells_of, plain_text, separator_of
from generator.estimate.told_sizes import told_size
from generator.recipe.mistakes import Mistakes
from generator.recipe.places import Place, SourceText, shown

__all__ = ["Readings", "read_readings"]

NOT_MEASURED: Final = ("-", "–", "—")
REMARKS: Final = "remarks"
_PART_COLUMN: Final = re.compile(PART + r"[1-9]\d{0,3}")
_FIGURE: Final = re.compile(r"-?\d[\d.,]*")
MOST_NAMED: Final = 8
ROW_BACK: Final = "put the row back; where nothing was measured, write - for the reading"


@frozen_record
class Readings:
    """What was measured.

    Attributes:
        parts: names of the columns that hold readings, in their order.
        values: (part, number of the characteristic) → readings in the sheet's unit; none where it says ``-``.
    """

    parts: tuple[str, ...]
    values: Mapping[tuple[str, int], tuple[float, ...]]

    def of(self, number: int) -> tuple[float, ...]:
        """Return all readings of a characteristic, part by part."""
        return tuple(v for part in self.parts for v in self.values[part, number])


def read_readings(name: str, text: str, sheet: Inspected) -> Readings:
    """Return the readings of a filled sheet.

    Args:
        name: of the file, for messages.
        text: of the file, decoded.
        sheet: what the recipe asks to be measured.

    Raises: RecipeError: with every mistake found, each with its line and column.
    """
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    return _Reading(SourceText(name, plain), sheet).readings()


class _Reading:
    """One file being read."""

    def __init__(self, source: SourceText, sheet: Inspected) -> None:
        self._source, self._sheet = source, sheet
        self._separator = separator_of(source.text)
        self._mistakes = Mistakes()
        self._columns: dict[str, int] = {}
        self._width = 0
        self._values: dict[tuple[str, int], tuple[float, ...]] = {}
        self._cells: dict[tuple[str, int], Cell] = {}
        self._slips: dict[str, list[tuple[Cell, str, str, str, str]]] = {}

    def readings(self) -> Readings:
        """Return the readings, or raise every mistake."""
        head, header, body = self._rows()
        self._judge_head(head)
        self._mistakes.raise_any()  # the rows of another sheet would only be wrong all over
        self._judge_header(header)
        seen: dict[int, Cell] = {}
        for row in body:
            self._judge_row(row, seen)
        missing = [c.number for c in self._sheet.characteristics if c.number not in seen]
        if missing:
            told = ", ".join(str(n) for n in missing[:MOST_NAMED]) + (" …" if len(missing) > MOST_NAMED else "")
            self._wrong(None, "", f"no row for number {told}", "a row for every number of the sheet", ROW_BACK)
        parts = self._measured_parts()
        self._judge_empty(parts)
        self._judge_mix_ups(parts)
        self._tell_slips()
        self._mistakes.raise_any()
        return Readings(parts, {(p, n): v for (p, n), v in self._values.items() if p in parts})

    # -------------------------------------------------------------- rows
    def _rows(self) -> tuple[list[list[Cell]], list[Cell], list[list[Cell]]]:
        """Return the lines before the header, the header, and the lines after it."""
        if not self._separator:
            expected = "a header line that begins with `number`, its cells parted by one of , ; tab |"
            self._wrong(None, "", "no header line", expected, "take the file inspection.csv of the pack and fill it in")
            raise self._mistakes.error()
        try:
            rows = cells_of(self._source.text, self._separator)
        except OpenQuoteError as error:
            cell = Cell('"', error.line, error.column)
            self._wrong(cell, "", "a quote that is not closed", "a quote at the end of the cell", 'add a "')
            raise self._mistakes.error() from None
        k = next(i for i, row in enumerate(rows) if row[0].text.lower() == COLUMNS[0])
        return [r for r in rows[:k] if not r[0].text.lower().startswith("sep=")], rows[k], rows[k + 1 :]

    def _judge_head(self, head: list[list[Cell]]) -> None:
        """Tell readings that belong to another recipe, revision, list of characteristics, or unit."""
        found = {row[0].text.lower(): row[1] if len(row) > 1 else row[0] for row in head}
        known = dict(self._sheet.head)
        remedies = {
            "recipe": "name the recipe that these parts were made from",
            "revision": "name the recipe of that revision, or measure by the sheet of this one",
            "characteristics": "sizes or limits have changed since the sheet was printed: build again, measure by the "
            "new sheet",
            "unit": f"write readings in {self._sheet.unit.plural}, as the sheet has them",
        }
        for word in HEAD:
            cell = found.get(word)
            if cell is None:
                self._wrong(None, word, f"no line `{word}`", f"`{word}` and `{known[word]}`", "put the line back")
            elif not _is_same(plain_text(cell.text), known[word].strip()):
                said = f"`{shown(cell.text)}`" if cell.text else "nothing"
                self._wrong(cell, word, said, f"`{known[word]}`", remedies[word])

    def _judge_header(self, header: list[Cell]) -> None:
        """Tell columns that are not known, are there twice, or are missing."""
        self._width = len(header)
        words = [*COLUMNS, REMARKS]
        for k, cell in enumerate(header):
            word = cell.text.lower()
            if not word:
                continue
            if word in self._columns:
                self._wrong(cell, word, f"a second column `{shown(word)}`", "each column once", "number it anew")
            elif word in words or _PART_COLUMN.fullmatch(word):
                self._columns[word] = k
            else:
                near = difflib.get_close_matches(word, [*words, f"{PART}1"], n=1)
                remedy = f"did you mean `{near[0]}`?" if near else "leave the column out, or call it `remarks`"
                self._wrong(cell, "", f"a column `{shown(cell.text)}`", f"`{PART}1`, `{PART}2` …", remedy)
        if not self._part_columns:
            self._wrong(header[0], "", "no column for readings", f"a column `{PART}1`", f"add `{PART}1` to the header")

    @property
    def _part_columns(self) -> list[str]:
        return [w for w in self._columns if w.startswith(PART)]

    # -------------------------------------------------------------- one row
    def _judge_row(self, row: list[Cell], seen: dict[int, Cell]) -> None:
        first = row[0]
        by_number = {c.number: c for c in self._sheet.characteristics}
        number = int(first.text) if re.fullmatch(r"\d{1,5}", first.text) else None
        if number is None or number not in by_number:
            last = self._sheet.characteristics[-1].number if by_number else 0
            remedy = "leave the row out: it belongs to another sheet" if number is not None else "write the number"
            self._wrong(first, "number", f"`{shown(first.text)}`", f"a number from 1 to {last}", remedy)
            return
        if number in seen:
            remedy = f"leave one of the two out; the other stands in line {seen[number].line}"
            self._wrong(first, "number", f"a second row for number {number}", "one row a number", remedy)
            return
        seen[number] = first
        if self._runs_over(row, number):
            return
        self._judge_figures(row, number)
        for part in self._part_columns:
            k = self._columns[part]
            cell = row[k] if k < len(row) else Cell("", first.line, row[-1].column)
            self._take(part, number, cell)

    def _runs_over(self, row: list[Cell], number: int) -> bool:
        """Tell cells beyond the last column: where commas part cells, a decimal comma makes two of one."""
        extra = row[self._width :]
        if not extra or not (self._separator == "," or any(c.text for c in extra)):
            return False
        remedy = "leave it out, or give it a column in the header"
        if self._separator == ",":
            remedy = (
                "a comma parts cells here: write readings with a point, as in 6.62, or save the table with semicolons"
            )
        self._slip(extra[0], f"number {number}", "more cells than the header has", f"{self._width} cells", remedy)
        return True

    def _judge_figures(self, row: list[Cell], number: int) -> None:
        """Tell limits that somebody changed: the readings are held against the recipe's."""
        c = next(c for c in self._sheet.characteristics if c.number == number)
        size = told_size(c, self._sheet.unit)
        for word, value in (("nominal", size.nominal), ("lower", size.lower), ("upper", size.upper)):
            k = self._columns.get(word)
            if k is None or k >= len(row) or not row[k].text:
                continue
            try:
                (found,) = figures_in(row[k].text, self._separator, 1)
            except (FigureError, ValueError):
                found = float("nan")
            if not abs(found - value) < 0.5 * 10.0**-self._sheet.unit.limit_decimals:
                remedy = "readings are held against the recipe: put the figure back, or change the recipe"
                self._wrong(row[k], f"number {number}", f"{word} `{shown(row[k].text)}`", size.text(value), remedy)
        k = self._columns.get("part")
        if k is not None and k < len(row) and row[k].text not in ("", c.part):
            remedy = "the row belongs to another sheet, or numbers were moved: put it back"
            self._wrong(row[k], f"number {number}", f"`{shown(row[k].text)}`", f"`{c.part}`", remedy)

    def _take(self, part: str, number: int, cell: Cell) -> None:
        """Keep what a cell holds."""
        self._cells[part, number] = cell
        if cell.text in ("", *NOT_MEASURED):
            self._values[part, number] = ()
            return
        count = next(c.count for c in self._sheet.characteristics if c.number == number)
        try:
            self._values[part, number] = figures_in(cell.text, self._separator, count)
        except FigureError as error:
            self._values[part, number] = ()
            self._slip(cell, f"number {number}, {part}", error.found, error.expected, error.remedy)

    # -------------------------------------------------------------- the whole
    def _measured_parts(self) -> tuple[str, ...]:
        """Return the columns that hold anything; empty ones are for parts that were not made."""
        cells = self._cells
        filled = [p for p in self._part_columns if any(cells[q, n].text for q, n in cells if q == p)]
        if self._part_columns and not filled and not self._slips:  # rows that run over say enough
            self._wrong(
                None, self._part_columns[0], "no readings at all", "a reading in every row", "fill the sheet in"
            )
        if filled and all(c.text in ("", *NOT_MEASURED) for c in cells.values()):
            first = next(c for (p, _), c in cells.items() if p == filled[0])
            self._wrong(first, filled[0], "not one reading", "a reading in one row at least", "fill the sheet in")
        return tuple(sorted(filled, key=lambda p: int(p.removeprefix(PART))))

    def _judge_empty(self, parts: Sequence[str]) -> None:
        for (part, number), cell in self._cells.items():
            if part in parts and not cell.text:
                remedy = "write the reading, or - if it was not measured"
                self._slip(cell, f"number {number}, {part}", "an empty cell", "a reading", remedy)

    def _judge_mix_ups(self, parts: Sequence[str]) -> None:
        for part in parts:
            mine = {n: v for (p, n), v in self._values.items() if p == part and v}
            for number, found, remedy in mix_ups(self._sheet, mine):
                cell = self._cells[part, number]
                size = told_size(next(c for c in self._sheet.characteristics if c.number == number), self._sheet.unit)
                expected = f"about {size.nominal_text} {self._sheet.unit.suffix}"
                self._slip(cell, f"number {number}, {part}", found, expected, remedy)

    def _slip(self, cell: Cell, path: str, found: str, expected: str, remedy: str) -> None:
        """Note what people do in many cells alike: the same remedy but for its figures is the same cause."""
        self._slips.setdefault(_FIGURE.sub("#", remedy), []).append((cell, path, found, expected, remedy))

    def _tell_slips(self) -> None:
        """Tell every cause once, at its first cell, with how many more there are and in which lines."""
        for cells in self._slips.values():
            cell, path, found, expected, remedy = cells[0]
            more = [str(c.line) for c, *_ in cells[1:]]
            if more:
                lines = ", ".join(dict.fromkeys(more[:MOST_NAMED])) + (" …" if len(more) > MOST_NAMED else "")
                found += f", and {len(more)} more like it in line{'s' if len(set(more)) > 1 else ''} {lines}"
                remedy += "; the others alike"
            self._wrong(cell, path, found, expected, remedy)

    def _wrong(self, cell: Cell | None, path: str, found: str, expected: str, remedy: str) -> None:
        place = Place(self._source, cell.line, cell.column) if cell else Place(self._source, 0, 0)
        self._mistakes.add(place, path, found, expected, remedy)


def _is_same(text: str, known: str) -> bool:
    """Return True for the same text, or the same number: spreadsheets write revision 1.10 as 1.1."""
    if text == known:
        return True
    try:
        return float(text) == float(known)
    except ValueError:
        return False
