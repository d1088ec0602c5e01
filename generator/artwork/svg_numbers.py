"""Numbers, lengths and transforms as SVG writes them (W3C, Scalable Vector Graphics 1.1 and CSS units)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from math import cos, hypot, isfinite, pi, radians, sin, sqrt, tan
from typing import Final, NamedTuple

from generator.base.errors import GeometryError
from generator.base.units import MM_PER_INCH

NUMBER: Final = r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?"
"""As path data and attributes write it; ``1.`` is tolerated."""
MM_PER_PX: Final = MM_PER_INCH / 96.0
"""A pixel of CSS is 1/96 in (W3C, CSS Values and Units, absolute lengths)."""
PX: Final[dict[str, float]] = {
    "": 1.0, "px": 1.0, "in": 96.0, "cm": 96.0 / 2.54, "mm": 96.0 / 25.4, "q": 96.0 / 101.6, "pt": 96.0 / 72.0,
    "pc": 16.0, "em": 16.0, "rem": 16.0, "ex": 8.0,
}  # fmt: skip
"""Pixels of CSS in a unit; those of lettering as if no size of letters were given."""

_LENGTH: Final = re.compile(rf"({NUMBER})\s*(%|[a-zA-Z]*)")
_NUMBER: Final = re.compile(NUMBER)
_VALUE: Final = re.compile(rf"({NUMBER})(%|[a-zA-Z]*)")
_SEPARATOR: Final = re.compile(r"\s*,?\s*")
_CALL: Final = re.compile(r"([a-zA-Z]+)\s*\(([^()]*)\)")
LONGEST: Final = 200
"""A single value has no more signs than this (chosen)."""
_LARGEST: Final = 1e12
"""Numbers beyond this are no coordinate (chosen); keeps what is computed with them finite."""


class WrongError(GeometryError):
    """A value that cannot be read; its text says what stands there and what should."""


class Matrix(NamedTuple):
    """``x' = a x + c y + e``, ``y' = b x + d y + f``: the order of SVG's ``matrix``."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def of(self, x: float, y: float) -> tuple[float, float]:
        """Return where a point goes."""
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    def way(self, x: float, y: float) -> tuple[float, float]:
        """Return where a direction goes."""
        return self.a * x + self.c * y, self.b * x + self.d * y

    def after(self, first: Matrix) -> Matrix:
        """Return the matrix that does ``first`` and then this one."""
        a, b = self.way(first.a, first.b)
        c, d = self.way(first.c, first.d)
        e, f = self.of(first.e, first.f)
        return Matrix(a, b, c, d, e, f)

    @property
    def determinant(self) -> float:
        """Return by what areas are multiplied; negative for a mirror image."""
        return self.a * self.d - self.b * self.c

    @property
    def stretch(self) -> float:
        """Return the greatest factor by which any length is multiplied (the larger singular value)."""
        p = self.a**2 + self.b**2 + self.c**2 + self.d**2
        return sqrt((p + sqrt(max(p * p - 4.0 * self.determinant**2, 0.0))) / 2.0)

    @property
    def is_similar(self) -> bool:
        """Return whether circles stay circles, within rounding."""
        size = hypot(self.a, self.b)
        same = min(
            hypot(self.a - self.d, self.b + self.c),
            hypot(self.a + self.d, self.b - self.c),
        )
        return same <= 1e-9 * size


IDENTITY: Final = Matrix()


def number(text: str) -> float:
    """Return a number.

    Raises: WrongError: it is none, or no finite one.
    """
    match = _NUMBER.fullmatch(_short(text))
    if match is None:
        raise WrongError(f"found {shown(text)}, expected a number")
    return finite(float(match[0]), text)


def _short(text: str) -> str:
    """Return a single value without blanks round it.

    Raises: WrongError: it is so long that it cannot be one, and that looking through it would take long.
    """
    plain = text.strip()
    if len(plain) > LONGEST:
        raise WrongError(f"found {shown(text)}, expected a single value")
    return plain


def finite(value: float, text: str) -> float:
    """Return the value.

    Raises: WrongError: it is too large to be a coordinate.
    """
    if not isfinite(value) or abs(value) > _LARGEST:
        raise WrongError(f"found {shown(text)}, a number too large for a drawing")
    return value


def numbers(text: str) -> list[float]:
    """Return a list of numbers parted by blanks, commas or their own signs.

    Raises: WrongError: something else stands among them.
    """
    out: list[float] = []
    at = len(text) - len(text.lstrip())
    end = len(text.rstrip())
    while at < end:
        match = _NUMBER.match(text, at)
        if match is None:
            raise WrongError(f"found {shown(text[at:])}, expected a number")
        out.append(finite(float(match[0]), match[0]))
        separator = _SEPARATOR.match(text, match.end())
        assert separator is not None
        at = separator.end()
    return out


def length(text: str, whole: float | None = None) -> float:
    """Return a length in user units.

    Args:
        text: with or without unit.
        whole: what 100 % is; None where a share of something makes no sense.
    Raises: WrongError: no number, or an unknown unit.
    """
    match = _LENGTH.fullmatch(_short(text))
    if match is None:
        raise WrongError(f"found {shown(text)}, expected a length such as 12 or 3.5mm")
    value, unit = finite(float(match[1]), text), match[2].lower()
    if unit == "%":
        if whole is None:
            raise WrongError(f"found {shown(text)}, expected a length in real units")
        return value / 100.0 * whole
    if unit not in PX:
        raise WrongError(f"found {shown(text)}: the unit {match[2]} is not known; use mm, cm, in, pt, pc, px or Q")
    return finite(value * PX[unit], text)


def transform(text: str, wholes: tuple[float, float] | None = None) -> Matrix:
    """Return a list of transforms as one matrix, as attributes or style sheets write them.

    Args:
        text: such as ``translate(10 5) rotate(30)``.
        wholes: what 100 % is across and up; None where shares make no sense.
    Raises: WrongError: an unknown one, or a wrong number of values.
    """
    whole, at = IDENTITY, 0
    if text.strip() in ("", "none"):
        return whole
    text = text.strip()
    while at < len(text):
        match = _CALL.match(text, at)
        if match is None:
            raise WrongError(f"found {shown(text[at:])}, expected a transform such as translate(10 5)")
        whole = whole.after(_one(match[1], match[2], wholes))
        separator = _SEPARATOR.match(text, match.end())
        assert separator is not None
        at = separator.end()
    for value in whole:
        finite(value, text)
    return whole


_COUNTS: Final[dict[str, tuple[int, ...]]] = {
    "matrix": (6,), "translate": (1, 2), "scale": (1, 2), "rotate": (1, 3), "skewX": (1,), "skewY": (1,),
    "translateX": (1,), "translateY": (1,), "scaleX": (1,), "scaleY": (1,), "skew": (1, 2),
}  # fmt: skip
_DEGREES: Final = {"": 1.0, "deg": 1.0, "rad": 180.0 / pi, "grad": 0.9, "turn": 360.0}
_BARE: Final = re.compile(r"\b(?:rotate|skew[xy]?|translate[xy]?)\(([^()]*)\)", re.I)


def lacks_unit(text: str) -> bool:
    """Return whether a transform of a style sheet turns or moves by a bare number, which most viewers leave out."""
    calls = [_units(call) for call in _BARE.findall(text)]
    return any(value and not unit for call in calls for value, unit in call)


def _units(text: str) -> list[tuple[float, str]]:
    """Return numbers with their units, parted by blanks, commas or their own signs.

    Raises: WrongError: something else stands among them.
    """
    out: list[tuple[float, str]] = []
    at, end = len(text) - len(text.lstrip()), len(text.rstrip())
    while at < end:
        match = _VALUE.match(text, at)
        if match is None:
            raise WrongError(f"found {shown(text[at:])}, expected a number")
        out.append((finite(float(match[1]), match[1]), match[2].lower()))
        separator = _SEPARATOR.match(text, match.end())
        assert separator is not None
        at = separator.end()
    return out


def _one(name: str, text: str, wholes: tuple[float, float] | None) -> Matrix:
    if name not in _COUNTS:
        raise WrongError(f"found the transform {shown(name)}, expected one of {', '.join(_COUNTS)}")
    found = _units(text)
    if len(found) not in _COUNTS[name]:
        wanted = " or ".join(str(n) for n in _COUNTS[name])
        raise WrongError(f"found {len(found)} values for {name}, expected {wanted}")
    if name == "matrix":
        return Matrix(*(_plain(p) for p in found))
    kind, axis = name.rstrip("XY"), name[-1:]
    if kind == "translate":
        across, up = wholes or (None, None)
        v = [_long(p, up if k or axis == "Y" else across) for k, p in enumerate(found)]
        return Matrix(f=v[0]) if axis == "Y" else Matrix(e=v[0], f=v[1] if len(v) > 1 else 0.0)
    if kind == "scale":
        v = [_plain(p) for p in found]
        return Matrix(a=1.0 if axis == "Y" else v[0], d=1.0 if axis == "X" else v[-1])
    if kind == "rotate":
        return _turn(_angle(found[0]), [_long(p, None) for p in found[1:]])
    slopes = [tan(radians(_angle(p))) for p in found]
    if axis == "Y":
        return Matrix(b=slopes[0])
    return Matrix(c=slopes[0], b=slopes[1] if len(slopes) > 1 else 0.0)


def _plain(pair: tuple[float, str]) -> float:
    value, unit = pair
    if unit not in ("", "%"):
        raise WrongError(f"found '{value:g}{unit}', expected a number")
    return value / 100.0 if unit else value


def _long(pair: tuple[float, str], whole: float | None) -> float:
    return length(f"{pair[0]!r}{pair[1]}", whole)


def _angle(pair: tuple[float, str]) -> float:
    """Return an angle in degrees."""
    value, unit = pair
    if unit not in _DEGREES:
        raise WrongError(f"found '{value:g}{unit}', expected an angle such as 30 or 30deg")
    return value * _DEGREES[unit]


def _turn(degrees: float, about: Sequence[float]) -> Matrix:
    quarters = degrees / 90.0
    if quarters == round(quarters):
        c, s = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(quarters) % 4]
    else:
        c, s = cos(radians(degrees)), sin(radians(degrees))
    turned = Matrix(c, s, -s, c)
    if not about:
        return turned
    x, y = about
    return Matrix(e=x, f=y).after(turned).after(Matrix(e=-x, f=-y))


def shown(text: str) -> str:
    """Return a text from the file as a message may quote it."""
    short = text.strip()[:40]
    return repr(short + ("…" if len(text.strip()) > 40 else "")) if short else "nothing"


def share(text: str, key: str) -> float:
    """Return an opacity from 0 to 1.

    Raises: WrongError: it is no number; names the key.
    """
    try:
        return min(1.0, max(0.0, length(text, 1.0)))
    except WrongError:
        raise WrongError(f"{key}: found {shown(text)}, expected a number from 0 to 1") from None
