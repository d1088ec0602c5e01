"""A table of text with separators as RFC 4180 has it, every cell with the line and column where it stands."""

from __future__ import annotations

import re
from typing import Final

from generator.base.frozen_record import frozen_record

__all__ = ["SEPARATORS", "Cell", "OpenQuoteError", "cells_of", "plain_text", "separator_of", "written"]

SEPARATORS: Final = ",;\t|"
_HEADER: Final = re.compile(r'^[ \t]*"?number"?[ ]*([,;\t|])', re.MULTILINE | re.IGNORECASE)


_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")
"""A spreadsheet takes a cell that begins so for a formula."""
_MARK: Final = "'"


def written(text: str) -> str:
    """Return a cell of text as it is safe in a spreadsheet: behind an apostrophe where it would be a formula."""
    return _MARK + text if text.lstrip(_MARK + " ").startswith(_FORMULA) or text.startswith(_FORMULA) else text


def plain_text(cell: str) -> str:
    """Return the text that ``written`` made a cell of."""
    bare = cell.removeprefix(_MARK)
    return bare if bare != cell and written(bare) == cell else cell


class OpenQuoteError(Exception):
    """A quoted cell does not end; carries the place where it begins."""

    def __init__(self, line: int, column: int) -> None:
        self.line, self.column = line, column
        super().__init__(f"a quote that opens in line {line} is not closed")


@frozen_record
class Cell:
    """A cell: its text without surrounding blanks, and where it begins (from 1)."""

    text: str
    line: int
    column: int


def separator_of(text: str) -> str:
    """Return the separator of a table: what follows the word ``number`` in its header; empty if there is none."""
    found = _HEADER.search(text)
    return found[1] if found else ""


def cells_of(text: str, separator: str) -> list[list[Cell]]:
    r"""Return the rows of a table whose lines end in ``\n``; rows without any text are left out.

    Raises: OpenQuoteError: a quote is not closed.
    """
    reader = _Reader(text, separator)
    rows = list(iter(reader.row, None))
    return [row for row in rows if any(c.text for c in row)]


class _Reader:
    """Goes through a text once."""

    def __init__(self, text: str, separator: str) -> None:
        self._text = text
        self._separator = separator
        self._at, self._line, self._start = 0, 1, 0

    def row(self) -> list[Cell] | None:
        """Return the next row; None at the end."""
        if self._at >= len(self._text):
            return None
        row: list[Cell] = []
        while True:
            row.append(self._cell())
            if self._at < len(self._text) and self._text[self._at] == self._separator:
                self._at += 1
                continue
            self._newline()
            return row

    def _newline(self) -> None:
        if self._at < len(self._text):
            self._at += 1
            self._line += 1
            self._start = self._at

    def _cell(self) -> Cell:
        line, column = self._line, self._at - self._start + 1
        text = self._quoted() if self._text.startswith('"', self._at) else ""
        end = self._at
        while end < len(self._text) and self._text[end] not in (self._separator, "\n"):
            end += 1
        text += self._text[self._at : end]
        self._at = end
        return Cell(text.strip(), line, column)

    def _quoted(self) -> str:
        line, column = self._line, self._at - self._start + 1
        self._at += 1
        pieces: list[str] = []
        while True:
            end = self._text.find('"', self._at)
            if end < 0:
                raise OpenQuoteError(line, column)
            piece = self._text[self._at : end]
            pieces.append(piece)
            self._line += piece.count("\n")
            if "\n" in piece:
                self._start = self._at + piece.rfind("\n") + 1
            self._at = end + 1
            if not self._text.startswith('"', self._at):
                return "".join(pieces)
            pieces.append('"')
            self._at += 1
