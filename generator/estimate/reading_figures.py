"""Numbers as people write them into a sheet, and those that were written in another unit or with another sign."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from generator.base.units import MM_PER_INCH
from generator.estimate.characteristic import Kind
from generator.estimate.inspection_csv import Inspected
from generator.estimate.told_sizes import ToldSize, told_size
from generator.recipe.places import shown

__all__ = ["FigureError", "figures_in", "mix_ups"]

_NUMBER: Final = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)")
_WITH_UNIT: Final = re.compile(r"([+-]?(?:\d+[.,]?\d*|[.,]\d+))\s*(mm|in|inch|inches|\"|”|cm|µm|um)", re.IGNORECASE)
_DATE: Final = re.compile(r"\d+[./-]\s?[A-Za-zäéû]{3,}|\d+[/-]\d+[/-]\d+|\d+\.\d+\.\d+")
NEAR: Final = (0.8, 1.25)
"""A reading within these shares of what it would be in another unit was written in that unit."""
LARGE_MM: Final = 3.0
"""Sizes from here on are never by chance the other unit's; smaller ones are only told where a whole column is."""
SIGNED: Final = (Kind.POSITION_X, Kind.POSITION_Y)
MAY_BE_MISSING: Final = (Kind.DEPTH, Kind.FLOOR, Kind.WALL, Kind.CHAMFER, Kind.RADIUS)
"""What was not cut, or cut through, reads 0; no width, diameter, thickness or distance does."""


class FigureError(Exception):
    """What stands in a cell is no reading: what was found, what was expected, and how to mend it."""

    def __init__(self, found: str, expected: str, remedy: str) -> None:
        self.found, self.expected, self.remedy = found, expected, remedy
        super().__init__(found)


def figures_in(text: str, separator: str, most: int) -> tuple[float, ...]:
    """Return the readings of a cell, parted by blanks: one, or up to one for each of ``most`` equal places.

    A comma counts as the decimal sign where another character parts cells.

    Raises: FigureError: something else stands there.
    """
    plain = text.replace("\u2212", "-").replace("\u00a0", " ").strip()
    _refuse_units(plain)
    words = plain.split()
    if len(words) > most:
        expected = "one reading" if most == 1 else f"up to {most} readings parted by blanks"
        raise FigureError(f"`{shown(text)}`", expected, "write the reading that is farthest from nominal")
    return tuple(_figure(word, separator) for word in words)


def _refuse_units(text: str) -> None:
    given = _WITH_UNIT.fullmatch(text)
    if given:
        raise FigureError(f"`{shown(text)}`", "a number without a unit", f"write {given[1]}, in the unit of the sheet")


def _figure(word: str, separator: str) -> float:
    if "," in word:
        if separator == ",":
            remedy = "write the reading with a point, as in 6.62, or save the table with semicolons"
            raise FigureError(f"`{shown(word)}` with a comma", "a point as the decimal sign", remedy)
        if word.count(",") == 1 and "." not in word:
            word = word.replace(",", ".")
    if _NUMBER.fullmatch(word):
        return float(word)
    remedy = "write a number such as 6.62, or - if it was not measured"
    if _DATE.search(word):
        remedy = "a spreadsheet has made a date of it: format the cells as numbers and write it again"
    raise FigureError(f"`{shown(word)}`", "a number", remedy)


def mix_ups(sheet: Inspected, values: Mapping[int, tuple[float, ...]]) -> Iterator[tuple[int, str, str]]:
    """Yield number, what was found, and remedy for readings of one part in another unit, ten times off, or negated."""
    sizes = {c.number: (c.kind, told_size(c, sheet.unit)) for c in sheet.characteristics}
    other = "inches" if sheet.unit.name == "mm" else "millimetres"
    factor = MM_PER_INCH if sheet.unit.name == "mm" else 1.0 / MM_PER_INCH
    asked = {n: v for n, v in values.items() if abs(sizes[n][1].nominal) > 0.0}
    in_other = [n for n, v in asked.items() if all(_near(x * factor / sizes[n][1].nominal) for x in v)]
    whole = len(in_other) > 1 and 2 * len(in_other) > len(asked)
    for n, readings in asked.items():
        kind, size = sizes[n]
        first = readings[0]
        if kind not in SIGNED and (bad := _impossible(kind, readings)) is not None:
            yield n, f"{bad:g}", "measure again, and write what the instrument reads; - if it was not measured"
        elif n in in_other and (whole or _is_large(size)):
            right = size.text(first * factor)
            yield n, f"{first:g}, which looks like {other}", f"write it in {sheet.unit.plural}: {right}"
        elif _is_large(size) and all(_near(0.1 * x / size.nominal) for x in readings):
            yield n, f"{first:g}, ten times too large", f"set the decimal sign right: {size.text(first / 10.0)}"
        elif _is_large(size) and all(_near(10.0 * x / size.nominal) for x in readings):
            yield n, f"{first:g}, ten times too small", f"set the decimal sign right: {size.text(first * 10.0)}"
        elif kind in SIGNED and _is_large(size) and all(_near(-x / size.nominal) for x in readings):
            yield n, f"{first:g} on the other side of the datum", f"write {size.text(-first)}"


def _impossible(kind: Kind, readings: Sequence[float]) -> float | None:
    """Return a reading that no size can have; None for none."""
    return next((x for x in readings if x < 0.0 or (x == 0.0 and kind not in MAY_BE_MISSING)), None)


def _near(share: float) -> bool:
    return NEAR[0] < share < NEAR[1]


def _is_large(size: ToldSize) -> bool:
    return abs(size.nominal) * size.unit.mm >= LARGE_MM
