"""One biarc: two arcs that leave one point in a given direction, meet without a corner, and arrive in another.

One number is free (how far the first arc reaches); several are tried and the best is kept.

Source of the biarc: K. M. Bolton, Biarc curves, Computer-Aided Design 7 (1975), from memory; the formulas here
are derived in ``_biarcs``.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from generator.outline.contour import Point
from generator.outline.spans import Floats

__all__ = ["Biarc", "best_biarc"]

_REACHES = np.array([0.6, 0.75, 0.88, 1.0, 1.14, 1.33, 1.67])
"""Tried reaches of the first arc, as multiples of the reach that makes both legs equal."""


class Biarc(NamedTuple):
    """Two arcs from ``start`` over ``joint`` by their bulges, and how far the points lie from them at most, mm."""

    start: Point
    joint: Point
    bulges: tuple[float, float]
    deviation: float


def best_biarc(p: Floats, u: Floats) -> Biarc | None:
    """Return the best biarc from the first to the last of the points with the unit directions there."""
    reach = _equal_reach(p[-1] - p[0], u[0], u[1])
    if reach is None:
        return None
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):  # a reach may not allow a second arc
        joints, bulges = _biarcs(p[0], u[0], p[-1], u[1], reach * _REACHES)
        off = _deviations(p, u, joints, bulges)
    off = np.where(np.isfinite(off) & (np.abs(bulges) <= 0.9).all(axis=0), off, np.inf)
    k = int(off.argmin())
    if not np.isfinite(off[k]):
        return None
    joint = Point(float(joints[k, 0]), float(joints[k, 1]))
    start = Point(float(p[0, 0]), float(p[0, 1]))
    return Biarc(start, joint, (float(bulges[0, k]), float(bulges[1, k])), float(off[k]))


def _equal_reach(v: Floats, u0: Floats, u1: Floats) -> float | None:
    """Return the reach d of the biarc with equal legs: ``v² - 2 d v·(u0 + u1) - 2 d² (1 - u0·u1) = 0``."""
    along, bend, square = float(v @ (u0 + u1)), 1.0 - float(u0 @ u1), float(v @ v)
    if along <= 0.0:
        return None
    # the root written so that nothing cancels when the directions are almost the same
    return square / (along + float(np.sqrt(along * along + 2.0 * bend * square)))


def _biarcs(p0: Floats, u0: Floats, p1: Floats, u1: Floats, d0: Floats) -> tuple[Floats, Floats]:
    """Return joints (k, 2) and bulges (2, k) of the biarcs whose first legs are ``d0``.

    The legs run from p0 along u0 to a and from b along u1 to p1. Both arcs touch the way from a to b at the joint, so
    that |b - a| = d0 + d1, which is linear in d1. A leg d and its arc's chord c make a bulge of tan(angle / 2) with
    the angle between leg and chord.
    """
    v = p1 - p0
    d1 = (v @ v / 2.0 - d0 * (v @ u0)) / (v @ u1 + d0 * (1.0 - u0 @ u1))
    d1 = np.where(d1 > 0.0, d1, np.nan)
    a = p0 + d0[:, None] * u0
    b = p1 - d1[:, None] * u1
    joints = (d1[:, None] * a + d0[:, None] * b) / (d0 + d1)[:, None]
    return joints, np.stack([_bulge(u0, joints - p0), -_bulge(u1, p1 - joints)])


def _bulge(u: Floats, chord: Floats) -> Floats:
    """Return tan(half the angle from u to the chords)."""
    cross = u[0] * chord[:, 1] - u[1] * chord[:, 0]
    dot = chord @ u
    bulge: Floats = cross / (dot + np.hypot(cross, dot))
    return bulge


def _deviations(p: Floats, u: Floats, joints: Floats, bulges: Floats) -> Floats:
    """Return for each biarc how far the points lie from it at most, mm."""
    chord0, chord1 = joints - p[0], p[-1] - joints
    first = _off_circle(p, p[0], u[0], _curvature(chord0, bulges[0]))
    second = _off_circle(p, p[-1], u[1], _curvature(chord1, bulges[1]))
    # tangent at the joint: the way between the legs; points before it belong to the first arc
    q = bulges[0]
    cos, sin = (1.0 - q * q) / (1.0 + q * q), 2.0 * q / (1.0 + q * q)
    tx, ty = chord0[:, 0] * cos - chord0[:, 1] * sin, chord0[:, 1] * cos + chord0[:, 0] * sin
    ahead = (p[None, :, 0] - joints[:, 0, None]) * tx[:, None] + (p[None, :, 1] - joints[:, 1, None]) * ty[:, None]
    off: Floats = np.where(ahead <= 0.0, first, second).max(axis=1)
    return off


def _curvature(chord: Floats, bulge: Floats) -> Floats:
    k: Floats = 4.0 * bulge / (np.hypot(chord[:, 0], chord[:, 1]) * (1.0 + bulge * bulge))
    return k


def _off_circle(p: Floats, origin: Floats, u: Floats, curvature: Floats) -> Floats:
    """Return (k, n) distances of points from circles through ``origin`` along u (see ``spans.nearest``)."""
    vx, vy = p[None, :, 0] - origin[0], p[None, :, 1] - origin[1]
    k = curvature[:, None]
    power = k * (vx * vx + vy * vy) - 2.0 * (vy * u[0] - vx * u[1])
    off: Floats = np.abs(power) / (1.0 + np.hypot(k * vx + u[1], k * vy - u[0]))
    return off
