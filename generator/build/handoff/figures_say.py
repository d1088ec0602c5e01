"""Figures as sheets print them, with their limits: ``⌀6.6 ±0.05``, ``6 +0.012/0``, ``0.6 ±0.2 × 45°``, ``(9.7)``."""

from __future__ import annotations

import re
from math import nan
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit
from generator.build.handoff.statement import Statement

__all__ = ["SLACK_MM", "Figure", "figure_in", "limits_of", "stated"]

_NUMBER: Final = r"[−-]?\d+(?:\.\d+)?"
_LIMITS: Final = r"(?: ±(?P<even>\d+(?:\.\d+)?)| (?P<upper>[+−-]?\d+(?:\.\d+)?)/(?P<lower>[+−-]?\d+(?:\.\d+)?))?"
_PLAIN: Final = re.compile(rf"^[⌀R]?(?P<bracket>\(?)(?P<nominal>{_NUMBER})(?![\d°]){_LIMITS}")
_CHAMFER: Final = re.compile(rf"(?P<bracket>)(?P<nominal>\d+(?:\.\d+)?){_LIMITS} × 45°$")
SLACK_MM: Final = 1e-6


@frozen_record
class Figure:
    """A figure as it stands on a sheet, in the sheet's unit.

    Attributes:
        nominal: digits.
        lower, upper: digits of the deviations; empty where none stand beside it.
        is_reference: it stands in brackets: it follows from other figures, and limits are not told with it (ISO 129-1).
    """

    nominal: str
    lower: str
    upper: str
    is_reference: bool


def figure_in(text: str) -> Figure | None:
    """Return the figure that a text begins with, or the chamfer that it ends with; None for other texts."""
    found = _CHAMFER.search(text) or _PLAIN.match(text)
    if found is None:
        return None
    even = found["even"]
    lower, upper = (f"-{even}", even) if even else (_plain(found["lower"] or ""), _plain(found["upper"] or ""))
    return Figure(_plain(found["nominal"]), lower, upper, bool(found["bracket"]))


def _plain(digits: str) -> str:
    return digits.replace("−", "-").removeprefix("+")


def stated(
    number: int,
    path: str,
    nominal: str,
    limits: tuple[float, float] | None,
    unit: LengthUnit,
    said: str,
    *,
    is_reference: bool = False,
) -> Statement:
    """Return what a file states.

    Args:
        number: of the characteristic.
        path: of the file.
        nominal: its digits.
        limits: lower and upper deviation, mm; None where the file tells none.
        unit: of the digits.
        said: the figure as it stands in the file.
        is_reference: see ``Figure``.
    """
    low, high = limits or (nan, nan)
    # no figure has fewer decimals than the unit's, whatever zeros were left out
    decimals = max(len(nominal.partition(".")[2]), unit.decimals)
    within = 0.5 * 10.0**-decimals * unit.mm + SLACK_MM
    fine = 0.5 * 10.0**-unit.limit_decimals * unit.mm + SLACK_MM
    return Statement(number, path, float(nominal) * unit.mm, within, said, low, high, fine, is_reference)


def limits_of(figure: Figure, unit: LengthUnit) -> tuple[float, float] | None:
    """Return the deviations that stand beside a figure, mm; None where none do."""
    if not figure.lower or not figure.upper:
        return None
    return float(figure.lower) * unit.mm, float(figure.upper) * unit.mm
