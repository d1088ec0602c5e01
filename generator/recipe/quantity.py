"""Numbers that know whether they are plain, lengths or angles, and the arithmetic on them.

Lengths are in mm and angles in degrees here. A plain number that meets a length in a sum or comparison is taken in the
recipe's unit, one that meets an angle as degrees: a number is plain until it is used as something.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

from generator.base.errors import CoverplateError
from generator.base.frozen_record import frozen_record
from generator.base.units import MM_PER_INCH

LARGEST: Final = 1e15
"""No number of a recipe, nor any step of a calculation, may be larger: our choice, far beyond any use."""

_EXACT_SINES: Final = {0: 0.0, 30: 0.5, 90: 1.0, 150: 0.5, 180: 0.0, 210: -0.5, 270: -1.0, 330: -0.5}
"""Sines that are exact, by whole degrees; the floating-point sine is one unit in the last place off."""

UNITS: Final = {
    "mm": (1.0, "length"),
    "cm": (10.0, "length"),
    "m": (1000.0, "length"),
    "in": (MM_PER_INCH, "length"),
    "inch": (MM_PER_INCH, "length"),
    "deg": (1.0, "angle"),
    "°": (1.0, "angle"),
}
"""Unit words: factor to mm or degrees, and what the unit measures."""


class QuantityError(CoverplateError):
    """A calculation that has no answer. ``found``, ``expected`` and ``remedy`` as in a mistake."""

    def __init__(self, found: str, expected: str = "", remedy: str = "") -> None:
        self.found, self.expected, self.remedy = found, expected, remedy
        super().__init__(found)


@frozen_record
class Quantity:
    """A number with the powers of length and of angle that it measures: (0, 0) is plain, (1, 0) a length in mm."""

    number: float
    length: float = 0.0
    angle: float = 0.0

    @property
    def is_plain(self) -> bool:
        """Return True for a plain number."""
        return not self.length and not self.angle

    @property
    def is_length(self) -> bool:
        """Return True for a length, in mm."""
        return self.length == 1.0 and not self.angle

    @property
    def is_angle(self) -> bool:
        """Return True for an angle, in degrees."""
        return self.angle == 1.0 and not self.length

    @property
    def sort(self) -> str:
        """Return what it is, for a message."""
        if self.is_plain:
            return "a plain number"
        if self.is_length:
            return "a length"
        if self.is_angle:
            return "an angle"
        return "an area" if (self.length, self.angle) == (2.0, 0.0) else "neither a number nor a length nor an angle"


def with_unit(q: Quantity, unit: str) -> Quantity:
    """Return the plain number ``q`` of ``unit``."""
    factor, measures = UNITS[unit]
    if not q.is_plain:
        raise QuantityError(f"`{unit}` behind {q.sort}", "one unit", "delete one of the units")
    return checked(q.number * factor, 1.0 if measures == "length" else 0.0, 1.0 if measures == "angle" else 0.0)


def checked(number: float, length: float = 0.0, angle: float = 0.0) -> Quantity:
    """Return the quantity, refusing what is not a number or beyond all use."""
    if math.isnan(number):
        raise QuantityError("no number (NaN)", "a number")
    if abs(number) > LARGEST:
        raise QuantityError("a number beyond all bounds", f"at most {LARGEST:g} in every step")
    return Quantity(number, round(length, 9), round(angle, 9))


def as_length(q: Quantity, unit_mm: float) -> Quantity:
    """Return ``q`` as a length; a plain number is in units of ``unit_mm``."""
    if q.is_plain:
        return checked(q.number * unit_mm, 1.0)
    if not q.is_length:
        raise QuantityError(q.sort, "a length")
    return q


def as_angle(q: Quantity) -> Quantity:
    """Return ``q`` as an angle; a plain number is in degrees."""
    if q.is_plain:
        return checked(q.number, 0.0, 1.0)
    if not q.is_angle:
        raise QuantityError(q.sort, "an angle")
    return q


def as_plain(q: Quantity) -> Quantity:
    """Return ``q``, refusing anything with a unit."""
    if not q.is_plain:
        raise QuantityError(q.sort, "a plain number", "write it without a unit, or divide by a unit such as `1 mm`")
    return q


def alike(a: Quantity, b: Quantity, unit_mm: float) -> tuple[Quantity, Quantity]:
    """Return both as the same sort of quantity."""
    if (a.length, a.angle) == (b.length, b.angle):
        return a, b
    for one, other in ((a, b), (b, a)):
        if one.is_plain and (other.is_length or other.is_angle):
            as_other = as_length(one, unit_mm) if other.is_length else as_angle(one)
            return (as_other, other) if one is a else (other, as_other)
    raise QuantityError(f"{a.sort} with {b.sort}", "two of the same sort")


def add(a: Quantity, b: Quantity, unit_mm: float) -> Quantity:
    """Return the sum."""
    a, b = alike(a, b, unit_mm)
    return checked(a.number + b.number, a.length, a.angle)


def negate(a: Quantity) -> Quantity:
    """Return ``a`` with the other sign."""
    return Quantity(-a.number, a.length, a.angle)


def multiply(a: Quantity, b: Quantity) -> Quantity:
    """Return the product."""
    return checked(a.number * b.number, a.length + b.length, a.angle + b.angle)


def divide(a: Quantity, b: Quantity) -> Quantity:
    """Return the quotient."""
    if b.number == 0.0:
        raise QuantityError("a division by zero", "a divisor other than 0")
    return checked(a.number / b.number, a.length - b.length, a.angle - b.angle)


def power(a: Quantity, b: Quantity) -> Quantity:
    """Return ``a`` to the power of the plain number ``b``."""
    exponent = as_plain(b).number
    if a.number == 0.0 and exponent < 0.0:
        raise QuantityError("0 to a negative power", "a base other than 0")
    if a.number < 0.0 and not exponent.is_integer():
        raise QuantityError("a fractional power of a negative number", "a base of at least 0")
    try:
        number = a.number**exponent
    except OverflowError:
        number = math.inf
    return checked(number, a.length * exponent, a.angle * exponent)


def root(a: Quantity) -> Quantity:
    """Return the square root."""
    if a.number < 0.0:
        raise QuantityError("the square root of a negative number", "a number of at least 0")
    return checked(math.sqrt(a.number), a.length / 2.0, a.angle / 2.0)


def sine(a: Quantity) -> Quantity:
    """Return the sine of an angle (a plain number is in degrees)."""
    degrees = math.fmod(as_angle(a).number, 360.0) % 360.0
    exact = _EXACT_SINES.get(int(degrees)) if degrees.is_integer() else None
    return Quantity(math.sin(math.radians(degrees)) if exact is None else exact)


def cosine(a: Quantity) -> Quantity:
    """Return the cosine of an angle (a plain number is in degrees)."""
    degrees = math.fmod(as_angle(a).number, 360.0) % 360.0
    exact = _EXACT_SINES.get(int(degrees + 90.0) % 360) if degrees.is_integer() else None
    return Quantity(math.cos(math.radians(degrees)) if exact is None else exact)


def tangent(a: Quantity) -> Quantity:
    """Return the tangent of an angle (a plain number is in degrees)."""
    below = cosine(a)
    if below.number == 0.0:
        raise QuantityError("the tangent of a right angle", "another angle")
    return divide(sine(a), below)


def absolute(a: Quantity) -> Quantity:
    """Return ``a`` without its sign."""
    return Quantity(abs(a.number), a.length, a.angle)


def rounded(a: Quantity, unit_mm: float, how: Callable[[float], float]) -> Quantity:
    """Return ``a`` rounded to whole numbers, a length to whole units of the recipe."""
    step = unit_mm if a.is_length else 1.0
    if not (a.is_plain or a.is_length or a.is_angle):
        raise QuantityError(a.sort, "a number, a length or an angle")
    return checked(how(a.number / step) * step, a.length, a.angle)


def nearest_whole(x: float) -> float:
    """Return the nearest whole number, halves away from zero as people round."""
    return math.copysign(math.floor(abs(x) + 0.5), x)


def extreme(quantities: list[Quantity], unit_mm: float, *, largest: bool) -> Quantity:
    """Return the largest or smallest of several quantities of the same sort."""
    best = quantities[0]
    for q in quantities[1:]:
        best, q = alike(best, q, unit_mm)
        if (q.number > best.number) == largest and q.number != best.number:
            best = q
    return best
