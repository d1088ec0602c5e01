"""What inspection and setup sheets state, read back from their files: the rows of their tables."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Sequence
from typing import Final

from generator.base.errors import ProofError
from generator.base.units import LengthUnit, length_unit
from generator.build.handoff.figures_say import stated
from generator.build.handoff.sheet_texts import SheetText, balloons_of, holds, sheet_pages, texts_of
from generator.build.handoff.statement import Statement
from generator.estimate.inspection_csv import COLUMNS, HEAD
from generator.paper.box import Box
from generator.paper.pdf_read import ReadPage

__all__ = ["rows_say", "sheet_says"]

TABLE: Final = "table"
BARE: Final = re.compile(r"[⌀R]?([−-]?\d+(?:\.\d+)?)")
RANGE: Final = re.compile(r"([−-]?\d+(?:\.\d+)?) – ([−-]?\d+(?:\.\d+)?)")
SAME_ROW_MM: Final = 0.5
"""Balloon and nominal of a row stand at one height …"""
LIMITS_MM: Final = 2.5
"""… and limits that stand over each other no farther above and below it."""
CAPITAL: Final = 1493.0 / 4096.0
"""Half the height of a capital in em: DejaVu Sans 2.37."""


def rows_say(path: str, data: bytes, unit: LengthUnit) -> list[Statement]:
    """Return nominals and limits in the tables of an inspection or setup sheet: a row has its number in a balloon.

    Where a page frames its table, what lies outside it is a picture's.

    Raises: ProofError: it cannot be read.
    """
    return [s for page in sheet_pages(path, data) for s in _rows_of(path, page, unit)]


def _rows_of(path: str, page: ReadPage, unit: LengthUnit) -> Iterator[Statement]:
    frames = [Box.around([(float(x), float(y)) for x, y in w.points]) for p in page.named(TABLE) for w in p.ways]
    texts = [(said, t.at[1] + CAPITAL * t.em_mm) for said, t in zip(texts_of(page), page.texts, strict=True)]
    for balloon in balloons_of(page.paths):
        _, y = balloon.centre
        number = next((s.text for s, _ in texts if s.text.isdigit() and holds(balloon, s)), None)
        if number is None or (frames and not any(balloon.within(f) for f in frames)):
            continue
        right = [(s, middle - y) for s, middle in texts if s.x > balloon.right and abs(middle - y) < LIMITS_MM]
        row = [s for s, off in right if abs(off) < SAME_ROW_MM]
        bare = min((s for s in row if BARE.fullmatch(s.text)), key=lambda s: s.x, default=None)
        if bare:
            nominal, limits = _digits(bare.text), _limits(bare, row, right, unit)
            yield stated(int(number), path, nominal, limits, unit, bare.text)


def _digits(text: str) -> str:
    return text.lstrip("⌀R").replace("−", "-")


def _limits(
    nominal: SheetText, row: Sequence[SheetText], right: Sequence[tuple[SheetText, float]], unit: LengthUnit
) -> tuple[float, float] | None:
    """Return the deviations of a row, mm: its limits stand in one text, or the upper over the lower."""
    middle = float(_digits(nominal.text))
    one = next((m for s in row if (m := RANGE.fullmatch(s.text))), None)
    if one:
        low, high = _digits(one[1]), _digits(one[2])
    else:
        two = [(s, off) for s, off in right if s.x > nominal.x and abs(off) >= SAME_ROW_MM and BARE.fullmatch(s.text)]
        nearest = min((s.x for s, _ in two), default=0.0)
        two = [(s, off) for s, off in two if s.x < nearest + 10.0]
        high, low = (next((_digits(s.text) for s, off in two if (off > 0.0) == up), "") for up in (True, False))
    return ((float(low) - middle) * unit.mm, (float(high) - middle) * unit.mm) if low and high else None


def sheet_says(path: str, data: bytes) -> list[Statement]:
    """Return nominals and limits of an inspection sheet.

    Raises: ProofError: it is no such sheet.
    """
    rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    try:
        unit = length_unit(dict(row[:2] for row in rows[: len(HEAD)])["unit"])
        first = next(k for k, row in enumerate(rows) if row and row[0] == COLUMNS[0])
        return [_row_says(path, dict(zip(COLUMNS, row, strict=False)), unit) for row in rows[first + 1 :]]
    except (KeyError, ValueError, IndexError, StopIteration) as error:
        raise ProofError(f"{path}: not an inspection sheet: {error}", feature=path) from error


def _row_says(path: str, row: dict[str, str], unit: LengthUnit) -> Statement:
    middle = float(row["nominal"])
    limits = (float(row["lower"]) - middle) * unit.mm, (float(row["upper"]) - middle) * unit.mm
    return stated(int(row["number"]), path, row["nominal"], limits, unit, row["nominal"])
