"""What the bars of a print measure, and how much larger or smaller the next print has to be.

Bar x lies along the short side of the sheet, bar y along its long side, however the page is turned: a printer has one
error across the paper and another along its way through. Both carry long marks, and not the same ones, so that a
reading tells by itself which mark was measured, and often whether the two were swapped.
"""

from __future__ import annotations

from math import isfinite
from typing import Final

from generator.base.errors import Mistake
from generator.base.frozen_record import frozen_record
from generator.base.units import MM_PER_INCH, LengthUnit, decimal
from generator.recipe.model_paper import PrintedBars

__all__ = ["MARKS_MM", "MOST_OFF", "UNCORRECTED", "Correction", "correction_of", "faults", "nominal_mm"]

MARKS_MM: Final = {"x": (100.0, 150.0), "y": (100.0, 150.0, 200.0)}
"""Long marks of each bar, mm from its zero."""
MOST_OFF: Final = 0.05
"""No printer that works is off by more than this share; fitting to the page is. Our choice: 5 %."""
MOST_APART: Final = 0.02
"""Axes of a printer that differ by more than this share were rather misread. Our choice: 2 %."""
PATH: Final = "paper.printed_bars"
_MISREAD: Final = (("inches", "in", MM_PER_INCH), ("centimetres", "mm", 10.0))


def nominal_mm(axis: str, measured_mm: float) -> float | None:
    """Return the mark of bar ``axis`` (``x`` or ``y``) that a reading is of; None if it can be of none."""
    near = (m for m in MARKS_MM[axis] if abs(measured_mm - m) <= MOST_OFF * m)
    return next(near, None)


@frozen_record
class Correction:
    """How much larger a print is made: along the short side of the sheet (x) and along the long one (y).

    Attributes:
        x, y: factors; a printer that draws short is given more than 1.
        bars: the readings that they come from; None for a first print.
    """

    x: float = 1.0
    y: float = 1.0
    bars: PrintedBars | None = None

    def stretch(self, *, is_landscape: bool) -> tuple[float, float]:
        """Return the factors across and up the page as it lies."""
        return (self.y, self.x) if is_landscape else (self.x, self.y)

    def sentence(self, unit: LengthUnit) -> str:
        """Return what was changed and why; empty for a first print."""
        if self.bars is None:
            return ""
        how = ", ".join((_change(self.x, "x"), _change(self.y, "y")))
        said = f"{how[0].upper()}{how[1:]} after bars of {_told(self.bars.x, unit)} and {_length(self.bars.y, unit)}."
        apart = abs(self.x / self.y - 1.0)
        if apart <= MOST_APART:
            return said
        much = f"{apart * 100.0:.1f} %, more than printers do"
        return f"{said} THE AXES DIFFER BY {much}: measure both bars of one sheet again."


UNCORRECTED: Final = Correction()
"""Of a first print."""


def _change(factor: float, axis: str) -> str:
    percent = (factor - 1.0) * 100.0
    if abs(percent) < 0.005:
        return f"unchanged in {axis}"
    return f"{'enlarged' if percent > 0.0 else 'reduced'} by {abs(percent):.2f} % in {axis}"


def _told(value_mm: float, unit: LengthUnit) -> str:
    return decimal(value_mm / unit.mm, unit.decimals)


def _length(value_mm: float, unit: LengthUnit) -> str:
    return f"{_told(value_mm, unit)} {unit.suffix}"


def correction_of(bars: PrintedBars | None) -> Correction:
    """Return the correction after the readings, 1 where none were given.

    Raises: ValueError: a reading that can be of no mark; ``faults`` tells why.
    """
    if bars is None:
        return UNCORRECTED
    x, y = nominal_mm("x", bars.x), nominal_mm("y", bars.y)
    if x is None or y is None:
        raise ValueError(f"bars of {bars.x:g} and {bars.y:g} mm are of no mark")
    return Correction(x / bars.x, y / bars.y, bars)


def faults(bars: PrintedBars | None, unit: LengthUnit, *, path: str = PATH, between: str = ": ") -> list[Mistake]:
    """Return a mistake, without its place, for every reading that no mark can have given.

    Args:
        bars: the readings, mm.
        unit: in which the person writes bare lengths.
        path: recipe path of the readings.
        between: what stands between a key and its value where the person writes them.
    """
    if bars is None:
        return []
    wrong = [axis for axis in ("x", "y") if nominal_mm(axis, getattr(bars, axis)) is None]
    if wrong and nominal_mm("x", bars.y) and nominal_mm("y", bars.x):
        remedy = f"the two are swapped: write `x{between}{_told(bars.y, unit)}`, `y{between}{_told(bars.x, unit)}`"
        return [_mistake(f"{path}.x", "x", bars.x, unit, remedy)]
    return [
        _mistake(f"{path}.{a}", a, getattr(bars, a), unit, _remedy(a, getattr(bars, a), unit, between)) for a in wrong
    ]


def _mistake(path: str, axis: str, value_mm: float, unit: LengthUnit, remedy: str) -> Mistake:
    marks = [_told(m, unit) for m in MARKS_MM[axis]]
    expected = f"within {MOST_OFF * 100:g} % of {', '.join(marks[:-1])} or {marks[-1]} {unit.suffix}, a long mark"
    found = _length(value_mm, unit) if isfinite(value_mm) else f"{value_mm}"
    return Mistake("", 0, 0, path, f"a bar {axis} of {found}", expected, remedy)


def _remedy(axis: str, value_mm: float, unit: LengthUnit, between: str) -> str:
    """Return what a person most likely did, and what to do instead."""
    written = value_mm / unit.mm
    if unit.mm != 1.0 and nominal_mm(axis, written):
        return f"that looks like millimetres: write `{axis}{between}{decimal(written, 2)} mm`"
    for word, suffix, mm in _MISREAD:
        if value_mm > 0.0 and nominal_mm(axis, written * mm):
            right = f"{decimal(written, 4)} in" if suffix == "in" else f"{decimal(written * mm, 2)} mm"
            return f"that looks like {word}: write `{axis}{between}{right}`"
    if any(abs(value_mm - m) <= 0.25 * m for m in MARKS_MM[axis]):
        return "print again at 100 %, actual size, not fitted to the page, and measure from 0 to a long mark"
    return f"measure bar {axis} on the paper from 0 to a long mark, and give the millimetres that the rule shows"
