"""The edge of a picture in two tones, nearer than the pixels say: long arcs through the steps between them.

Where there are no grey values, the outline may pass anywhere between the middles of a dark and a light pixel beside
each other. One step says little, but an arc that passes between all such pairs along a stretch has little room to move
in. For stretches of many lengths the arc of least squares is found; those that pass between every pair are believed,
the longer the more, and every point moves to the mean of the feet on the arcs of its stretches. No such stretch runs
across a corner, so corners stay. (After the tangent estimator of J.-O. Lachaud, A. Vialard and F. de Vieilleville,
Fast, accurate and convergent tangent estimation on digital contours, Image and Vision Computing 25 (10), 2007.)
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.outline.spans import Floats, Ints

Bools = NDArray[np.bool_]

SHORTEST: Final = 6
"""Points in the shortest stretch."""
LONGER: Final = 1.45
"""Each length is so many times the one before."""
STEPS: Final = 6
"""Stretches of one length begin this often within their length."""
MOST_SHARE: Final = 0.8
"""Of a loop in one stretch."""
ROOM: Final = 0.08
"""Pixels that an arc may pass beyond the middle of a pixel: pixels are dark when half of them is covered, which is
exact for straight edges only."""
MOST_SPREAD: Final = 1.7
"""How much larger the variance of the steps may be than that of even ones."""
ROUNDS: Final = 1
STEADY: Final = 3
"""Times in a row that no stretch of a length was believed, after which no longer one is tried."""
CHUNK: Final = 200_000
"""Points reckoned with at once."""
END_WEIGHT: Final = 0.05
"""Weight of the ends of a stretch, where its arc is known least, beside 1 in its middle (tried on drawn shapes)."""
ON_MIDDLE: Final = 1e-9
"""Rows of pixel middles are met within this, which is the noise of arithmetic."""
LEAST: Final = 1e-9
"""Lengths are held to be no less where they divide, pixels."""


@frozen_record
class _Arcs:
    """Arcs of many stretches, a row each: a point, the direction there and the curvature, positive to the left."""

    ox: Floats
    oy: Floats
    ux: Floats
    uy: Floats
    bend: Floats


def unstaired(points: Floats) -> Floats:
    """Return the points of a loop moved to where the outline probably ran.

    Args:
        points: midway between pixels of the two tones, in order, pixels.
    """
    n = len(points)
    across = np.abs(points[:, 1] - np.floor(points[:, 1]) - 0.5) < ON_MIDDLE  # the pair lies side by side
    total, moves = np.zeros(n), np.zeros((n, 2))
    length, missed = float(SHORTEST), 0
    while length <= MOST_SHARE * n and missed < STEADY:
        size = int(length)
        starts = np.arange(0, n, max(1, size // STEPS))
        believed = False
        for some in np.array_split(starts, max(1, len(starts) * size // CHUNK)):
            believed |= _add(points, across, some, size, total, moves)
        missed = 0 if believed else missed + 1
        length *= LONGER
    return points + moves / np.where(total > 0.0, total, 1.0)[:, None]


def _add(points: Floats, across: Bools, starts: Ints, size: int, total: Floats, moves: Floats) -> bool:
    """Add the moves of the stretches that are believed, with their weights; return whether there was one."""
    rows = (starts[:, None] + np.arange(size)) % len(points)
    x, y = points[rows, 0], points[rows, 1]
    off, nx, ny, believed = _strays(x, y, across[rows])
    if not believed.any():
        return False
    rows, off, nx, ny = rows[believed].ravel(), off[believed], nx[believed], ny[believed]
    t = (np.arange(size) + 0.5) / size
    weight = size**3 * (END_WEIGHT + 4.0 * t * (1.0 - t))
    n = len(points)
    total += np.bincount(rows, np.broadcast_to(weight, off.shape).ravel(), n)
    moves[:, 0] -= np.bincount(rows, (weight * off * nx).ravel(), n)
    moves[:, 1] -= np.bincount(rows, (weight * off * ny).ravel(), n)
    return True


def _strays(x: Floats, y: Floats, across: Bools) -> tuple[Floats, Floats, Floats, Bools]:
    """Return how far points lie to the left of the arcs of their stretches, the normals, and which are believed."""
    arcs = _first_arcs(x, y)
    for _ in range(ROUNDS):
        arcs = _better(arcs, x, y)
    off, nx, ny, _ = _to_left(arcs, x, y)
    room = 0.5 * np.abs(np.where(across, nx, ny))
    believed = (np.abs(off) <= room + ROOM).all(axis=1)
    believed &= (off**2).sum(axis=1) <= MOST_SPREAD * ((room**2).sum(axis=1) / 3.0 + ROOM**2)
    return off, nx, ny, believed


def _first_arcs(x: Floats, y: Floats) -> _Arcs:
    """Return arcs through about the first, middle and last points."""
    size = x.shape[1]
    k = max(1, size // 6)
    ax, ay = x[:, :k].mean(axis=1), y[:, :k].mean(axis=1)
    bx, by = x[:, -k:].mean(axis=1), y[:, -k:].mean(axis=1)
    m = slice((size - k) // 2, (size - k) // 2 + k)
    mx, my = x[:, m].mean(axis=1), y[:, m].mean(axis=1)
    chord = np.maximum(np.hypot(bx - ax, by - ay), LEAST)
    ux, uy = (bx - ax) / chord, (by - ay) / chord
    sag = (mx - ax) * uy - (my - ay) * ux
    half = chord / 2.0
    return _Arcs(mx, my, ux, uy, 2.0 * sag / (half * half + sag * sag))


def _to_left(a: _Arcs, x: Floats, y: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Return the distance of points to the left of their arcs, the unit normals to the left, and the way along."""
    ux, uy, k = a.ux[:, None], a.uy[:, None], a.bend[:, None]
    wx, wy = x - a.ox[:, None], y - a.oy[:, None]
    along, left = ux * wx + uy * wy, ux * wy - uy * wx
    gx, gy = k * along, 1.0 - k * left  # towards the centre, times the curvature, in the frame of the arc
    size = np.hypot(gx, gy)
    off = (2.0 * left - k * (wx * wx + wy * wy)) / (1.0 + size)
    size = np.maximum(size, LEAST)
    tx, ty = -gx / size, gy / size
    flat = k == 0.0
    way = np.where(flat, along, np.arctan2(gx, gy) / np.where(flat, 1.0, k))
    return off, ux * tx - uy * ty, uy * tx + ux * ty, way


def _better(a: _Arcs, x: Floats, y: Floats) -> _Arcs:
    """Return the arcs after one step of least squares: shifted, turned and bent."""
    off, _, _, s = _to_left(a, x, y)
    scale = np.maximum(np.abs(s).max(axis=1), LEAST)
    s = s / scale[:, None]
    s2 = s * s
    powers = np.stack([np.ones_like(s), s, s2], axis=1)
    matrix = powers @ powers.transpose(0, 2, 1) + LEAST * np.eye(3)
    shift, turn, bend = np.linalg.solve(matrix, (powers @ off[..., None]))[..., 0].T
    turn, bend = turn / scale, 2.0 * bend / scale**2
    c, q = np.cos(turn), np.sin(turn)
    x0, y0 = a.ox - shift * a.uy, a.oy + shift * a.ux
    return _Arcs(x0, y0, c * a.ux - q * a.uy, q * a.ux + c * a.uy, a.bend + bend)
