"""Short stretches of an outline: the edge's place in each, from the light of its neighbours pooled."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import convolve1d, median_filter

from generator.base.frozen_record import frozen_record
from generator.trace.edge_look import look_of, rough_look
from generator.trace.edge_model import Look, distances, places, unclear
from generator.trace.edge_points import Edge, Ground

Floats = NDArray[np.float64]

STRETCH_MM: Final = 0.5
"""Length of a stretch; at least ``FEWEST_PX`` pixels."""
FEWEST_PX: Final = 4
ALONE_PX: Final = 2.0
"""A place that is off what its neighbours on both sides make likely by more is dust or a corner, not to be followed."""
SHARED_MOST: Final = 80
"""So many stretches tell what all edges share; more would tell no more."""


@frozen_record
class Stretches:
    """The edge of one loop, a point for each stretch, in order.

    Attributes:
        points: shape (n, 2), u and v in px.
        normals: unit normals away from the material, shape (n, 2).
        sigma_px: standard deviation across the edge of each point, from its own misfit, shape (n,).
        unclear_px: how far beyond the edge its shadow is no clearly brighter than the material, shape (n,).
    """

    points: Floats
    normals: Floats
    sigma_px: Floats
    unclear_px: Floats | None = None


class Pooled:
    """Profiles of one loop's stretches along the normals of a smooth curve through its edge."""

    def __init__(self, ground: Ground, edge: Edge, px_per_mm: float) -> None:
        window = max(5, int(0.4 * px_per_mm) // 2 * 2 + 1)
        window = min(window, (len(edge.points) - 1) // 2 * 2 + 1)
        self._ground, self._normals = ground, edge.normals
        self._base = convolve1d(edge.points, parabolic(window), axis=0, mode="wrap")
        self.at = distances(px_per_mm)
        k = max(FEWEST_PX, round(px_per_mm * STRETCH_MM))
        self._cuts = np.linspace(0, len(self._base), max(8, len(self._base) // k) + 1).astype(int)
        self._middle = (self._cuts[:-1] + self._cuts[1:]) // 2
        self.normals = edge.normals[self._middle]
        self._sample()

    def _sample(self) -> None:
        light = self._ground.profiles(self._base, self._normals, self.at)
        self.points = self._base[self._middle]
        self.profiles = np.stack([np.median(light[a:b], axis=0) for a, b in pairwise(self._cuts)])

    def follow(self, shift: Floats) -> None:
        """Lay a smooth curve through the edge as it was found; profiles are taken along it.

        Where light changes fastest may jump between the edge and its shadow's end within a stretch, whose profiles
        would then blur each other.

        Args:
            shift: of the stretches in px along their normals.
        """
        found = self.points + self.normals * shift[:, None]
        ahead, behind, far_ahead, far_behind = (np.roll(found, k, axis=0) for k in (-1, 1, -2, 2))
        off = ((found - (4.0 * (ahead + behind) - far_ahead - far_behind) / 6.0) * self.normals).sum(axis=1)
        calm = median_filter(shift, 3, mode="wrap")
        found = np.where(np.abs(off)[:, None] > ALONE_PX, self.points + self.normals * calm[:, None], found)
        self._base = _curve(found, self._middle, len(self._base))
        self._sample()


def _curve(through: Floats, middle: NDArray[np.int64], n: int) -> Floats:
    """Return n points of a closed curve through some of them: cubics whose slopes are those of chords (Catmull & Rom).

    Args:
        through: shape (m, 2).
        middle: which of the n each of them is, rising, shape (m,).
        n: how many points.
    """
    k = np.arange(n)
    i = np.searchsorted(middle, k, side="right") - 1  # -1: between the last and the first
    length = np.diff(np.append(middle, middle[0] + n))
    t = (((k - middle[i]) % n) / length[i])[:, None]
    before, start, end, after = (through[(i + j) % len(through)] for j in (-1, 0, 1, 2))
    bend = 2.0 * before - 5.0 * start + 4.0 * end - after
    curve: Floats = start + 0.5 * t * (end - before + t * (bend + t * (3.0 * (start - end) + after - before)))
    return curve


def parabolic(window: int) -> Floats:
    """Return the weights under which the middle of an odd number of values lies on the parabola of least squares.

    Savitzky & Golay 1964, in closed form (Madden 1978, for degrees 2 and 3).
    """
    m = window // 2
    i = np.arange(-m, m + 1)
    weights: Floats = 3.0 * (3 * m * m + 3 * m - 1 - 5 * i * i) / ((2 * m - 1) * (2 * m + 1) * (2 * m + 3))
    return weights


def shared_look(pooled: list[Pooled]) -> Look:
    """Return what all edges of a picture share, from stretches of every loop, which then follow their edges."""
    first = rough_look(*_some(pooled))
    for p in pooled:
        p.follow(places(p.profiles, p.normals, p.at, first).shift_px)
    return look_of(*_some(pooled), first)


def _some(pooled: list[Pooled]) -> tuple[Floats, Floats, Floats]:
    """Return profiles and normals of some stretches of every loop, and where the profiles were sampled."""
    profiles = np.vstack([p.profiles for p in pooled])
    normals = np.vstack([p.normals for p in pooled])
    step = max(1, -(-len(profiles) // SHARED_MOST))
    return profiles[::step], normals[::step], pooled[0].at


def stretches(pooled: Pooled, look: Look) -> Stretches:
    """Return the edge's place in every stretch: found, followed, and found again."""
    pooled.follow(places(pooled.profiles, pooled.normals, pooled.at, look).shift_px)
    found = places(pooled.profiles, pooled.normals, pooled.at, look)
    points = pooled.points + pooled.normals * found.shift_px[:, None]
    angle = np.arctan2(pooled.normals[:, 1], pooled.normals[:, 0])
    return Stretches(points, pooled.normals, found.sigma_px, unclear(found, look, angle))
