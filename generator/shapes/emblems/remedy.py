"""The smallest change that mends an emblem: one key is made smaller or larger until the emblem can be made.

Every change told has been tried with the very figure that is told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import fields, replace
from math import floor, isfinite, log10
from typing import Any, Final

from generator.base.errors import GeometryError
from generator.base.fields import SPEC, Kind, Spec

_STEP: Final = 2.0
"""A key is changed by this factor until it does, then the last step is halved."""
_MOST_STEPS: Final = 9
_HALVINGS: Final = 7
_SEARCHED: Final = (Kind.LENGTH, Kind.NUMBER, Kind.COUNT, Kind.ANGLE)

Works = Callable[[Any], bool]
"""Says whether an emblem with these params can be made."""


class UnfitError(GeometryError):
    """A value that leaves no room: the key, the value drawn with (given or not), and why in a few words."""

    def __init__(self, key: str, value: float, why: str) -> None:
        self.key, self.value, self.why = key, value, why
        super().__init__(f"{key} {value:.6g} {why}")


def demand(fits: bool, key: str, value: float, why: str) -> None:
    """Return quietly if it fits.

    Raises: UnfitError: it does not.
    """
    if not fits:
        raise UnfitError(key, value, why)


def remedies(params: Any, works: Works, first: UnfitError | None = None) -> str:
    """Return the changes that mend it, each alone, such as ``corner_radius: at most 0.4, or size: at least 51``.

    Args:
        params: the emblem's record, as it cannot be made.
        works: tells whether another one can.
        first: the value that was found to leave no room; it is tried before the others.
    """
    tried = [(first.key, first.value)] if first else []
    mended = [m for m in (_mend(params, works, *t) for t in tried) if m]
    if not mended:
        mended = [m for m in (_mend(params, works, k, getattr(params, k)) for k in ("corner_radius", "size")) if m]
    for key, value in _given(params):
        mended = mended or [m for m in [_mend(params, works, key, value)] if m]
    return ", or ".join(mended) if mended else _start_again(params, works)


def _start_again(params: Any, works: Works) -> str:
    """Return the advice to leave out all keys that are given; with the corner radius that does then."""
    keys = [key for key, _ in _given(params)]
    plain = replace(params, **{f.name: f.default for f in fields(params) if f.name in keys})
    left_out = f"leave out {' and '.join(keys)}" if keys else ""
    if keys and works(plain):
        return left_out
    advice = _mend(plain, works, "corner_radius", params.corner_radius) or "corner_radius: 0"
    return "; ".join(a for a in (left_out, advice) if a)


def _given(params: Any) -> Iterator[tuple[str, float]]:
    """Yield the keys whose values are not the usual ones."""
    for f in fields(params):
        value = getattr(params, f.name)
        if f.name not in ("size", "corner_radius") and f.metadata[SPEC].kind in _SEARCHED and value != f.default:
            yield f.name, value


def _mend(params: Any, works: Works, key: str, value: float) -> str:
    """Return the change of one key that mends it, or an empty text."""
    spec = next(f for f in fields(params) if f.name == key).metadata[SPEC]
    ways = {"corner_radius": (False,), "size": (True,)}.get(key, (False, True))
    for upwards in ways:
        found = _search(params, works, key, value, spec, upwards=upwards)
        if found is not None:
            return f"{key}: at {'least' if upwards else 'most'} {_told(found, spec)}"
    return ""


def _search(params: Any, works: Works, key: str, value: float, spec: Spec, *, upwards: bool) -> float | None:
    """Return the value nearest to the one that does not work that does, as it will be told; None if there is none."""

    def does(v: float) -> bool:
        return _allowed(v, spec) and works(replace(params, **{key: v}))

    bad, good = value, None
    for _ in range(_MOST_STEPS):
        trial = _rounded(_stepped(bad, spec, upwards=upwards), spec, upwards=upwards)
        if trial == bad or not _allowed(trial, spec):
            break
        if does(trial):
            good = trial
            break
        bad = trial
    if good is None:
        return None
    for _ in range(_HALVINGS):
        middle = _rounded((bad + good) / 2.0, spec, upwards=upwards)
        if middle in (bad, good):
            break
        bad, good = (bad, middle) if does(middle) else (middle, good)
    return good


def _stepped(value: float, spec: Spec, *, upwards: bool) -> float:
    if spec.kind is Kind.COUNT:
        return value + (1 if upwards else -1)
    return value * _STEP if upwards else value / _STEP


def _rounded(value: float, spec: Spec, *, upwards: bool) -> float:
    """Return the value with three digits (a size with four), rounded to the side that is told to be enough."""
    if spec.kind is Kind.COUNT:
        return int(value)
    if value <= 0.0 or not isfinite(value):
        return value
    step = 10.0 ** (floor(log10(value)) - 2)
    count = value / step
    whole = -floor(-count * (1.0 - 1e-9)) if upwards else floor(count * (1.0 + 1e-9))
    return float(f"{whole * step:.6g}")


def _allowed(value: float, spec: Spec) -> bool:
    scale = 57.29577951308232 if spec.kind is Kind.ANGLE else 1.0
    v = value * scale
    above = spec.above is None or v > spec.above
    low = spec.at_least is None or v >= spec.at_least
    high = spec.at_most is None or v <= spec.at_most
    return above and low and high


def _told(value: float, spec: Spec) -> str:
    return f"{value * 57.29577951308232:.4g}" if spec.kind is Kind.ANGLE else f"{value:.6g}"
