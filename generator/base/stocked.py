"""What is on the shelf: drills, plates and sheets. All series are from memory; dealers differ."""

from __future__ import annotations

from math import ceil
from typing import Final

INCH_MM: Final = 25.4
DRILL_STEPS: Final = ((3.0, 0.05), (14.0, 0.1), (32.0, 0.25), (100.0, 0.5))
"""Twist drills: up to this diameter there is one every so many mm."""
INCH_DRILL_STEP: Final = INCH_MM / 64.0
DRILL_SOURCE: Final = "usual series of twist drills (DIN 338, DIN 345), from memory"
PLATES_MM: Final = (
    1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 16.0, 18.0, 20.0, 22.0, 25.0, 30.0, 35.0, 40.0, 45.0,
    50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 120.0, 150.0, 200.0,
)  # fmt: skip
SHEETS_MM: Final = (0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.2, 1.5, 2.0, 2.5, *PLATES_MM[4:])
PLATE_SOURCE: Final = "thicknesses that dealers usually have, from memory"
INCH_PLATE_STEP: Final = INCH_MM / 32.0


def nearest(value_mm: float, sizes_mm: tuple[float, ...], inch_step_mm: float = 0.0) -> float:
    """Return the size of a series nearest to a value, mm, of two as near the larger.

    With ``inch_step_mm`` multiples of that count as well.
    """
    more: tuple[float, ...] = (max(1.0, round(value_mm / inch_step_mm)) * inch_step_mm,) if inch_step_mm else ()
    return min((*sizes_mm, *more), key=lambda x: (round(abs(x - value_mm), 9), -x))


def larger(value_mm: float, sizes_mm: tuple[float, ...], inch_step_mm: float = 0.0) -> float | None:
    """Return the next larger size of a series, mm; None beyond its end."""
    more: tuple[float, ...] = ((value_mm // inch_step_mm + 1.0) * inch_step_mm,) if inch_step_mm else ()
    return min((x for x in (*sizes_mm, *more) if x > value_mm), default=None)


def smaller(value_mm: float, sizes_mm: tuple[float, ...], inch_step_mm: float = 0.0) -> float | None:
    """Return the next smaller size of a series, mm; None before its beginning."""
    more: tuple[float, ...] = ((ceil(value_mm / inch_step_mm) - 1.0) * inch_step_mm,) if inch_step_mm else ()
    return max((x for x in (*sizes_mm, *more) if 0.0 < x < value_mm), default=None)


def nearest_drill(diameter_mm: float, inch: bool = False) -> float:
    """Return the diameter of the stocked twist drill nearest to this, mm."""
    step = next((s for upto, s in DRILL_STEPS if diameter_mm <= upto), DRILL_STEPS[-1][1])
    metric = max(step, round(diameter_mm / step) * step)
    return nearest(diameter_mm, (metric,), INCH_DRILL_STEP if inch else 0.0)
