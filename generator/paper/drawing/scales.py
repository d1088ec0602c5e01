"""Scales of ISO 5455 and which of them a part may be drawn at (scales from drawing conventions, read)."""

from __future__ import annotations

from typing import Final

__all__ = ["SCALES", "scale_word", "scales_for"]

SCALES: Final = (10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01)
MOST_MM: Final = 180.0
"""A view is drawn no larger than this (our own choice): larger ones need sheets that nobody spreads at a machine."""
LEAST_MM: Final = 55.0
"""A view is drawn no smaller than this where the scales allow (our own choice)."""


def scale_word(scale: float) -> str:
    """Return a scale as it is written: ``2:1``, ``1:1``, ``1:5``."""
    return f"{scale:g}:1" if scale >= 1.0 else f"1:{1.0 / scale:g}"


def scales_for(size_mm: float) -> tuple[list[float], list[float]]:
    """Return the scales at which a part of this size is drawn well, largest first, and those that must do otherwise."""
    well = [s for s in SCALES if LEAST_MM <= size_mm * s <= MOST_MM]
    first = well or [next((s for s in SCALES if size_mm * s <= MOST_MM), SCALES[-1])]
    rest = [s for s in SCALES if s < first[-1]]
    return first, rest
