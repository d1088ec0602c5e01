"""Characteristics as sheets tell them: nominal and limits in the recipe's unit, rounded to what is printed.

What passes or fails is judged by these figures, not by digits behind them that nobody was shown.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit
from generator.estimate.characteristic import Characteristic

__all__ = ["ToldSize", "digest_of", "told_size"]

DIGITS = 12
"""So many hexadecimal digits tell two lists of characteristics apart."""

LETTER = "c-"
"""Begins with a letter, so that no spreadsheet takes the digest for a number."""


@frozen_record
class ToldSize:
    """Nominal and limits in ``unit``, as they are printed."""

    nominal: float
    lower: float
    upper: float
    unit: LengthUnit

    def text(self, value: float) -> str:
        """Return a figure with the unit's decimals, and as many more as limits have where it has them."""
        text = f"{value + 0.0:z.{self.unit.limit_decimals}f}"
        more = self.unit.limit_decimals - self.unit.decimals
        return text[:-more] if more and text.endswith("0" * more) else text

    @property
    def nominal_text(self) -> str:
        """Return the nominal as it is printed."""
        return self.text(self.nominal)

    @property
    def lower_text(self) -> str:
        """Return the lower limit as it is printed."""
        return self.text(self.lower)

    @property
    def upper_text(self) -> str:
        """Return the upper limit as it is printed."""
        return self.text(self.upper)


def told_size(c: Characteristic, unit: LengthUnit) -> ToldSize:
    """Return nominal and limits as finely as a drawing tells them, to 0.001 mm or 0.0001 in."""
    nominal = float(unit.figure(c.nominal_mm))
    fine = unit.limit_decimals
    lower = round(nominal + round((c.lower_mm - c.nominal_mm) / unit.mm, fine), fine)
    upper = round(nominal + round((c.upper_mm - c.nominal_mm) / unit.mm, fine), fine)
    return ToldSize(nominal, lower, upper, unit)


def digest_of(found: Sequence[Characteristic], unit: LengthUnit) -> str:
    """Return a short digest of everything that readings are held against; another plan has another one."""
    lines = []
    for c in found:
        size = told_size(c, unit)
        figures = (size.nominal_text, size.lower_text, size.upper_text, unit.name)
        lines.append("|".join((str(c.number), c.part, c.feature, c.kind.value, str(c.count), *figures)))
    return LETTER + hashlib.sha256("\n".join(lines).encode()).hexdigest()[:DIGITS]
