"""How well a process that was measured on several parts keeps its limits: Cp and Cpk.

``Cp = (U - L) / 6 s``, ``Cpk = min(U - m, m - L) / 3 s`` with limits L and U, mean m and standard deviation s of the
sample (n - 1). Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.1.6 (from memory; the formulas read in two
lecture notes). They hold for independent readings that scatter normally.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, nan, sqrt
from typing import Final

from generator.base.frozen_record import frozen_record

__all__ = ["FEWEST", "SOURCE", "Capability", "capability", "cpk_interval"]

FEWEST: Final = 5
"""Of fewer parts the spread says nothing (our own choice; handbooks ask for 30 to 50)."""
SOURCE: Final = "NIST/SEMATECH e-Handbook of Statistical Methods, 6.1.6, from memory"
ONE_SIDED_95: Final = 1.6449
"""Standard normal deviate that 95 % keep below."""


@frozen_record
class Capability:
    """Mean and spread of readings against limits; ``cp`` and ``cpk`` are infinite where all readings are equal.

    Attributes:
        count: of readings.
        mean, deviation: of the readings, in their unit.
        cp, cpk: see the module's head; ``cpk`` is below 0 where the mean lies beyond a limit.
        cpk_at_least: what the true Cpk lies above with 95 %: few readings say little.
    """

    count: int
    mean: float
    deviation: float
    cp: float
    cpk: float
    cpk_at_least: float


def capability(readings: Sequence[float], lower: float, upper: float) -> Capability:
    """Return the capability of a process from readings in one unit.

    Raises: ValueError: fewer than two readings, or limits that leave nothing between them.
    """
    n = len(readings)
    if n < 2 or not lower < upper:
        raise ValueError("capability needs two readings at least, and a lower limit below the upper one")
    mean = sum(readings) / n
    s = sqrt(sum((x - mean) ** 2 for x in readings) / (n - 1))
    room = min(upper - mean, mean - lower)
    if s <= abs(mean) * 1e-12:  # equal readings, but for the noise of arithmetic
        cpk = inf if room > 0.0 else -inf if room < 0.0 else 0.0
        return Capability(n, mean, 0.0, inf, cpk, nan)
    cpk = room / (3.0 * s)
    return Capability(n, mean, s, (upper - lower) / (6.0 * s), cpk, cpk_interval(cpk, n, ONE_SIDED_95)[0])


def cpk_interval(cpk: float, count: int, deviate: float) -> tuple[float, float]:
    """Return the limits of confidence of a Cpk from ``count`` readings, at so many standard normal deviates.

    ``Cpk ± z root(1 / 9n + Cpk² / 2(n - 1))``. Source: as the module's head (from memory).
    """
    half = deviate * sqrt(1.0 / (9.0 * count) + cpk * cpk / (2.0 * (count - 1.0)))
    return cpk - half, cpk + half
