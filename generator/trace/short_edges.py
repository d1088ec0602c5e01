"""A straight edge of a few points between two arcs: what blur and noise let pass for the arcs' own ends.

Two arcs that meet have six values. So have two arcs and the line that touches both, since that line has none of its
own: which of them fits the same points better is told by chi-square alone, but for the price of the two cuts.
"""

from __future__ import annotations

from collections.abc import Callable
from math import acos, atan2
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.trace.primitives import LINE, Primitive, distance

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
ArcFit = Callable[[Ints], Primitive]

CUTS: Final = 5
"""Of either arc so many points may be the line's."""
PRICE: Final = 12.0
"""Chi-square that the line must save: where its two ends lie among some twenty-five places (4 ln 25)."""
OFF_MOST: Final = 9.0
"""Of one point: three standard deviations; farther ones are dirt."""
LONGEST_MM: Final = 6.0
LEAST_ARC: Final = 4
"""Points that an arc must keep."""


class Between(NamedTuple):
    """What lies between two arcs: the points that they keep, and those of the line."""

    before: Ints
    line: Ints
    after: Ints


def line_between(
    points: Floats, normals: Floats, sigma: Floats, arcs: tuple[Ints, Ints], fit: ArcFit
) -> Between | None:
    """Return the line between two arcs that touches both, where the points speak for it.

    Args:
        points: of the whole loop, shape (n, 2), mm.
        normals: away from the material.
        sigma: standard deviation of each point.
        arcs: indices of the points of two neighbouring arcs, in order.
        fit: gives the arc through some points.
    """
    a, b = arcs
    n = len(points)
    gap = (a[-1] + 1 + np.arange((b[0] - a[-1] - 1) % n)) % n
    if len(gap) > 2 * CUTS:
        return None
    every = np.concatenate([a, gap, b])

    def misfit(p: Primitive, at: Ints) -> float:
        return float(np.minimum((distance(p, points[at]) / sigma[at]) ** 2, OFF_MOST).sum())

    first, second = fit(a), fit(b)
    off = np.minimum(*((distance(p, points[gap]) / sigma[gap]) ** 2 for p in (first, second)))
    without = misfit(first, a) + misfit(second, b) + float(np.minimum(off, OFF_MOST).sum())
    best: tuple[float, Between] | None = None
    # what lies between them is the line's or an arc's own end
    befores = [every[: len(a) + k] for k in range(-min(CUTS, len(a) - LEAST_ARC), len(gap) + 1)]
    afters = [every[len(a) + k :] for k in range(len(gap) + min(CUTS, len(b) - LEAST_ARC) + 1)]
    fits = [fit(kept) for kept in afters]
    for kept_before in befores:
        p = fit(kept_before)
        for kept_after, q in zip(afters, fits, strict=True):
            line = every[len(kept_before) : len(every) - len(kept_after)]
            if len(line) < 2:
                continue
            touching = _touching(p, q, normals[line].mean(axis=0))
            if touching is None or _length(p, q, touching) > LONGEST_MM:
                continue
            now = misfit(p, kept_before) + misfit(q, kept_after) + misfit(touching, line) + PRICE
            if now < without and (best is None or now < best[0]):
                best = (now, Between(kept_before, line, kept_after))
    return None if best is None else best[1]


def _touching(p: Primitive, q: Primitive, normal: Floats) -> Primitive | None:
    """Return the line that touches two arcs on the sides that they show, or None where there is none."""
    (x, y, r), (u, v, s) = p.values, q.values
    r, s = p.side * r, q.side * s
    far = float(np.hypot(u - x, v - y))
    # its normal n has n · c + s r equal for both
    if far < 1e-6 or abs(r - s) >= far:
        return None
    towards, turn = atan2(v - y, u - x), acos((r - s) / far)
    angle = min((towards + turn, towards - turn), key=lambda t: -float(np.cos(t) * normal[0] + np.sin(t) * normal[1]))
    return Primitive(LINE, 1, (angle, float(np.cos(angle) * x + np.sin(angle) * y) + r), p.loop)


def _length(p: Primitive, q: Primitive, line: Primitive) -> float:
    """Return how long the line is between the places where it touches, mm."""
    (x, y, _), (u, v, _) = p.values, q.values
    return abs(float(-np.sin(line.values[0]) * (u - x) + np.cos(line.values[0]) * (v - y)))
