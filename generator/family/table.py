"""Rows from a CSV file as spreadsheets save it: any usual separator and encoding, quotes, a mark at the beginning.

The dialect of RFC 4180 is read: cells in double quotes may hold separators, line breaks and doubled quotes. Every cell
knows its line, so that a mistake in it can be found again.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.recipe.mistakes import Mistakes, did_you_mean, listed, one_mistake
from generator.recipe.model_family import COLUMN, MOST_VARIANTS, RECIPE_PATH
from generator.recipe.places import Place, SourceText, shown

__all__ = ["MOST_BYTES", "Row", "read_table"]

MOST_BYTES: Final = 20_000_000
"""Largest table: our choice."""
_TOLD: Final = re.compile(r"sep=([,;\t|])\n")
"""A first line by which some spreadsheets tell each other the separator."""
LONGEST_CELL: Final = 10_000
SEPARATORS: Final = (",", ";", "\t", "|")
NAMES: Final = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}


@frozen_record
class Row:
    """One row: its cells by name, empty ones left out, and where it begins."""

    cells: Mapping[str, str]
    place: Place


@frozen_record
class _Record:
    """One record of the file with the line on which it begins, 1-based."""

    cells: tuple[str, ...]
    line: int


def read_table(name: str, data: bytes, columns: Mapping[str, str], mistakes: Mistakes) -> tuple[Row, ...]:
    """Return the rows of a CSV file; mistakes are added to ``mistakes``.

    Args:
        name: of the file, for messages.
        data: its bytes, UTF-8 (with or without a mark), UTF-16 with its mark, or Windows-1252.
        columns: names for headings, beside headings that are names or paths in a recipe themselves.
        mistakes: where mistakes in rows and headings go.

    Raises: RecipeError: no table at all.
    """
    text = _decoded(name, data)
    source = SourceText(name, text)
    whole = Place(source)
    told = _TOLD.match(text)
    separator = told[1] if told else _separator(text)
    text = text[len(told[0]) - 1 :] if told else text  # its line stays, empty, so that the others keep their numbers
    records = _records(text, separator, whole)
    if not records:
        raise one_mistake(whole, "an empty table", "a row of headings and a row for each variant")
    if len(records) == 1:
        raise one_mistake(whole, "headings without rows", "a row for each variant", "add rows below the headings")
    if len(records) - 1 > MOST_VARIANTS:
        raise one_mistake(
            whole, f"{len(records) - 1} rows", f"at most {MOST_VARIANTS}", "part it into several families"
        )
    named = _named(records[0], columns, source, separator, mistakes)
    wide = len(records[0].cells)
    rows = []
    for record in records[1:]:
        place = Place(source, record.line, 1)
        if len(record.cells) > wide and any(c.strip() for c in record.cells[wide:]):
            found = f"{len(record.cells)} cells"
            remedy = f"put a cell that holds {NAMES[separator]} in double quotes, or add a heading"
            mistakes.add(place, "table", found, f"{wide}, as many as there are headings", remedy)
            continue
        cells = {n: record.cells[i].strip() for n, i in named.items() if i < len(record.cells)}
        rows.append(Row({n: c for n, c in cells.items() if c}, place))
        for n, cell in rows[-1].cells.items():
            if len(cell) > LONGEST_CELL or not all(c.isprintable() or c in "\n\t" for c in cell):
                found = "a cell of more than 10,000 characters" if len(cell) > LONGEST_CELL else "control characters"
                mistakes.add(place, f"table.{n}", found, "a number or a text", "mend the cell")
    return tuple(rows)


def _decoded(name: str, data: bytes) -> str:
    whole = Place(SourceText(name))
    if len(data) > MOST_BYTES:
        raise one_mistake(
            whole, f"more than {MOST_BYTES // 1_000_000} MB", "a table of variants", "is this the right file?"
        )
    if data[:4] in (b"PK\x03\x04", b"\xd0\xcf\x11\xe0"):
        found = "a spreadsheet's own file"
        raise one_mistake(whole, found, "a CSV file", "save the sheet as CSV (UTF-8) and name that file")
    try:
        if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
            return _lines(data.decode("utf-16"))
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        if b"\0" in data:
            raise one_mistake(whole, "a binary file", "a CSV file", "is this the right file?") from None
        # what spreadsheets in the west save without being asked for UTF-8; its few free codes become marks
        text = data.decode("cp1252", errors="replace")
    if "\0" in text:
        raise one_mistake(whole, "a binary file", "a CSV file", "is this the right file?")
    return _lines(text)


def _lines(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _separator(text: str) -> str:
    """Return the separator of the row of headings: the one that stands in it most often outside quotes."""
    head = re.sub(r'"(?:[^"]|"")*"', "", text.lstrip("\n").split("\n", 1)[0])
    return max(SEPARATORS, key=lambda s: (head.count(s), -SEPARATORS.index(s)))


def _records(text: str, separator: str, whole: Place) -> list[_Record]:
    """Return the records that hold anything, the headings first."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    records: list[_Record] = []
    before = 0
    try:
        for cells in reader:
            if any(c.strip() for c in cells):
                records.append(_Record(tuple(cells), before + 1))
            before = reader.line_num
    except csv.Error as error:
        place = Place(whole.source, before + 1, 1)
        found = "a quoted cell that does not end" if "end of data" in str(error) else f"quotes out of place ({error})"
        remedy = 'a double quote within a cell is written twice: `"7 ""A"""`'
        raise one_mistake(place, found, "a row of a CSV file", remedy) from None
    return records


def _is_name(heading: str) -> bool:
    """Return True for a name, or a path of two steps or more in the recipe."""
    is_path = ("." in heading or "[" in heading) and re.fullmatch(RECIPE_PATH, heading)
    return bool(is_path or re.fullmatch(COLUMN, heading))


def _named(
    head: _Record, columns: Mapping[str, str], source: SourceText, separator: str, mistakes: Mistakes
) -> dict[str, int]:
    """Return the column of every name; headings that are neither names nor paths and have no name are passed over."""
    place = Place(source, head.line, 1)
    headings = [c.strip() for c in head.cells]
    named: dict[str, int] = {}
    for name, heading in columns.items():
        if heading not in headings:
            found = f"no heading `{shown(heading)}`"
            remedy = did_you_mean(heading, headings) or f"the cells are taken to be parted by {NAMES[separator]}"
            mistakes.add(place, f"columns.{name}", found, f"one of {listed(map(shown, headings))}", remedy)
        elif (other := next((n for n in named if columns[n] == heading), "")) != "":
            found = f"the heading `{shown(heading)}`, which `{other}` stands for already"
            mistakes.add(place, f"columns.{name}", found, "one name for a heading", f"delete `{name}` or `{other}`")
        else:
            named[name] = headings.index(heading)
    for i, heading in enumerate(headings):
        if i in named.values() or not _is_name(heading):
            continue
        if heading in named or headings.count(heading) > 1:
            if headings.index(heading) == i:
                mistakes.add(
                    place, f"table.{heading}", f"the heading `{heading}` twice", "headings of their own", "rename one"
                )
            continue
        named[heading] = i
    if not named and not mistakes:
        found = f"headings that are no names: {listed(map(shown, headings))}"
        remedy = 'give them names: `columns: {plot: "Plot no."}`'
        mistakes.add(place, "table", found, "names such as `plot`, or paths in the recipe", remedy)
    return named
