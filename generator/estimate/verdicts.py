"""Pass or fail: readings of parts held against the limits on their sheet."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.estimate.characteristic import Characteristic
from generator.estimate.inspection_csv import Inspected
from generator.estimate.readings import Readings
from generator.estimate.told_sizes import ToldSize, told_size
from generator.formulas.capability import FEWEST, Capability, capability

__all__ = ["Capable", "Said", "Verdict", "capabilities", "verdicts"]

NOISE: Final = 1e-9
"""A reading on its limit passes, whatever the last digit of its number says."""


class Said(Enum):
    """What is said of a characteristic of one part."""

    PASS = "pass"
    FAIL = "fail"
    NOT_MEASURED = "not measured"


@frozen_record
class Verdict:
    """What is said of one characteristic of one part.

    Attributes:
        part: name of the column, ``part-1``.
        characteristic, size: what was asked.
        readings: in the sheet's unit.
        said: pass, fail or not measured.
        beyond: how far the worst reading lies over its upper (positive) or under its lower limit (negative); 0 inside.
    """

    part: str
    characteristic: Characteristic
    size: ToldSize
    readings: tuple[float, ...]
    said: Said
    beyond: float

    @property
    def worst(self) -> float:
        """Return the reading that is farthest from nominal.

        Raises: ValueError: there is none.
        """
        return max(self.readings, key=lambda x: abs(x - self.size.nominal))


@frozen_record
class Capable:
    """How well the process that made several parts keeps the limits of one characteristic."""

    characteristic: Characteristic
    size: ToldSize
    capability: Capability


def verdicts(sheet: Inspected, readings: Readings) -> tuple[Verdict, ...]:
    """Return what is said of every characteristic of every part, part by part."""
    return tuple(
        _verdict(part, c, told_size(c, sheet.unit), readings.values[part, c.number])
        for part in readings.parts
        for c in sheet.characteristics
    )


def _verdict(part: str, c: Characteristic, size: ToldSize, readings: tuple[float, ...]) -> Verdict:
    if not readings:
        return Verdict(part, c, size, readings, Said.NOT_MEASURED, 0.0)
    over = max(readings) - size.upper
    under = min(readings) - size.lower
    beyond = over if over >= -under else under
    if over <= NOISE and under >= -NOISE:
        return Verdict(part, c, size, readings, Said.PASS, 0.0)
    return Verdict(part, c, size, readings, Said.FAIL, beyond)


def capabilities(sheet: Inspected, readings: Readings) -> Iterator[Capable]:
    """Yield the capability of every characteristic that was measured on enough parts."""
    for c in sheet.characteristics:
        size = told_size(c, sheet.unit)
        found = [v for p in readings.parts if (v := readings.values[p, c.number])]
        if len(found) >= FEWEST:
            yield Capable(c, size, capability([x for v in found for x in v], size.lower, size.upper))
