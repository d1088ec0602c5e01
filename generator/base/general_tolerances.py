"""General tolerances of linear sizes: what a drawing allows where it says nothing else."""

from __future__ import annotations

import re
from typing import Final

from generator.base.frozen_record import frozen_record


@frozen_record
class LinearRow:
    """Sizes over one figure up to and with another, and what the four classes allow, plus or minus; all mm.

    ``f_mm``, ``m_mm``, ``c_mm``, ``v_mm``: fine, medium, coarse, very coarse; None where the standard has no figure.
    """

    over_mm: float
    upto_mm: float
    f_mm: float | None
    m_mm: float | None
    c_mm: float | None
    v_mm: float | None
    provenance: str


LINEAR: Final[tuple[LinearRow, ...]] = (
    LinearRow(0.5, 3.0, 0.05, 0.1, 0.2, None, "cross-checked; c read, one reprint has 0.15"),
    LinearRow(3.0, 6.0, 0.05, 0.1, 0.3, 0.5, "cross-checked; c read, one reprint has 0.2"),
    LinearRow(6.0, 30.0, 0.1, 0.2, 0.5, 1.0, "cross-checked"),
    LinearRow(30.0, 120.0, 0.15, 0.3, 0.8, 1.5, "cross-checked"),
    LinearRow(120.0, 400.0, 0.2, 0.5, 1.2, 2.5, "cross-checked"),
    LinearRow(400.0, 1000.0, 0.3, 0.8, 2.0, 4.0, "cross-checked"),
    LinearRow(1000.0, 2000.0, 0.5, 1.2, 3.0, 6.0, "cross-checked"),
    LinearRow(2000.0, 4000.0, None, 2.0, 4.0, 8.0, "cross-checked"),
)
SOURCE: Final = "ISO 2768-1 table 1, cross-checked"
CLASSES: Final = ("f", "m", "c", "v")
_NUMBER: Final = re.compile(r"\b2768\b")
_CLASS: Final = re.compile(r"\b2768(?:-1)?[-\s:]*([fmcv])[HKL]?\b")


def names_the_standard(text: str) -> bool:
    """Return True for a text that names ISO 2768."""
    return bool(_NUMBER.search(text))


def linear_class(text: str) -> str:
    """Return the class of linear sizes that a text such as ``ISO 2768-mK`` names; empty for none."""
    match = _CLASS.search(text)
    return match[1] if match else ""


def linear_tolerance(letter: str, size_mm: float) -> float | None:
    """Return what a class allows a size to be off, plus or minus, mm; None where the standard has no figure.

    Source: ISO 2768-1 table 1.
    """
    for row in LINEAR:
        if row.over_mm < size_mm <= row.upto_mm or size_mm == row.over_mm == LINEAR[0].over_mm:
            return {"f": row.f_mm, "m": row.m_mm, "c": row.c_mm, "v": row.v_mm}[letter]
    return None
