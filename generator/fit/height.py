"""Does the floor of the pocket clear the original, or does the cover rock on it? One normal and one even error."""

from __future__ import annotations

from math import erf, exp, pi, sqrt
from typing import Final

from generator.fit.chance import DEVIATIONS_95

__all__ = ["chance_to_clear", "room_above_for"]

HALVINGS: Final = 60


def chance_to_clear(above_mm: float, height_mm: float, depth_mm: float) -> float:
    """Return the chance that the original is lower than the pocket is deep.

    Args:
        above_mm: nominal room above the original.
        height_mm: uncertainty of its height (95 %), normal.
        depth_mm: limits of the pocket's depth, plus or minus, even.

    The sum of a normal and an even error in closed form: with ``G(x) = x Phi(x) + phi(x)``, derivative
    ``Phi``, the chance is ``s (G((a+d)/s) - G((a-d)/s)) / 2d`` (derived).
    """
    deviation = height_mm / DEVIATIONS_95
    if depth_mm <= 0.0 or deviation <= 0.0:
        if deviation > 0.0:
            return _phi_sum(above_mm / deviation)
        return (
            min(1.0, max(0.0, (above_mm + depth_mm) / (2.0 * depth_mm))) if depth_mm > 0.0 else float(above_mm >= 0.0)
        )
    high, low = (above_mm + depth_mm) / deviation, (above_mm - depth_mm) / deviation
    return min(1.0, deviation * (_primitive(high) - _primitive(low)) / (2.0 * depth_mm))


def room_above_for(share: float, height_mm: float, depth_mm: float) -> float:
    """Return the least room above the original, mm, with which the chance is at least ``share`` (below 1)."""
    low, high = 0.0, 5.0 * height_mm + depth_mm
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (low, middle) if chance_to_clear(middle, height_mm, depth_mm) >= share else (middle, high)
    return high


def _phi_sum(x: float) -> float:
    """Return the normal distribution function."""
    return (1.0 + erf(x / sqrt(2.0))) / 2.0


def _primitive(x: float) -> float:
    """Return ``x Phi(x) + phi(x)``."""
    return x * _phi_sum(x) + exp(-x * x / 2.0) / sqrt(2.0 * pi)
