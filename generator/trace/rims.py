"""The light on both sides of a traced outline, laid out straight: how far along it, how far beside it.

What an undamaged edge looks like is learnt from the picture itself: the median of all edges that face the same way.
"""

from __future__ import annotations

from dataclasses import replace
from math import ceil
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point, Segment
from generator.trace.footprint import Feature, Footprint
from generator.trace.nearest import nearest
from generator.trace.pixels import pixels_of
from generator.trace.primitives import CIRCLE, LINE
from generator.trace.tracing import Traced

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SMOOTH_MM: Final = 0.2
"""Along so much of an edge light is averaged: narrower than damage, wider than noise."""
STEP_MM: Final = 0.05
"""Distance of places along an edge; at least a pixel."""
DEEP_MM: Final = 1.5
"""How far into the metal damage is looked for."""
BEYOND_MM: Final = 1.2
"""How far outside the surroundings are looked at."""
LEVEL_MM: Final = 12.0
"""Along so much of the edge, either way, the metal's own light is taken."""
LEAST_LIGHT: Final = 1e-3
"""Metal is never taken to be blacker."""
ALIKE: Final = 72
"""Directions in a turn in which edges are held to look alike."""
ENOUGH_MM: Final = 12.0
"""So much edge tells what edges of a direction look like: several times as much as a chip is long."""


@frozen_record(eq=False)
class Patch:
    """A stretch of a rim where something is wrong.

    Attributes:
        places: indices of the rim's places, in order.
        worst: that where most is wrong.
        off: how far the edge is off there: positive where there is more metal, mm.
        length: along the rim, mm.
    """

    places: Ints
    worst: int
    off: float
    length: float


@frozen_record(eq=False)
class Rim:
    """The strip along one loop.

    Attributes:
        at: places on the outline, in the picture's frame, mm by the true scale, shape (n, 2).
        normals: away from the material there.
        of: index of the primitive of each.
        step: length along the outline that each stands for, mm, shape (n,).
        across: distances beside the outline, mm, rising, negative in the metal, shape (m,).
        light: linear light there, shape (n, m).
        clear: how far into the metal there is nothing else, mm, shape (n,).
        metal: light of the metal near each place, shape (n,).
        ground: light of what lies behind it, shape (n,).
        usual: light, as a share of the metal's, that is usual beside edges of the same direction, shape (n, m).
    """

    at: Floats
    normals: Floats
    of: Ints
    step: Floats
    across: Floats
    light: Floats
    clear: Floats
    metal: Floats
    ground: Floats
    usual: Floats

    def patch(self, places: Ints, worst: int, off: float) -> Patch:
        """Return a stretch of the rim: from the first to the last of some places, round its start if that is shorter.

        Args:
            places: rising.
            worst: that where most is wrong.
            off: how far the edge is off there, mm.
        """
        n = len(self.at)
        gap = np.diff(np.append(places, places[0] + n))
        widest = int(np.argmax(gap))
        first = int(places[(widest + 1) % len(places)])
        count = (int(places[widest]) - first) % n + 1
        within = (first + np.arange(count)) % n
        return Patch(within, worst, off, float(self.step[within].sum()))


def rims(traced: Traced, footprint: Footprint, *, face: bool = False) -> list[Rim]:
    """Return the strips along all loops of a part in its first picture, the outline first.

    Args:
        traced: the part.
        footprint: the same, whole.
        face: of a photo, along the rim of the upper face instead of the edge that is seen.
    """
    px = float(np.mean(traced.seen[0].mm_per_px))
    across = np.arange(-DEEP_MM, BEYOND_MM, max(0.5 * px, 0.04))
    loops = [footprint.outline, *footprint.openings, *((n,) for n in footprint.holes)]
    laid = [_places(footprint, loop, max(px, STEP_MM)) for loop in loops]
    every = np.vstack([at[:: max(1, round(8.0 * px / STEP_MM))] for at, *_ in laid])
    strips = []
    for at, normals, of, step in laid:
        light, clear = _light(traced, at, normals, across, face=face), _clear(at, normals, every)
        metal = np.maximum(_along(light, across, -clear, -0.3, step), LEAST_LIGHT)
        ground = _along(light, across, np.full(len(at), 0.6 * BEYOND_MM), BEYOND_MM, step)
        strips.append(Rim(at, normals, of, step, across, light, clear, metal, ground, light))
    return _with_usual(strips)


def _with_usual(strips: list[Rim]) -> list[Rim]:
    """Return strips with what is usual beside edges of each place's direction."""
    angles = [np.arctan2(s.normals[:, 1], s.normals[:, 0]) % (2.0 * np.pi) for s in strips]
    share = np.vstack([s.light / s.metal[:, None] for s in strips])
    usual = _usual(np.concatenate(angles), share, np.concatenate([s.step for s in strips]))
    which = [np.floor(a / (2.0 * np.pi) * ALIKE).astype(int) % ALIKE for a in angles]
    return [replace(s, usual=usual[k]) for s, k in zip(strips, which, strict=True)]


def smooth(rim: Rim, values: Floats) -> Floats:
    """Return values averaged along a rim, shape (n, …)."""
    n = max(1, round(SMOOTH_MM / float(rim.step.mean())))
    return np.asarray(ndimage.uniform_filter1d(values, n, axis=0, mode="wrap"), dtype=np.float64)


def _places(footprint: Footprint, loop: tuple[int, ...], spacing: float) -> tuple[Floats, Floats, Ints, Floats]:
    """Return places along a loop, their normals, primitives and lengths."""
    at, normals, of, step = [], [], [], []
    for number in loop:
        f = footprint.feature(number)
        own, out, length = _feature(f, spacing)
        at.append(np.array([footprint.placement.back(float(x), float(y)) for x, y in own]))
        c, s = np.cos(footprint.placement.angle), np.sin(footprint.placement.angle)
        normals.append(out @ np.array([[c, s], [-s, c]]))
        of.append(np.full(len(own), number - 1))
        step.append(np.full(len(own), length / len(own)))
    return np.vstack(at), np.vstack(normals), np.concatenate(of), np.concatenate(step)


def _feature(f: Feature, spacing: float) -> tuple[Floats, Floats, float]:
    """Return places along a feature in the footprint's frame, normals away from the material, and its length."""
    p = f.primitive
    if p.kind == LINE:
        a, b = np.array(f.start), np.array(f.end)
        length = float(np.hypot(*(b - a)))
        n = max(1, ceil(length / spacing))
        share = (np.arange(n) + 0.5) / n
        angle = p.values[0]
        return a + share[:, None] * (b - a), np.tile([np.cos(angle), np.sin(angle)], (n, 1)), length
    x, y, r = p.values
    if p.kind == CIRCLE:
        begin, sweep = 0.0, 2.0 * np.pi
    else:
        s = Segment(Point(*f.start), Point(*f.end), f.bulge)
        (x, y), r = s.centre, s.radius_mm
        begin, sweep = float(np.arctan2(s.start.y - y, s.start.x - x)), s.sweep
    length = abs(sweep) * r
    n = max(1, ceil(length / spacing))
    turn = begin + sweep * (np.arange(n) + 0.5) / n
    out = np.column_stack([np.cos(turn), np.sin(turn)])
    return np.array([x, y]) + r * out, p.side * out, length


def _light(traced: Traced, at: Floats, normals: Floats, across: Floats, *, face: bool) -> Floats:
    """Return the light beside places of an edge, shape (n, m)."""
    outward = None if face else normals
    here = pixels_of(traced, at, outward)
    ahead = pixels_of(traced, at + normals, outward) - here
    u, v = (here[:, k, None] + ahead[:, k, None] * across for k in (0, 1))
    light: Floats = ndimage.map_coordinates(
        traced.seen[0].picture.light, [v, u], order=1, mode="nearest", output=np.float64
    )
    return light


def _clear(at: Floats, normals: Floats, every: Floats) -> Floats:
    """Return how far inwards of places there is no other edge, mm, at most ``DEEP_MM``."""
    few = np.arange(0, len(at), 6)
    free = np.ones(len(few), dtype=bool)
    clear = np.zeros(len(few))
    for deep in np.arange(0.3, DEEP_MM + 0.31, 0.3):
        free &= nearest(at[few] - deep * normals[few], every)[0] > 0.8 * deep - 0.05
        clear[free] = deep
    clear = np.minimum(ndimage.minimum_filter1d(clear, 3, mode="wrap"), DEEP_MM)
    return np.asarray(np.repeat(clear, 6)[: len(at)], dtype=np.float64)


def _along(light: Floats, across: Floats, low: Floats, high: float, step: Floats) -> Floats:
    """Return the median light of a piece of a strip round each place: between two distances, near along the edge."""
    last = int(np.searchsorted(across, high, side="right"))
    first = np.minimum(np.searchsorted(across, low), last - 2)
    within = (np.arange(len(across)) >= first[:, None]) & (np.arange(len(across)) < last)
    own = np.nanmedian(np.where(within, light, np.nan), axis=1)
    n = max(1, round(LEVEL_MM / float(step.mean())))
    size = min(2 * n + 1, len(light) // 2 * 2 + 1)
    return np.asarray(ndimage.median_filter(own, size, mode="wrap"), dtype=np.float64)


def _usual(angle: Floats, share: Floats, step: Floats) -> Floats:
    """Return the median strip of every direction, shape (ALIKE, m)."""
    out = np.zeros((ALIKE, share.shape[1]))
    for k in range(ALIKE):
        away = np.abs((angle - (k + 0.5) / ALIKE * 2.0 * np.pi + np.pi) % (2.0 * np.pi) - np.pi)
        order = np.argsort(away, kind="stable")
        near = away[order]
        length = np.cumsum(step[order])
        last = max(int(np.searchsorted(near, 2.0 * np.pi / ALIKE)), int(np.searchsorted(length, ENOUGH_MM)))
        chosen = order[: min(last + 1, len(order))]
        few = max(1, len(chosen) // 400)
        out[k] = np.median(share[chosen[::few]], axis=0)
    return out
