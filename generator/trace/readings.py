"""Caliper readings: what was measured, and on which features of the picture."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.recipe.model_caliper import (
    BETWEEN_HOLES,
    CENTRES,
    DIAMETER,
    OVER_HOLES,
    RADIUS,
    THICKNESS,
    WIDTH,
)

__all__ = [
    "BETWEEN_HOLES",
    "CENTRES",
    "DIAMETER",
    "OVER_HOLES",
    "RADIUS",
    "THICKNESS",
    "WIDTH",
    "Caliper",
    "Reading",
    "agreed",
    "rivals",
    "scales",
]

Floats = NDArray[np.float64]


@frozen_record
class Reading:
    """One caliper reading.

    Attributes:
        name: how it is called.
        kind: one of the words above.
        value: mm.
        holes: pixels (u, v) within the holes or near the arcs that it touches.
        numbers: the same features by their numbers in the picture, 1 for the first; used where there are no pixels.
        touch: pixels where the jaws touched, or nothing.
        direction_deg: of an outside width, in the picture: atan2(dv, du), degrees.
    """

    name: str
    kind: str
    value: float
    holes: tuple[tuple[float, float], ...] = ()
    numbers: tuple[int, ...] = ()
    touch: tuple[tuple[float, float], ...] = ()
    direction_deg: float | None = None


@frozen_record
class Caliper:
    """All readings of a part.

    Attributes:
        readings: in the order of the file.
        sigma: standard deviation of one, mm.
        resolution: of the instrument, mm.
    """

    readings: tuple[Reading, ...] = ()
    sigma: float = 0.015
    resolution: float = 0.01

    @property
    def deviation(self) -> float:
        """Return the standard deviation of a reading with what the display rounds away, mm (GUM 4.3.7: step / √12)."""
        return float(np.hypot(self.sigma, self.resolution / 12.0**0.5))

    def thickness(self) -> float | None:
        """Return the mean of the readings of thickness, mm, or None if there is none."""
        found = [r.value for r in self.readings if r.kind == THICKNESS]
        return sum(found) / len(found) if found else None


AGREE: Final = 0.03
"""Scales that differ by more than this share contradict each other."""


def agreed(by_each: Sequence[tuple[str, float]], told: float | None = None) -> float | None:
    """Return the scale that most readings agree on, px in a mm, or None without any.

    Args:
        by_each: what each reading gives, by its name.
        told: what the file or the person says; it decides between as many readings on either side.
    """
    ratios = [ratio for _, ratio in by_each]
    if not ratios:
        return None
    apart = [sum(min(abs(q / r - 1.0), AGREE) for q in ratios) for r in ratios]
    best = [r for r, a in zip(ratios, apart, strict=True) if a <= min(apart) + 0.5 * AGREE]
    near = [r for r in best if told is not None and abs(r / told - 1.0) <= AGREE]
    return float(np.median(near or best))


def scales(caliper: Caliper, loops: Sequence[Floats]) -> list[tuple[str, float]]:
    """Return the scale, px in a mm, that each reading gives to coarse outlines, by its name; those that give one.

    Args:
        caliper: the readings.
        loops: outlines to the pixel, the part's first, shape (n, 2) each.
    """
    out = []
    for r in caliper.readings:
        size = _size_px(r, loops)
        if size is not None and r.value > 0.0:
            out.append((r.name, size / r.value))
    return out


def rivals(found: Sequence[tuple[str, float]]) -> list[list[tuple[str, float]]]:
    """Return the readings that agree on a scale, the largest groups, if there are several as large; else none."""
    groups: list[list[tuple[str, float]]] = []
    for one in sorted(found, key=lambda f: f[1]):
        if groups and one[1] <= groups[-1][0][1] * (1.0 + AGREE):
            groups[-1].append(one)
        else:
            groups.append([one])
    most = max((len(g) for g in groups), default=0)
    largest = [g for g in groups if len(g) == most]
    return largest if len(largest) > 1 else []


def _size_px(r: Reading, loops: Sequence[Floats]) -> float | None:
    if r.kind == WIDTH and r.direction_deg is not None:
        a = np.radians(r.direction_deg)
        along = loops[0] @ np.array([np.cos(a), np.sin(a)])
        return float(along.max() - along.min())
    if r.kind in (DIAMETER, CENTRES, OVER_HOLES, BETWEEN_HOLES) and r.holes:
        middles = [loop.mean(axis=0) for loop in loops[1:]]
        found = [_nearest(middles, p) for p in r.holes]
        if any(f is None for f in found):
            return None
        wide = [2.0 * float(np.hypot(*(loops[1 + f] - middles[f]).T).mean()) for f in found if f is not None]
        if r.kind == DIAMETER:
            return wide[0]
        one_each = len(found) == 2 and found[0] != found[1]  # ends of one slot tell no scale here
        if one_each and found[0] is not None and found[1] is not None:
            beyond = {CENTRES: 0.0, OVER_HOLES: 0.5, BETWEEN_HOLES: -0.5}[r.kind]
            return float(np.hypot(*(middles[found[0]] - middles[found[1]]))) + beyond * sum(wide)
    return None


def _nearest(middles: Sequence[Floats], point: tuple[float, float]) -> int | None:
    if not middles:
        return None
    away = [float(np.hypot(m[0] - point[0], m[1] - point[1])) for m in middles]
    return int(np.argmin(away))
