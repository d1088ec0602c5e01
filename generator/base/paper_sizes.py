"""Sizes of paper by name: ISO 216:2007 (A sizes), ANSI/ASME Y14.1 A (Letter), cross-checked in two tables each."""

from __future__ import annotations

from typing import Final

from generator.base.frozen_record import frozen_record

__all__ = ["FORMATS", "FORMAT_WORDS", "Format", "format_of"]


@frozen_record
class Format:
    """A size of paper, mm, as it lies: ``width_mm`` is across."""

    name: str
    width_mm: float
    height_mm: float

    @property
    def landscape(self) -> Format:
        """Return the sheet with its long side across."""
        return Format(self.name, max(self.width_mm, self.height_mm), min(self.width_mm, self.height_mm))

    @property
    def portrait(self) -> Format:
        """Return the sheet with its short side across."""
        return Format(self.name, min(self.width_mm, self.height_mm), max(self.width_mm, self.height_mm))


FORMATS: Final = {
    f.name: f
    for f in (
        Format("A4", 210.0, 297.0),
        Format("Letter", 215.9, 279.4),
        Format("A3", 297.0, 420.0),
        Format("A2", 420.0, 594.0),
        Format("A1", 594.0, 841.0),
        Format("A0", 841.0, 1189.0),
    )
}
"""Name → size, upright."""

FORMAT_WORDS: Final = ("A4", "Letter", "A3")
"""The sizes that an office or workshop printer takes."""


def format_of(name: str) -> Format:
    """Return the upright sheet of that name.

    Raises: KeyError: there is none of that name.
    """
    return FORMATS[name]
