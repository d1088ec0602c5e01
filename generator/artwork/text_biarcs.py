"""Many biarcs at once: what ``outline/biarc.py`` does for one piece of a curve, for all pieces of many letters.

A biarc is two arcs that leave one point in a given direction, meet without a corner, and arrive at another point in a
given direction. One number is free, how far the first arc reaches; a few are tried and the best is kept. The formulas
are those of ``outline/biarc.py``, over whole arrays.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np

from generator.outline.spans import Floats

__all__ = ["FEW_REACHES", "Biarcs", "best_biarcs", "cross"]

REACHES: Final = np.array([0.6, 0.75, 0.88, 1.0, 1.14, 1.33, 1.67])
"""Tried reaches of the first arc, as multiples of the reach that makes both legs equal."""
FEW_REACHES: Final = np.array([0.75, 1.0, 1.33])
"""Enough to tell about how far a biarc will do."""
_WIDEST_BULGE: Final = 0.9


class Biarcs(NamedTuple):
    """One biarc a row: joint (n, 2), bulges (n, 2), and how far the points lie from it at most (n,), inf if none."""

    joint: Floats
    bulges: Floats
    deviation: Floats


def cross(a: Floats, b: Floats) -> Floats:
    """Return the cross products of plane vectors along the last axis."""
    product: Floats = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    return product


def best_biarcs(p: Floats, u0: Floats, u1: Floats, *, reaches: Floats = REACHES) -> Biarcs:
    """Return the best biarc for every row.

    Args:
        p: (n, k, 2) points of a curve, the ends included.
        u0: (n, 2) unit direction at the start.
        u1: (n, 2) unit direction at the end.
        reaches: to try.
    """
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):  # what comes out as nan is sorted out below
        joint, bulges = _candidates(p[:, 0], p[:, -1], u0, u1, reaches)
        off = _deviations(p, u0, u1, joint, bulges)
    possible = np.isfinite(off) & (np.abs(bulges) <= _WIDEST_BULGE).all(axis=2)
    off = np.where(possible, off, np.inf)
    k = off.argmin(axis=1)
    rows = np.arange(len(p))
    return Biarcs(joint[rows, k], bulges[rows, k], off[rows, k])


def _candidates(p0: Floats, p1: Floats, u0: Floats, u1: Floats, reaches: Floats) -> tuple[Floats, Floats]:
    """Return joints and bulges, each (n, reaches, 2); nan where a reach allows no second arc."""
    v = p1 - p0
    along, bend, square = (v * (u0 + u1)).sum(axis=1), 1.0 - (u0 * u1).sum(axis=1), (v * v).sum(axis=1)
    along = np.where(along > 0.0, along, np.nan)
    equal = square / (along + np.sqrt(along * along + 2.0 * bend * square))
    d0 = equal[:, None] * reaches
    d1 = (square[:, None] / 2.0 - d0 * (v * u0).sum(axis=1)[:, None]) / (
        (v * u1).sum(axis=1)[:, None] + d0 * bend[:, None]
    )
    d1 = np.where(d1 > 0.0, d1, np.nan)
    a = p0[:, None] + d0[..., None] * u0[:, None]
    b = p1[:, None] - d1[..., None] * u1[:, None]
    joint = (d1[..., None] * a + d0[..., None] * b) / (d0 + d1)[..., None]
    bulges = np.stack([_bulge(u0[:, None], joint - p0[:, None]), -_bulge(u1[:, None], p1[:, None] - joint)], axis=2)
    return joint, bulges


def _bulge(u: Floats, chord: Floats) -> Floats:
    """Return tan(half the angle from u to the chords)."""
    side, dot = cross(u, chord), (chord * u).sum(axis=-1)
    bulge: Floats = side / (dot + np.hypot(side, dot))
    return bulge


def _deviations(p: Floats, u0: Floats, u1: Floats, joint: Floats, bulges: Floats) -> Floats:
    """Return (n, reaches): how far the points lie from each biarc at most, mm."""
    chord0, chord1 = joint - p[:, None, 0], p[:, None, -1] - joint
    first = _off_circle(p, p[:, 0], u0, _curvature(chord0, bulges[..., 0]))
    second = _off_circle(p, p[:, -1], u1, _curvature(chord1, bulges[..., 1]))
    # tangent at the joint: the way between the legs; points before it belong to the first arc
    q = bulges[..., 0]
    cos, sin = (1.0 - q * q) / (1.0 + q * q), 2.0 * q / (1.0 + q * q)
    tx, ty = chord0[..., 0] * cos - chord0[..., 1] * sin, chord0[..., 1] * cos + chord0[..., 0] * sin
    away = p[:, None] - joint[:, :, None]
    ahead = away[..., 0] * tx[..., None] + away[..., 1] * ty[..., None]
    off: Floats = np.where(ahead <= 0.0, first, second).max(axis=2)
    return off


def _curvature(chord: Floats, bulge: Floats) -> Floats:
    k: Floats = 4.0 * bulge / (np.hypot(chord[..., 0], chord[..., 1]) * (1.0 + bulge * bulge))
    return k


def _off_circle(p: Floats, origin: Floats, u: Floats, curvature: Floats) -> Floats:
    """Return (n, reaches, k) distances of points from circles through ``origin`` along u (see ``spans.nearest``)."""
    v = p - origin[:, None]
    vx, vy, k = v[:, None, :, 0], v[:, None, :, 1], curvature[..., None]
    ux, uy = u[:, None, None, 0], u[:, None, None, 1]
    power = k * (vx * vx + vy * vy) - 2.0 * (vy * ux - vx * uy)
    off: Floats = np.abs(power) / (1.0 + np.hypot(k * vx + uy, k * vy - ux))
    return off
