"""Stretches of an edge that were seen off their feature: burrs, dents, and what only looks like them.

A grain of dust at an edge looks like a burr, but is shorter; rust at an edge on black looks like a dent, but the metal
beside it is dim, too.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.trace.nearest import nearest
from generator.trace.rims import Patch, Rim, smooth
from generator.trace.runs_round import runs_round

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_MM: Final = 0.04
"""Less is no damage: noise and shadows make as much."""
LEAST_PX: Final = 0.5
"""The same in pixels of a scan: as far off are places that nothing spoils in simulated ones."""
LEAST_PHOTO_PX: Final = 1.0
"""Of a photo: walls and their shadows make as much."""
SCATTERS: Final = 5.0
"""Robust standard deviations of the feature's own points."""
USUAL: Final = 3.0
"""So many times as far off as nine tenths of all points are is no longer usual."""
DENT_PX: Final = 1.0
"""A shallower dent cannot be told from dim metal."""
CORNER_MM: Final = 0.7
"""So near to a corner its blur keeps points off, by up to …"""
BLUNT_MM: Final = 0.12
GRAIN_MM: Final = 0.5
"""A shorter swelling is a grain of dust (burrs of simulated parts are 0.7 mm wide at half their height, dust 0.4)."""
DIM: Final = 0.8
GLARE: Final = 1.25
"""Beside a dent the metal is as bright as elsewhere, within these shares."""
NEAR_MM: Final = 0.5
"""So far outside an edge light tells how long a swelling is."""
FEWEST: Final = 9
"""A feature of fewer points cannot tell damage from being seen too far out as a whole."""


def swells(points: Floats, off: Floats, least: Floats, rim: Rim, px_mm: float, *, dents: bool = True) -> list[Patch]:
    """Return where an edge was seen off its features.

    Args:
        points: places of the edge in order round its loop, mm, shape (n, 2).
        off: how far each lies off its feature, positive outside, mm.
        least: how far off each must be to count, mm.
        rim: the strip along the loop.
        px_mm: size of a pixel.
        dents: whether shallow dents can be told: not where rust or marks dim the metal's face.
    """
    place = nearest(points, rim.at)[1]
    out = []
    for sign, floor in ((1.0, 0.0), (-1.0, DENT_PX * px_mm))[: 2 if dents else 1]:
        for run in runs_round(sign * off > 0.5 * least):
            worst = run[int(np.argmax(sign * off[run]))]
            if sign * off[worst] < max(least[worst], floor):
                continue
            patch = rim.patch(np.unique(place[run]), int(place[worst]), float(off[worst]))
            if sign < 0.0 and len(run) < 2:  # a scratch
                continue
            judged = _swelling(rim, patch) if sign > 0.0 else _dent(rim, patch)
            if judged is not None:
                out.append(judged)
    return out


def levelled(off: Floats, of: Ints, least_mm: float) -> tuple[Floats, Floats]:
    """Return distances without what all of a feature is seen too far out, and the least that counts, mm.

    Args:
        off: how far points lie off their features, mm.
        of: number of the feature.
        least_mm: what counts at least, mm.
    """
    off, least = off.copy(), np.full(len(off), least_mm)
    for i in np.unique(of):
        mine = of == i
        if mine.sum() >= FEWEST:
            off[mine] -= np.median(off[mine])
            least[mine] = np.maximum(least_mm, SCATTERS * 1.4826 * np.median(np.abs(off[mine])))
    return off, np.maximum(least, USUAL * float(np.quantile(np.abs(off), 0.9)))


def blunt(points: Floats, least: Floats, corners: Floats) -> Floats:
    """Return the least that counts with what corners keep off, mm.

    Args:
        points: places of the edge, shape (n, 2).
        least: what counts there without.
        corners: places of sharp corners, shape (k, 2).
    """
    if not len(corners):
        return least
    return np.where(nearest(points, corners)[0] < CORNER_MM, np.maximum(least, BLUNT_MM), least)


def _swelling(rim: Rim, patch: Patch) -> Patch | None:
    """Return a burr with its length at half its height as light tells it, or None where it is a grain of dust."""
    usual = rim.usual * rim.metal[:, None]
    darker = usual - rim.metal[:, None]
    share = np.clip((usual - rim.light) / np.where(np.abs(darker) < 1e-3, 1e-3, darker), 0.0, 1.0)
    near = (rim.across > 0.0) & (rim.across < NEAR_MM)
    height = smooth(rim, share[:, near].sum(axis=1)) * float(np.diff(rim.across).mean())
    n = len(rim.at)
    round_it = (patch.worst + np.arange(-n // 2, n // 2)) % n
    middle = n // 2
    reach = max(1, round(0.5 / float(rim.step.mean())))
    top = middle - reach + int(np.argmax(height[round_it[middle - reach : middle + reach + 1]]))
    high = height[round_it] > 0.5 * height[round_it[top]]
    first = top - int(np.argmin(high[top::-1])) if not high[: top + 1].all() else 0
    last = top + int(np.argmin(high[top:])) if not high[top:].all() else n
    places = round_it[first + 1 : last]
    length = float(rim.step[places].sum())
    if length < GRAIN_MM:
        return None
    return Patch(places, patch.worst, patch.off, length)


def _dent(rim: Rim, patch: Patch) -> Patch | None:
    """Return a dent, or None where the metal beside it is not as elsewhere."""
    within = (rim.across > -1.0) & (rim.across < -0.35)
    beside = rim.light[np.ix_(patch.places, within)] / rim.metal[patch.places, None]
    usual = rim.usual[np.ix_(patch.places, within)]
    return patch if DIM < float(np.median(beside / usual)) < GLARE else None
