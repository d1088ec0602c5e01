"""What the errors of a measured part say: which one cause makes several sizes wrong alike, and what to turn about it.

Rules of thumb of the trade (common practice, no source). Only what is larger than a caliper's own doubt is told, and
only where the errors agree; several parts count by their median, because a cause is what most of them share.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from generator.estimate.causes_pattern import pattern_causes
from generator.estimate.causes_sizes import size_causes
from generator.estimate.causes_stack import stack_causes
from generator.estimate.characteristic import Characteristic
from generator.estimate.characteristics import datum_of
from generator.estimate.inspection_csv import Inspected
from generator.estimate.measured_errors import Cause, MeasuredError
from generator.estimate.readings import Readings
from generator.estimate.told_sizes import told_size
from generator.part.part import Plan

FEWEST: Final = 3
"""With fewer parts it cannot be told which one differs."""
APART_MM: Final = 0.05
"""Parts that differ by less differ by chance (our own choice)."""

__all__ = ["Cause", "causes", "measured_errors"]


def measured_errors(sheet: Inspected, readings: Readings) -> tuple[MeasuredError, ...]:
    """Return the error that most parts have of every characteristic that was measured, mm."""
    found = []
    for c in sheet.characteristics:
        errors = [e for _, e in _by_part(sheet, readings, c)]
        if errors:
            found.append(MeasuredError(c, _shared(errors), max(errors) - min(errors), len(errors)))
    return tuple(found)


def _by_part(sheet: Inspected, readings: Readings, c: Characteristic) -> list[tuple[str, float]]:
    """Return the mean error of each part that was measured, mm."""
    size, out = told_size(c, sheet.unit), []
    for part in readings.parts:
        values = readings.values[part, c.number]
        if values:
            out.append((part, (sum(values) / len(values) - size.nominal) * sheet.unit.mm))
    return out


def _shared(errors: list[float]) -> float:
    """Return the median; of the middle two the one nearer to 0, or 0 between them, so that most parts have as much."""
    ordered = sorted(errors)
    low, high = ordered[(len(ordered) - 1) // 2], ordered[len(ordered) // 2]
    return 0.0 if low < 0.0 < high else min(low, high, key=abs)


def _one_part(sheet: Inspected, readings: Readings) -> Iterator[Cause]:
    """Yield parts that differ from what most of them share by more than half their tolerance."""
    far: dict[str, list[tuple[Characteristic, float]]] = {}
    for c in sheet.characteristics:
        found = _by_part(sheet, readings, c)
        most = _shared([e for _, e in found]) if len(found) >= FEWEST else 0.0
        least = max(APART_MM, (c.upper_mm - c.lower_mm) / 2.0)
        off = [(part, e - most) for part, e in found if abs(e - most) > least] if len(found) >= FEWEST else []
        if len(off) == 1:
            far.setdefault(off[0][0], []).append((c, off[0][1]))
    for part, found_far in far.items():
        worst, by = max(found_far, key=lambda x: abs(x[1]))
        says = f"{part} alone differs from the others, most in {worst.what}, by {sheet.unit.length(abs(by))}"
        remedy = "measure it again; if it stays, look at how that part was clamped and with which cutter it was cut"
        yield Cause("one-part", says, remedy, by, "mm", tuple(c.number for c, _ in found_far))


def causes(sheet: Inspected, readings: Readings, plan: Plan) -> tuple[Cause, ...]:
    """Return what the errors say, the causes that most sizes share first."""
    errors = measured_errors(sheet, readings)
    unit = sheet.unit
    return (
        *size_causes(errors, unit),
        *pattern_causes(errors, datum_of(plan), unit),
        *stack_causes(errors, plan, unit),
        *_one_part(sheet, readings),
    )
