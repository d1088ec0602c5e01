"""What the errors of a measured part say: which one cause makes several sizes wrong alike, and what to turn about it.

Rules of thumb of the trade (common practice, no source). Only what is larger than a caliper's own doubt is told, and
only where the errors agree; several parts count by their mean, because a cause is what all of them share.
"""

from __future__ import annotations

from generator.estimate.causes_pattern import pattern_causes
from generator.estimate.causes_sizes import size_causes
from generator.estimate.causes_stack import stack_causes
from generator.estimate.characteristics import datum_of
from generator.estimate.inspection_csv import Inspected
from generator.estimate.measured_errors import Cause, MeasuredError
from generator.estimate.readings import Readings
from generator.estimate.told_sizes import told_size
from generator.part.part import Plan

__all__ = ["Cause", "causes", "measured_errors"]


def measured_errors(sheet: Inspected, readings: Readings) -> tuple[MeasuredError, ...]:
    """Return the mean error of every characteristic that was measured, mm."""
    found = []
    for c in sheet.characteristics:
        values = readings.of(c.number)
        if values:
            size = told_size(c, sheet.unit)
            errors = [(v - size.nominal) * sheet.unit.mm for v in values]
            found.append(MeasuredError(c, sum(errors) / len(errors), max(errors) - min(errors), len(errors)))
    return tuple(found)


def causes(sheet: Inspected, readings: Readings, plan: Plan) -> tuple[Cause, ...]:
    """Return what the errors say, the causes that most sizes share first."""
    errors = measured_errors(sheet, readings)
    unit = sheet.unit
    return (
        *size_causes(errors, unit),
        *pattern_causes(errors, datum_of(plan), unit),
        *stack_causes(errors, plan, unit),
    )
