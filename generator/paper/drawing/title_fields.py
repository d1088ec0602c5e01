"""What the title block of ISO 7200 says, field by field, and what of it has to go on in the notes."""

from __future__ import annotations

from math import floor, log10
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.shorten import shortened_to
from generator.paper.drawing.said import Said
from generator.paper.letters import LEAST_MM, width_mm

__all__ = ["EDGES", "ROW_MM", "TITLE_ROW_MM", "Field", "mass_word", "overlong", "title_rows", "told"]

VALUE_MM: Final = 3.5
TITLE_MM: Final = 5.0
HEIGHTS: Final = (TITLE_MM, VALUE_MM, LEAST_MM)
ROW_MM: Final = 10.5
TITLE_ROW_MM: Final = 13.5
INSET_MM: Final = 1.5
DASH: Final = "–"
EDGES: Final = "Edges, ISO 13715"
SEE_NOTES: Final = " see notes"
"""Behind the beginning of what a field has no room for."""
GENERAL: Final = "General tolerances"


@frozen_record
class Field:
    """One field: its label, value, width (mm), and the greatest height of its letters."""

    label: str
    value: str
    width: float
    height_mm: float = VALUE_MM

    @property
    def room_mm(self) -> float:
        """Return how wide its value may be, mm."""
        return self.width - 2.0 * INSET_MM

    @property
    def fits(self) -> bool:
        """Return True if the value has room in the lowest letters."""
        return width_mm(self.value, LEAST_MM) <= self.room_mm


Row = tuple[float, tuple[Field, ...]]
"""Height, mm, and fields from the left."""


def title_rows(said: Said, *, scale: str, size: str, sheet: str) -> tuple[Row, ...]:
    """Return the rows of the title block from above; the field without a label shows the projection symbol."""
    order, plan, part = said.recipe.order, said.plan, said.part
    return (
        (
            ROW_MM,
            (
                Field("Material", part.material.name, 62.0),
                Field("Finish", said.finish, 88.0),
                Field("Mass", mass_word(said.mass_g), 30.0),
            ),
        ),
        (
            ROW_MM,
            (
                Field(GENERAL, said.general or DASH, 45.0),
                Field(EDGES, "", 60.0),
                Field("Quantity", str(order.quantity), 23.0),
                Field("Scale", scale, 26.0),
                Field("", "", 26.0),
            ),
        ),
        (
            ROW_MM,
            (
                Field("Legal owner", order.owner or DASH, 62.0),
                Field("Drawn by", order.drawn_by or DASH, 42.0),
                Field("Approved by", order.approved_by or DASH, 42.0),
                Field("Date of issue", order.date or DASH, 34.0),
            ),
        ),
        (
            TITLE_ROW_MM,
            (
                Field("Title", f"{plan.title or plan.name} – {part.name}", 134.0, TITLE_MM),
                Field("Document type", "Part drawing", 46.0),
            ),
        ),
        (
            ROW_MM,
            (
                Field("Identification number", said.number, 88.0),
                Field("Revision", plan.revision or DASH, 24.0),
                Field("Size", size, 18.0),
                Field("Units", said.unit.name, 22.0),
                Field("Sheet", sheet, 28.0),
            ),
        ),
    )


def told(field: Field) -> tuple[str, float]:
    """Return what stands in a field and how high: low letters for a long value, else its beginning."""
    for height in (h for h in HEIGHTS if h <= field.height_mm):
        if width_mm(field.value, height) <= field.room_mm:
            return field.value, height
    room = field.room_mm - width_mm(SEE_NOTES, LEAST_MM)
    return shortened_to(lambda some: width_mm(some, LEAST_MM) <= room, field.value) + SEE_NOTES, LEAST_MM


def overlong(said: Said) -> tuple[str, ...]:
    """Return what the title block has no room for, as notes tell it: ``Finish: …``."""
    rows = title_rows(said, scale="", size="", sheet="")
    out = [f"{f.label}: {f.value}" for _, fields in rows for f in fields if not f.fits]
    general = said.recipe.tolerances.general
    return tuple(out if general == said.general else [*out, f"{GENERAL}: {general}"])


def mass_word(grams: float) -> str:
    """Return a mass in three figures: in grams, or in kilograms from 1000 g on."""
    told_g = float(f"{grams:.3g}")
    if told_g < 1000.0:
        return f"{told_g:g} g"
    kilograms = told_g / 1000.0
    return f"{kilograms:.{max(0, 2 - floor(log10(kilograms)))}f} kg"
