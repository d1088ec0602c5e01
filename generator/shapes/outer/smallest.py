"""The smallest shape that leaves the wall.

A shape that may grow is a function of one size, each outline lying inside the next larger one; :func:`smallest` finds
the least size that keeps the wall, and the wall is measured, not trusted.
"""

from __future__ import annotations

from collections.abc import Callable
from math import inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.base.units import MODEL
from generator.outline.contour import Contour
from generator.shapes.outer.keep import Keep, least_wall, rough_wall, walls_at

LARGEST_MM = 20_000.0
"""No outer shape is looked for beyond this size."""
BLOATED = 0.2
"""Share of half the longest extent by which the least wall may be thicker than the margin, where a smaller shape cannot
be drawn (chosen by eye)."""
_TELLING = 24
"""So many of them, those with the least wall, are asked about every size."""
_EXCHANGES = 10
_NOTHING_MM = MODEL.same_mm / 4.0
"""What lacks or is spare by no more than this is as it should be; what is measured anew has as much slack."""
_ROUNDS = 60
_FINE = 1.1
_SPARE = 1.1

Make = Callable[[float], Contour]
"""Draws the shape of a size (mm), each inside the next larger one; raises GeometryError where there is none."""


def smallest(make: Make, keep: Keep, low: float, *, step: float = 0.0) -> float:
    """Return the least size from ``low`` up at which the shape keeps the wall.

    Args:
        make: draws the shape of a size.
        keep: what it goes round.
        low: no smaller size is tried.
        step: how far the first larger one is looked for; 0: the margin.

    Raises: GeometryError: no size below 20 m does, or the first that can be drawn is much too large; says why.
    """
    gauge = _Gauge(make, keep)
    low_lack = gauge.lack(low)
    if low_lack >= 0.0:
        return _settled(gauge, low)
    # most shapes gain a wall of about what they grow by
    stride = -_SPARE * low_lack if low_lack > -inf else step or keep.margin
    span = _bracket(gauge.lack, low, low_lack, stride, 2.0)
    if span is None and not gauge.able:  # nothing could be drawn: sizes that can may lie between those tried
        first = max(low, keep.margin, keep.half_mm / 4.0) * (_FINE - 1.0)
        span = _bracket(gauge.lack, low, low_lack, first, _FINE, most=2.0 * keep.half_mm)
    if span is None:
        raise GeometryError(_never(keep) if gauge.able else gauge.why)
    size = _settled(gauge, _crossing(gauge.lack, span, _spare(keep)))
    if gauge.why:
        refuse_bloated(make(size), keep, gauge.why)
    return size


def _never(keep: Keep) -> str:
    return f"however large the rest of it, it does not keep the margin of {keep.margin:g} mm"


class _Gauge:
    """Measures a shape of many sizes at the few places on pocket and seats that have told most so far.

    Attributes:
        able: whether any size could be drawn.
        why: why the first one that could not be drawn could not.
    """

    def __init__(self, make: Make, keep: Keep) -> None:
        self.keep = keep
        self.able, self.why = False, ""
        self._make = make
        self._telling: NDArray[np.float64] | None = None

    def lack(self, size: float) -> float:
        """Return by how much the wall at the telling places is thicker than the margin; -inf: cannot be drawn."""
        drawn = self._drawn(size)
        if drawn is None:
            return -inf
        if self._telling is None:
            walls = walls_at(drawn, self.keep.points)
            self._telling = self.keep.points[walls.argsort(kind="stable")[:_TELLING]]
        else:
            walls = walls_at(drawn, self._telling)
        return float(walls.min()) - self.keep.margin + MODEL.same_mm / 2.0

    def whole_lack(self, size: float) -> float:
        """Return the same of the exact wall anywhere; the place of the least one will tell from now on."""
        drawn = self._drawn(size)
        if drawn is None:
            return -inf
        left, place = least_wall(drawn, self.keep)
        if self._telling is not None:
            self._telling = np.vstack([self._telling, place])
        return left - self.keep.margin + MODEL.same_mm / 2.0 + 1.5 * _NOTHING_MM

    def _drawn(self, size: float) -> Contour | None:
        try:
            drawn = self._make(size)
        except (GeometryError, ArithmeticError) as error:
            self.why = self.why or (str(error) if isinstance(error, GeometryError) else "its numbers are too far apart")
            return None
        self.able = True
        return drawn


def refuse_bloated(outer: Contour, keep: Keep, why: str) -> None:
    """Refuse a shape that had to grow far beyond its margin until it could be drawn at all.

    Raises: GeometryError: its wall is much thicker than the margin; says ``why`` and the wall.
    """
    left = rough_wall(outer, keep)
    if left > keep.margin + _spare(keep):
        raise GeometryError(
            f"{why}: there is room only with a wall of {left:.3g} mm, and the margin is {keep.margin:g} mm"
        )


def _spare(keep: Keep) -> float:
    """Return by how much the wall may be thicker than the margin where no smaller shape can be drawn, mm."""
    return BLOATED * keep.half_mm


class _Span(NamedTuple):
    """A size at which the wall lacks, one at which it does not, and what lacks (negative) or is spare there."""

    low: float
    high: float
    low_lack: float
    high_lack: float


def _bracket(
    lack: Callable[[float], float], low: float, low_lack: float, stride: float, growth: float, most: float = LARGEST_MM
) -> _Span | None:
    """Return sizes on both sides of the least one, or None; the strides grow to ``most``."""
    while stride <= most:
        high = low + stride
        high_lack = lack(high)
        if high_lack >= 0.0:
            return _Span(low, high, low_lack, high_lack)
        if high_lack == -inf < low_lack:
            return _before(lack, low, low_lack, stride)
        low, low_lack = high, high_lack
        stride *= growth
    return None


def _before(lack: Callable[[float], float], low: float, low_lack: float, stride: float) -> _Span | None:
    """Return sizes on both sides of the least one where ``low + stride`` is too large to be drawn, or None."""
    while stride > MODEL.same_mm:
        stride /= 2.0
        high_lack = lack(low + stride)
        if high_lack >= 0.0:
            return _Span(low, low + stride, low_lack, high_lack)
        if high_lack > -inf:
            low, low_lack = low + stride, high_lack
    return None


def _crossing(lack: Callable[[float], float], span: _Span, spare: float) -> float:
    """Return the size at which nothing lacks any more; roughly, if even there far more than ``spare`` is to spare.

    Source: false position with the kept end halved (the Illinois rule; Dowell and Jarratt 1971, from memory).
    """
    low, high, low_lack, high_lack = span
    side = 0
    for _ in range(_ROUNDS):
        if high - low <= MODEL.same_mm / 10.0 or high_lack <= _NOTHING_MM:
            break
        if low_lack == -inf and (high - low <= MODEL.model_mm <= high_lack or high - low < high_lack / 4.0 - spare):
            break  # nothing smaller can be drawn
        share = 0.5 if low_lack == -inf else low_lack / (low_lack - high_lack)
        size = low + min(max(share, 0.02), 0.98) * (high - low)
        found = lack(size)
        if abs(found) <= _NOTHING_MM:
            return size
        if found >= 0.0:
            high, high_lack = size, found
            low_lack = low_lack / 2.0 if side == 1 else low_lack
            side = 1
        else:
            low, low_lack = size, found
            high_lack = high_lack / 2.0 if side == -1 else high_lack
            side = -1
    return high


def _settled(gauge: _Gauge, size: float) -> float:
    """Return the least size from ``size`` up at which the exact wall is there.

    The place where it lacks most joins those that tell, and the size follows (the exchange that minimax fits are found
    by; Remez 1934, from memory). Should that not end, the exact wall itself is followed, which must.

    Raises: GeometryError: no larger size keeps the wall.
    """
    for k in range(_EXCHANGES + 1):
        short = gauge.whole_lack(size)
        if short >= 0.0:
            return size
        lack = gauge.lack if k < _EXCHANGES else gauge.whole_lack
        span = _bracket(lack, size, short, -_SPARE * short, 2.0)
        if span is None:
            raise GeometryError(_never(gauge.keep))
        size = _crossing(lack, span, _spare(gauge.keep))
    return size
