"""Lengths in edits and in recipes: what an edit sets, what stood there before."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final

from generator.base.units import INCH, MM_PER_INCH
from generator.recipe.read import Reading

__all__ = ["lengths_before", "lengths_of", "value_at"]

_UNIT_MM: Final = {"mm": 1.0, "in": MM_PER_INCH}
_ONE: Final = r"(-?[\d.]+) (mm|in)"
_LENGTH: Final = re.compile(_ONE)
_PLACE: Final = re.compile(rf"\[{_ONE}, {_ONE}\]")


def lengths_of(value: str | None) -> tuple[float, ...]:
    """Return the length that an edit sets, or the two of a place, mm; none if it sets neither."""
    match = _LENGTH.fullmatch(value or "") or _PLACE.fullmatch(value or "")
    return tuple(float(x) * _UNIT_MM[unit] for x, unit in _LENGTH.findall(match[0])) if match else ()


def lengths_before(reading: Reading, key: str) -> tuple[float, ...]:
    """Return the length, or the two of a place, at a key of the recipe as it is, mm; none if none stands there."""
    found = value_at(reading.resolved, key)
    unit_mm = MM_PER_INCH if reading.recipe.units == INCH.name else 1.0
    if found is None:
        return (0.0,) if key.endswith(".grow") else (0.0, 0.0) if key.endswith(".at") else ()
    many = found if isinstance(found, list | tuple) else [found]
    read = [_length(x, unit_mm) for x in many]
    return tuple(x for x in read if x is not None) if None not in read else ()


def _length(written: Any, unit_mm: float) -> float | None:
    if isinstance(written, str):
        return (lengths_of(written) or (None,))[0]
    is_number = isinstance(written, int | float) and not isinstance(written, bool)
    return float(written) * unit_mm if is_number else None


def value_at(plain: Any, key: str) -> Any:
    """Return what stands at a key of plain data, None if nothing does."""
    for step in re.findall(r"[^.\[\]]+", key):
        if isinstance(plain, Mapping):
            plain = plain.get(step)
        elif isinstance(plain, list | tuple) and step.isdecimal() and int(step) < len(plain):
            plain = plain[int(step)]
        else:
            return None
    return plain
