"""Limits and fits of ISO 286 for dowel holes and pins, and the sizes that dowel pins come in.

Micrometres. Bands are over the first and up to and including the second size, mm. Two public copies of the tables of
ISO 286-1:2010 and ISO 286-2:2010 agree on every row; the official edition was not read.
"""

from __future__ import annotations

import re
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.standards import UnknownStandardError

__all__ = ["BANDS", "INCH_PINS", "ISO_PINS_MM", "PIN_WORDS", "Band", "hole_limits", "pin_limits"]


@frozen_record
class Band:
    """Standard tolerances IT5 to IT11 and the fundamental deviation m (lower) of sizes over ``over_mm``, µm."""

    over_mm: float
    up_to_mm: float
    grades_um: tuple[int, int, int, int, int, int, int]
    m_um: int


BANDS: Final[tuple[Band, ...]] = (
    Band(0, 3, (4, 6, 10, 14, 25, 40, 60), 2),
    Band(3, 6, (5, 8, 12, 18, 30, 48, 75), 4),
    Band(6, 10, (6, 9, 15, 22, 36, 58, 90), 6),
    Band(10, 18, (8, 11, 18, 27, 43, 70, 110), 7),
    Band(18, 30, (9, 13, 21, 33, 52, 84, 130), 8),
    Band(30, 50, (11, 16, 25, 39, 62, 100, 160), 9),
)
"""cross-checked."""
FIRST_GRADE: Final = 5
PIN_WORDS: Final = ("m6", "h6", "h8")
"""Classes that dowel pins are made in: ISO 8734 m6, ISO 2338 m6 and h8; h6 is ground rod."""

ISO_PINS_MM: Final = (0.6, 0.8, 1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 40, 50)
"""Nominal diameters of ISO 2338 (ISO 8734: 1 to 20 mm); partly from memory."""
INCH_PINS: Final = (1 / 16, 5 / 64, 3 / 32, 1 / 8, 3 / 16, 1 / 4, 5 / 16, 3 / 8, 7 / 16, 1 / 2, 5 / 8, 3 / 4, 7 / 8, 1)
"""Nominal diameters of ASME B18.8.2 pins, inch; from memory."""


def hole_limits(tolerance_class: str, diameter_mm: float) -> tuple[float, float]:
    """Return lower and upper deviation of a hole of class H5 to H11, µm.

    Raises: UnknownStandardError: another class, or a size beyond the table.
    """
    match = re.fullmatch(r"H(5|6|7|8|9|10|11)", tolerance_class.strip())
    if match is None:
        raise UnknownStandardError(f"no limits of `{tolerance_class}` in the tables: H5 to H11 are there")
    return 0.0, float(_band(diameter_mm).grades_um[int(match[1]) - FIRST_GRADE])


def pin_limits(tolerance_class: str, diameter_mm: float) -> tuple[float, float]:
    """Return lower and upper deviation of a pin of class m6, h6 or h8, µm.

    Raises: UnknownStandardError: another class, or a size beyond the table.
    """
    if tolerance_class not in PIN_WORDS:
        raise UnknownStandardError(f"no limits of pins `{tolerance_class}` in the tables: {', '.join(PIN_WORDS)} are")
    band = _band(diameter_mm)
    grade = float(band.grades_um[int(tolerance_class[1:]) - FIRST_GRADE])
    return (float(band.m_um), band.m_um + grade) if tolerance_class == "m6" else (-grade, 0.0)


def _band(diameter_mm: float) -> Band:
    for band in BANDS:
        if band.over_mm < diameter_mm <= band.up_to_mm:
            return band
    raise UnknownStandardError(f"no limits of {diameter_mm:g} mm in the tables: they end at {BANDS[-1].up_to_mm:g} mm")
