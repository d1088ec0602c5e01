"""Units and the one table of tolerances. Lengths are mm and angles radians everywhere inside the package.

Only what a person reads may be in another unit: ``LengthUnit`` turns a length in mm into such a figure.
"""

from __future__ import annotations

import re
from math import copysign
from typing import Final

from generator.base.frozen_record import frozen_record

MM_PER_INCH: Final = 25.4
"""Exact by definition (international yard and pound agreement, 1959)."""


def decimal(value: float, digits: int = 6) -> str:
    """Return ``value`` with at most ``digits`` decimals, without trailing zeros or a negative zero."""
    text = f"{value:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


HALF_NOISE: Final = 1e-9
"""How close to a half of its last decimal a figure counts as that half, in its unit."""


@frozen_record
class LengthUnit:
    """A unit in which lengths are told to a person; the lengths themselves are mm.

    Attributes:
        name: as a recipe writes it.
        plural: as a sentence says it.
        suffix: what stands behind a figure.
        mm: of one unit.
        decimals: how many a figure on a drawing may have.
    """

    name: str
    plural: str
    suffix: str
    mm: float
    decimals: int

    @property
    def limit_decimals(self) -> int:
        """Return how many decimals a limit has: a thousandth of a mm, as fits are told, a ten-thousandth of an inch."""
        return max(3, self.decimals)

    def figure(self, value_mm: float) -> str:
        """Return a length as a bare figure without needless digits; halves are rounded away from zero."""
        return decimal(self._told(value_mm), self.decimals)

    def aligned(self, value_mm: float) -> str:
        """Return a length as a bare figure with all its decimals, so that figures in a column line up."""
        text = f"{self._told(value_mm):.{self.decimals}f}"
        return text.removeprefix("-") if not float(text) else text

    def _told(self, value_mm: float) -> float:
        """Return the number of units; a little more, so that the noise of arithmetic does not decide over a half.

        One recipe's 1/32 in must come out the same wherever it is told: 0.0313.
        """
        value = value_mm / self.mm
        return value + copysign(HALF_NOISE, value)

    def length(self, *values_mm: float) -> str:
        """Return a length, or several as in ``104 × 64 × 8 mm``, with the unit."""
        return f"{' × '.join(self.figure(v) for v in values_mm)} {self.suffix}"


MILLIMETRE: Final = LengthUnit("mm", "mm", "mm", 1.0, 2)
INCH: Final = LengthUnit("inch", "inches", "in", MM_PER_INCH, 4)


_MM_TEXT: Final = re.compile(r"(?<![\w.])(-?\d+(?:\.\d+)?) mm\b(?![²³])")


def with_inches(text: str) -> str:
    """Return the text with inches in brackets behind every length in mm: ``a wall of 0.8 mm (0.0315 in)``."""
    return _MM_TEXT.sub(lambda m: f"{m[0]} ({INCH.length(float(m[1]))})", text)


def length_unit(name: str) -> LengthUnit:
    """Return the unit that a recipe names.

    Raises: KeyError: it is neither ``mm`` nor ``inch``; recipes are read so that this does not happen.
    """
    return {unit.name: unit for unit in (MILLIMETRE, INCH)}[name]


@frozen_record
class Tolerance:
    """Named tolerances; passed as an argument, never a global epsilon.

    Attributes:
        model_mm: how far a computed boundary may lie from the true one.
        fit_mm: how far arcs fitted to another curve may lie from it.
        same_mm: two points closer than this are one point.
        facet_mm: chord error of the facets that decide topology; does not enter coordinates.
        volume_rel: agreement of volumes without tapered walls.
        taper_volume_rel: agreement of volumes with tapered walls (edge break, countersink).
    """

    model_mm: float = 1e-3
    fit_mm: float = 2e-3
    same_mm: float = 1e-6
    facet_mm: float = 2e-4
    volume_rel: float = 1e-9
    taper_volume_rel: float = 1e-6


MODEL: Final = Tolerance()
"""The tolerances of a build (brief: model 1 µm, curve-to-arc fit 2 µm)."""
