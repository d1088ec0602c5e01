"""Errors of what was measured, and whether several of them are one and the same."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.estimate.characteristic import Characteristic

__all__ = ["DOUBT_MM", "Cause", "MeasuredError", "common_error", "find_error", "is_marked"]

DOUBT_MM: Final = 0.02
"""Less than this a caliper does not tell (common practice, no source)."""
MARKED: Final = 0.4
"""An error that takes less than this share of its tolerance is none to act on (our own choice)."""
ALIKE: Final = 0.6
"""Errors that differ by no more than this share of their mean are one and the same (our own choice)."""


@frozen_record
class MeasuredError:
    """Mean error of one characteristic over everything that was measured of it, mm.

    Attributes:
        characteristic: which.
        mm: mean reading less nominal.
        range_mm: largest less smallest.
        count: readings.
    """

    characteristic: Characteristic
    mm: float
    range_mm: float
    count: int


@frozen_record
class Cause:
    """One thing that errors say.

    Attributes:
        id: for scripts, such as ``cutter``, ``scale-x``.
        says: what the errors have in common, with figures.
        remedy: what to turn, in figures.
        figure: the error, in ``unit``.
        unit: mm, % or degrees.
        numbers: the characteristics that say it.
    """

    id: str
    says: str
    remedy: str
    figure: float
    unit: str
    numbers: tuple[int, ...]


def find_error(errors: Iterable[MeasuredError], wanted: Callable[[Characteristic], bool]) -> tuple[MeasuredError, ...]:
    """Return the errors of the characteristics that are ``wanted``."""
    return tuple(e for e in errors if wanted(e.characteristic))


def is_marked(error_mm: float, c: Characteristic) -> bool:
    """Return True if an error is more than a caliper's doubt and takes a good share of what is allowed."""
    half = (c.upper_mm - c.lower_mm) / 2.0
    return abs(error_mm) >= max(DOUBT_MM, MARKED * half)


def common_error(errors: Sequence[MeasuredError], fewest: int = 2) -> float | None:
    """Return the error that all share, mm; None where they are few, small, or differ."""
    if not errors or sum(max(e.characteristic.count, e.count) for e in errors) < fewest:
        return None
    mean = sum(e.mm for e in errors) / len(errors)
    spread = max(e.mm for e in errors) - min(e.mm for e in errors)
    if abs(mean) < DOUBT_MM or spread > max(DOUBT_MM, ALIKE * abs(mean)):
        return None
    return mean if any(is_marked(e.mm, e.characteristic) for e in errors) else None
