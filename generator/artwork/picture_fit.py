"""One loop of a picture to one contour: as few lines and arcs as stay near enough to every point of it."""

from __future__ import annotations

from math import isfinite
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.artwork.picture_join import chained, drawn
from generator.artwork.picture_pieces import LEAST_ARC, divide
from generator.artwork.picture_polish import polished
from generator.outline.contour import Contour
from generator.outline.distance import points_distance
from generator.outline.measure import signed_area
from generator.outline.predicates import corner_angles, explain_contour
from generator.outline.spans import Floats

Bools = NDArray[np.bool_]

TRIES: Final = 7
HEAVIER, BESIDE = 3.0, 3
"""Points that the outline strays from too far, and so many on both sides, count so much more in the next try."""
BLUNT_RAD: Final = 0.3
CORNER_ROOM: Final = 1.6
"""Points this close to a corner that turns by more than that lie rounded off, pixels."""
SUSPECT: Final = 6.0
"""Points this close to where a contour crosses itself count more, pixels."""
FORGIVEN: Final = 0.6
"""A smooth outline that misses the limit by less than this share of it is better than one of many short lines."""
ROUNDING: Final = 0.05
LEAST_SINE: Final = 0.15
"""Of half the angle of a corner: sharper ones are held to lie no further beyond their points."""


class Limits(NamedTuple):
    """How far the outline may stray from points, how far it should, and how far its corners may, times the sine of half
    their angle; pixels.
    """

    edge: float
    aim: float
    corner: float


class _Verdict(NamedTuple):
    """How good a contour is: by how much it misses the limit at worst (infinite if unsound), and at which points."""

    excess: float
    contour: Contour
    strays: Bools


def fitted(points: Floats, noise: float, corner_rad: float, limits: Limits) -> Contour:
    """Return the contour of a loop.

    Args:
        points: of the loop, in order, pixels.
        noise: how far they stray from the true outline, standard deviation, pixels.
        corner_rad: pieces that turn by more where they meet make a corner.
        limits: how far the contour may stray from the points.
    """
    exact = Contour.of(tuple(p) for p in points.tolist())
    if len(points) < LEAST_ARC:
        return exact
    weights = np.ones(len(points))
    best = _Verdict(np.inf, exact, np.ones(len(points), dtype=np.bool_))
    for k in range(TRIES):
        # at the end better corners than staircases
        chain = chained(points, divide(points, noise, weights), corner_rad if k < TRIES - 1 else 0.0)
        verdict = _judge(drawn(polished(chain, lines=False)), points, exact, limits)
        if verdict.excess > 0.0:
            verdict = min(verdict, _judge(drawn(polished(chain, lines=True)), points, exact, limits), key=_excess)
        best = min(best, verdict, key=_excess)
        if best.excess <= 0.0:
            return best.contour
        # what was passed over counts more the next time, and so do the points beside it
        near = np.any([np.roll(verdict.strays, k) for k in range(-BESIDE, BESIDE + 1)], axis=0)
        weights = np.where(near, weights * HEAVIER, weights)
    if best.excess <= (1.0 + FORGIVEN) * limits.edge - limits.aim:
        return best.contour
    plain = _simplified(points, limits.edge)
    return plain if explain_contour(plain) is None and signed_area(plain) * signed_area(exact) > 0.0 else exact


def _excess(verdict: _Verdict) -> float:
    return verdict.excess


def _judge(contour: Contour | None, points: Floats, exact: Contour, limits: Limits) -> _Verdict:
    everywhere = _Verdict(np.inf, exact, np.ones(len(points), dtype=np.bool_))
    if contour is None or not all(isfinite(n) for v in contour.vertices for n in v):
        return everywhere
    problem = explain_contour(contour)
    if problem is not None and problem.point is not None:
        off = np.hypot(*(points - np.array(problem.point)).T)
        return _Verdict(np.inf, exact, off < max(SUSPECT, float(off.min())))
    if problem is not None or signed_area(contour) * signed_area(exact) <= 0.0:
        return everywhere
    corners, turns = contour.array[:, :2], np.abs(corner_angles(contour))
    allowed = np.full(len(points), limits.aim)
    for corner in corners[turns > BLUNT_RAD]:
        allowed[((points - corner) ** 2).sum(axis=1) < CORNER_ROOM**2] = limits.edge
    off = points_distance(contour, points) - allowed
    strays = off > 0.0
    # a corner lies beyond its points: the sharper, the further
    half = (np.pi - turns) / 2.0
    beyond = points_distance(exact, corners) - limits.corner / np.maximum(np.sin(half), LEAST_SINE) - ROUNDING
    for corner in corners[beyond > 0.0]:
        strays[int(((points - corner) ** 2).sum(axis=1).argmin())] = True
    return _Verdict(float(max(off.max(), beyond.max())), contour, strays)


def _simplified(points: Floats, most: float) -> Contour:
    """Return the polygon of those points without which it would stray by more than ``most``.

    Source: D. Douglas, T. Peucker, Algorithms for the reduction of the number of points required to represent a
    digitized line or its caricature, The Canadian Cartographer 10 (2), 1973.
    """
    n = len(points)
    far = int(((points - points[0]) ** 2).sum(axis=1).argmax())
    kept = {0, far}
    runs = [(0, far), (far, n)]
    while runs:
        a, b = runs.pop()
        if b - a < 2:
            continue
        p, q, between = points[a], points[b % n], points[a + 1 : b]
        u = (q - p) / max(float(np.hypot(*(q - p))), 1e-12)
        v = between - p
        t = np.clip(v @ u, 0.0, float(np.hypot(*(q - p))))
        off = np.hypot(v[:, 0] - t * u[0], v[:, 1] - t * u[1])
        k = int(off.argmax())
        if off[k] > most:
            kept.add(a + 1 + k)
            runs += [(a, a + 1 + k), (a + 1 + k, b)]
    return Contour.of(tuple(points[k].tolist()) for k in sorted(kept))
