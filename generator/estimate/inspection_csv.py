"""The inspection sheet as a table: lines that say what it belongs to, then a line a characteristic."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit, length_unit
from generator.estimate.characteristic import Characteristic
from generator.estimate.characteristics import characteristics
from generator.estimate.table_cells import written
from generator.estimate.told_sizes import digest_of, told_size
from generator.part.part import Plan
from generator.recipe.model import Recipe

__all__ = ["COLUMNS", "HEAD", "MOST_PARTS", "PART", "Inspected", "inspected", "inspection_csv"]

HEAD: Final = ("recipe", "revision", "characteristics", "unit")
"""Words at the beginning of the first lines."""
TOLD: Final = ("drawing number", "date of issue")
"""Words of lines that follow where the recipe has them; nothing is held against them."""
COLUMNS: Final = ("number", "part", "count", "what", "nominal", "lower", "upper", "instrument", "limits from")
PART: Final = "part-"
"""Columns for readings begin so: ``part-1``, ``part-2`` …"""
MOST_PARTS: Final = 50
"""A table has empty columns for no more parts; a person may add some (our own choice)."""


@frozen_record
class Inspected:
    """What an inspection sheet is about.

    Attributes:
        name, revision: of the recipe.
        unit: of all figures.
        parts: how many of each part are wanted.
        characteristics: what is measured.
        number, date: of the drawing; empty where the recipe names none.
    """

    name: str
    revision: str
    unit: LengthUnit
    parts: int
    characteristics: tuple[Characteristic, ...]
    number: str = ""
    date: str = ""

    @property
    def digest(self) -> str:
        """Return what tells this list of characteristics from that of another plan."""
        return digest_of(self.characteristics, self.unit)

    @property
    def head(self) -> tuple[tuple[str, str], ...]:
        """Return the first lines of the table, word and value: what readings are held against, and what is known."""
        held = tuple(zip(HEAD, (self.name, self.revision, self.digest, self.unit.name), strict=True))
        return (*held, *((word, said) for word, said in zip(TOLD, (self.number, self.date), strict=True) if said))


def inspected(recipe: Recipe, plan: Plan) -> Inspected:
    """Return what is measured on a plan, for its sheet and for the reading back."""
    unit = length_unit(plan.units)
    order, found = recipe.order, characteristics(recipe, plan)
    return Inspected(plan.name, plan.revision, unit, order.quantity, found, order.number, order.date)


def inspection_csv(sheet: Inspected) -> str:
    """Return the table with empty columns for the parts that are wanted; RFC 4180."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerows((word, written(value)) for word, value in sheet.head)
    parts = [f"{PART}{k}" for k in range(1, min(sheet.parts, MOST_PARTS) + 1)]
    writer.writerow((*COLUMNS, *parts))
    for c in sheet.characteristics:
        writer.writerow((*_row(c, sheet.unit), *("" for _ in parts)))
    return out.getvalue()


def _row(c: Characteristic, unit: LengthUnit) -> Sequence[str]:
    size = told_size(c, unit)
    figures = (size.nominal_text, size.lower_text, size.upper_text)
    return (str(c.number), c.part, str(c.count), written(c.what), *figures, c.instrument, written(c.source))
