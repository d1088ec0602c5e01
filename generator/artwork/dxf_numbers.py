"""Values of a DXF file in text form: which must be numbers, and what to say of those that are not.

Ranges of group codes: the published DXF reference, "Group Code Value Types".
"""

from __future__ import annotations

import re
from enum import Enum
from math import isfinite
from typing import Final

from generator.base.frozen_record import frozen_record


class Sort(Enum):
    """What the value after a group code is."""

    REAL = "a plain number with a decimal point"
    WHOLE = "a whole number"
    TEXT = "text"


MOST_CODE: Final = 1071
"""The largest group code."""
_REAL: Final = ((10, 59), (110, 149), (210, 239), (460, 469), (1010, 1059))
_WHOLE: Final = (
    (60, 79), (90, 99), (160, 179), (270, 299), (370, 389), (400, 409), (420, 429), (440, 459), (1060, 1071),
)  # fmt: skip

_REAL_TEXT: Final = re.compile(rb"[ \t]*[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?[ \t]*")
_WHOLE_TEXT: Final = re.compile(rb"[ \t]*[-+]?[0-9]{1,19}(?:\.0*)?[ \t]*")
"""Some programs write whole numbers as 1.0, which is no other number."""
_LOOKALIKE: Final = str.maketrans("OolI", "0011")
_LONGEST: Final = 40
"""So much of a value is repeated in a message."""


def sort_of(code: int) -> Sort:
    """Return what the value after group code ``code`` is."""
    if any(low <= code <= high for low, high in _REAL):
        return Sort.REAL
    return Sort.WHOLE if any(low <= code <= high for low, high in _WHOLE) else Sort.TEXT


def is_sound(value: bytes, sort: Sort) -> bool:
    """Return whether ``value``, without its line end, is what ``sort`` says; a number must be finite."""
    if sort is Sort.REAL:
        match = _REAL_TEXT.fullmatch(value)
        # without an exponent only a very long number can be too large
        return match is not None and ((match[1] is None and len(value) < 300) or isfinite(float(value)))
    return sort is Sort.TEXT or _WHOLE_TEXT.fullmatch(value) is not None


@frozen_record
class Fault:
    """One thing wrong in a DXF file.

    Attributes:
        line: 1-based.
        text: what stands there, what should, and how to mend it.
    """

    line: int
    text: str


def number_fault(line: int, value: bytes, sort: Sort, place: str) -> Fault:
    """Return what is to be said of a value that is no number.

    Args:
        line: where the value stands, 1-based.
        value: without its line end.
        sort: what it should be.
        place: such as ``group 10 of LINE (handle 2F)``.
    """
    return Fault(line, f"found {shown(value)} as {place}, expected {sort.value}; {_remedy(value, sort)}")


def shown(value: bytes) -> str:
    """Return a value as it can be printed."""
    text = value.decode("utf-8", "replace").strip()
    if not text:
        return "nothing"
    return repr(text if len(text) <= _LONGEST else text[:_LONGEST] + "…")


def _remedy(value: bytes, sort: Sort) -> str:
    text = value.decode("utf-8", "replace").strip()
    for guess in (text.replace(",", "."), text.translate(_LOOKALIKE), text.replace(" ", "")):
        if guess != text and is_sound(guess.encode(), sort):
            return f"if {guess} is meant, write that, or save the drawing again"
    if text.lstrip("+-").lower().startswith(("nan", "inf", "1.#")):
        return "the program that wrote it had no number there: draw that part again and save anew"
    return "mend the line, or save the drawing again"
