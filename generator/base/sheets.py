"""How exactly sheet is rolled: thickness tolerances."""

from __future__ import annotations

from typing import Final

ROLLED: Final[tuple[tuple[float, float], ...]] = (
    (0.2, 0.018),
    (0.3, 0.022),
    (0.4, 0.025),
    (0.5, 0.03),
    (0.8, 0.04),
    (1.2, 0.05),
    (1.8, 0.06),
    (2.5, 0.07),
    (3.2, 0.08),
    (4.0, 0.10),
    (5.0, 0.12),
    (6.0, 0.14),
    (7.0, 0.16),
    (8.0, 0.18),
    (9.0, 0.20),
    (10.0, 0.22),
)
"""Up to this thickness, plus or minus this, mm."""
SOURCE: Final = "EN 1652, cold-rolled copper alloys up to 350 mm wide"
PROVENANCE: Final = "read"
BEYOND: Final = 0.022
"""Thicker sheet: this share of its thickness (the last row, carried on)."""


def sheet_tolerance(thickness_mm: float) -> float:
    """Return by how much a sheet's thickness may be off, plus or minus, mm. Source: EN 1652 for copper alloys.

    Sheets of other metals are taken to be as good (our own choice).
    """
    return next((t for upto, t in ROLLED if thickness_mm <= upto), BEYOND * thickness_mm)
