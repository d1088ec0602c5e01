"""Curves to arcs: the longest biarcs that stay within tolerance, one after another.

A *biarc* is two arcs that leave one point in a given direction, meet each other without a corner, and arrive at
another point in a given direction. Chains of them run without corners, touch the curve at every second joint and take
few segments. One number is free in a biarc (how far the first arc reaches); several are tried and the best is kept.

Source of the biarc: K. M. Bolton, Biarc curves, Computer-Aided Design 7 (1975), from memory; the formulas here
are derived in ``_biarcs``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import copysign, hypot, isfinite, tan
from typing import NamedTuple, Protocol

import numpy as np

from generator.base.errors import GeometryError
from generator.base.units import MODEL
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.spans import Floats
from generator.outline.transform import moved, turned

__all__ = ["Bezier", "Curve", "ellipse", "fit_arcs", "fit_bezier", "superellipse"]

_SAMPLES = 33
_REACHES = np.array([0.6, 0.75, 0.88, 1.0, 1.14, 1.33, 1.67])
"""Tried reaches of the first arc, as multiples of the reach that makes both legs equal."""
_SAFE = 0.98
"""Share of the tolerance that samples may use, so that what lies between them keeps within the whole."""
_GOOD_ENOUGH = 0.9
"""A piece that uses this share of the tolerance is long enough."""
_AIM = 0.95
_PARALLEL_RAD = 1e-6
_MOST_SEGMENTS = 20_000


class Curve(Protocol):
    """A plane curve for whole arrays of parameters: shape (n,) in, (n, 2) out."""

    def point(self, t: Floats) -> Floats:
        """Return the points, mm."""

    def tangent(self, t: Floats) -> Floats:
        """Return directions of travel for rising t, of any length but 0."""


class _Biarc(NamedTuple):
    start: Point
    joint: Point
    bulges: tuple[float, float]
    deviation: float


class _Piece(NamedTuple):
    end: float
    deviation: float
    vertices: list[Vertex]


# ------------------------------------------------------------------ the search
def fit_arcs(curve: Curve, t0: float, t1: float, *, tol_mm: float = MODEL.fit_mm) -> list[Vertex]:
    """Return lines and arcs that follow a curve from t0 to t1 within ``tol_mm``, without corners.

    Args:
        curve: with a continuous direction between t0 and t1; split it at corners.
        t0: where to start.
        t1: where to end; may be less than t0.
        tol_mm: greatest distance between the curve and the arcs.

    Returns:
        The start of every segment with its bulge. The end, ``curve.point(t1)``, is not among them.

    Raises:
        GeometryError: the tolerance is not positive, or the curve cannot be followed.
    """
    if not isfinite(tol_mm) or tol_mm <= 0.0:
        raise GeometryError(f"a tolerance must be a positive number of mm, not {tol_mm:g}")
    out: list[Vertex] = []
    at, step = t0, t1 - t0
    while at != t1:
        reached, vertices = _longest(curve, at, step, t1, tol_mm)
        out += vertices
        at, step = reached, reached - at
        if len(out) > _MOST_SEGMENTS:
            raise GeometryError(f"a curve needs more than {_MOST_SEGMENTS} arcs at a tolerance of {tol_mm:g} mm")
    return out


def _longest(curve: Curve, at: float, step: float, t1: float, tol_mm: float) -> tuple[float, list[Vertex]]:
    """Return how far one piece can go from ``at`` (trying ``step`` first), and its vertices.

    A biarc's deviation grows with about the third power of its length, which tells the next length to try.
    """
    target, limit = _SAFE * tol_mm, t1 - at
    good, bad, trial = 0.0, float("inf"), abs(step)
    found: _Piece | None = None
    for _ in range(40):
        end = t1 if trial >= abs(limit) else at + copysign(trial, limit)
        piece = _piece(curve, at, end)
        if piece is not None and piece.deviation <= target:
            good, found = trial, piece
            if end == t1 or piece.deviation > _GOOD_ENOUGH * target:
                break
        else:
            bad = trial
        if found is not None and bad - good < 0.005 * good:
            break
        trial = _next_trial(trial, piece, target, good, bad)
    if found is None:
        p = curve.point(np.array([at]))[0]
        raise GeometryError("a curve cannot be followed by arcs here", point_mm=(float(p[0]), float(p[1])))
    return found.end, found.vertices


def _next_trial(trial: float, piece: _Piece | None, target: float, good: float, bad: float) -> float:
    ratio = target * _AIM / piece.deviation if piece is not None and piece.deviation > 0.0 else 0.0
    guess = trial * min(4.0, ratio ** (1.0 / 3.0)) if ratio else (4.0 * trial if trial == good else 0.0)
    if good < guess < bad:
        return guess
    return (good + bad) / 2.0 if bad < float("inf") else 2.0 * good


def _piece(curve: Curve, start: float, end: float) -> _Piece | None:
    """Return the line or the best biarc for one piece of the curve; None when there is none."""
    t = np.linspace(start, end, _SAMPLES)
    p, u = curve.point(t), curve.tangent(t[[0, -1]])
    chord = p[-1] - p[0]
    length = hypot(chord[0], chord[1])
    if length == 0.0:
        return None
    u = (u if end > start else -u) / np.hypot(u[:, 0], u[:, 1])[:, None]
    if _is_straight(p, u, chord / length):
        return _Piece(end, 0.0, [Vertex(float(p[0, 0]), float(p[0, 1]))])
    biarc = _best_biarc(p, u)
    if biarc is None:
        return None
    vertices = [Vertex(*biarc.start, biarc.bulges[0]), Vertex(*biarc.joint, biarc.bulges[1])]
    return _Piece(end, biarc.deviation, vertices)


def _is_straight(p: Floats, u: Floats, along: Floats) -> bool:
    """Return True when all samples lie on the chord within ``same_mm``, in order, and both ends point along it."""
    v = p - p[0]
    off = np.abs(v[:, 0] * along[1] - v[:, 1] * along[0]).max()
    turn = np.abs(u[:, 0] * along[1] - u[:, 1] * along[0]).max()
    return bool(off <= MODEL.same_mm and turn <= _PARALLEL_RAD and (np.diff(v @ along) >= 0.0).all())


# ------------------------------------------------------------------ one biarc
def _best_biarc(p: Floats, u: Floats) -> _Biarc | None:
    """Return the best biarc from the first to the last of the points with the unit directions there."""
    reach = _equal_reach(p[-1] - p[0], u[0], u[1])
    if reach is None:
        return None
    joints, bulges = _biarcs(p[0], u[0], p[-1], u[1], reach * _REACHES)
    off = _deviations(p, u, joints, bulges)
    off = np.where(np.isfinite(off) & (np.abs(bulges) <= 0.9).all(axis=0), off, np.inf)
    k = int(off.argmin())
    if not np.isfinite(off[k]):
        return None
    joint = Point(float(joints[k, 0]), float(joints[k, 1]))
    start = Point(float(p[0, 0]), float(p[0, 1]))
    return _Biarc(start, joint, (float(bulges[0, k]), float(bulges[1, k])), float(off[k]))


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
    with np.errstate(divide="ignore", invalid="ignore"):
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


# ------------------------------------------------------------------ curves
@dataclass(frozen=True)
class Bezier:
    """A Bézier curve of any degree by its control points (mm), t from 0 to 1."""

    controls: tuple[Point, ...]

    def point(self, t: Floats) -> Floats:
        """Return the points, mm."""
        return _casteljau(np.array(self.controls, dtype=np.float64), t)

    def tangent(self, t: Floats) -> Floats:
        """Return directions; where control points coincide, the limit of the direction at the ends."""
        c = np.array(self.controls, dtype=np.float64)
        u = _casteljau(np.diff(c, axis=0), t)
        for row in np.flatnonzero((u == 0.0).all(axis=1)):
            u[row] = self._end_direction(c, at_start=bool(t[row] < 0.5))
        return u

    @staticmethod
    def _end_direction(c: Floats, *, at_start: bool) -> Floats:
        ordered, sign = (c, 1.0) if at_start else (c[::-1], -1.0)
        ways = ordered - ordered[0]
        away = ways[(ways != 0.0).any(axis=1)]
        direction: Floats = sign * away[0] if len(away) else np.array([1.0, 0.0])
        return direction


def _casteljau(c: Floats, t: Floats) -> Floats:
    levels = [np.broadcast_to(p, (len(t), 2)) for p in c]
    s = t[:, None]
    while len(levels) > 1:
        levels = [(1.0 - s) * a + s * b for a, b in pairwise(levels)]
    return np.array(levels[0])


def fit_bezier(controls: Sequence[tuple[float, float]], *, tol_mm: float = MODEL.fit_mm) -> list[Vertex]:
    """Return lines and arcs for a Bézier curve (2 control points a line, 3 quadratic, 4 cubic); see ``fit_arcs``.

    A flat curve is a single line; one of no extent gives no segment.

    Raises:
        GeometryError: fewer than two control points, or a number that is not finite.
    """
    points = tuple(Point(float(c[0]), float(c[1])) for c in controls)
    if len(points) < 2 or not all(isfinite(v) for p in points for v in p):
        raise GeometryError("a curve needs at least two control points with finite coordinates")
    if all(p == points[0] for p in points):
        return []
    if len(points) == 2:
        return [Vertex(*points[0])]
    return fit_arcs(Bezier(points), 0.0, 1.0, tol_mm=tol_mm)


@dataclass(frozen=True)
class _Quadrant:
    """The first quadrant of ``|x / rx|^n + |y / ry|^n = 1``, by the polar angle after scaling to radii of 1."""

    rx: float
    ry: float
    exponent: float

    def point(self, t: Floats) -> Floats:
        c, s = self._cos_sin(t)
        r = (c**self.exponent + s**self.exponent) ** (-1.0 / self.exponent)
        return np.column_stack([self.rx * r * c, self.ry * r * s])

    def tangent(self, t: Floats) -> Floats:
        """Return directions square to the gradient, which is exact where the curve meets the axes."""
        c, s = self._cos_sin(t)
        power = self.exponent - 1.0
        return np.column_stack([-(s**power) / self.ry, c**power / self.rx])

    @staticmethod
    def _cos_sin(t: Floats) -> tuple[Floats, Floats]:
        return np.where(t < 1.0, np.cos(t * np.pi / 2.0), 0.0), np.where(t > 0.0, np.sin(t * np.pi / 2.0), 0.0)


def ellipse(
    centre: tuple[float, float],
    rx_mm: float,
    ry_mm: float,
    turn_rad: float = 0.0,
    *,
    tol_mm: float = MODEL.fit_mm,
) -> Contour:
    """Return an ellipse as arcs, symmetric to both its axes, counter-clockwise.

    Raises:
        GeometryError: a radius or the tolerance is not positive.
    """
    return superellipse(centre, rx_mm, ry_mm, 2.0, turn_rad, tol_mm=tol_mm)


def superellipse(
    centre: tuple[float, float],
    rx_mm: float,
    ry_mm: float,
    exponent: float,
    turn_rad: float = 0.0,
    *,
    tol_mm: float = MODEL.fit_mm,
) -> Contour:
    """Return ``|x / rx|^n + |y / ry|^n = 1`` as arcs, symmetric to both its axes, counter-clockwise.

    Exponent 2 is an ellipse; a larger one comes closer to a rectangle.

    Raises:
        GeometryError: a radius or the tolerance is not positive, or the exponent is not above 1 and at most 40.
    """
    for name, value in (("rx", rx_mm), ("ry", ry_mm), ("tolerance", tol_mm)):
        if not isfinite(value) or value <= 0.0:
            raise GeometryError(f"{name} must be a positive number of mm, not {value:g}")
    if not 1.0 < exponent <= 40.0:
        raise GeometryError(f"exponent must be above 1 and at most 40, not {exponent:g}")
    if exponent == 2.0 and rx_mm == ry_mm:
        shape = Contour((Vertex(-rx_mm, 0.0, 1.0), Vertex(rx_mm, 0.0, 1.0)))
    else:
        shape = _from_quadrant(_fewest(_Quadrant(rx_mm, ry_mm, exponent), tol_mm), ry_mm)
    return moved(turned(shape, turn_rad) if turn_rad else shape, centre[0], centre[1])


def _fewest(curve: _Quadrant, tol_mm: float) -> list[Vertex]:
    """Return the quadrant fitted from the end that needs fewer arcs, in the direction of rising angle."""
    up, down = fit_arcs(curve, 0.0, 1.0, tol_mm=tol_mm), fit_arcs(curve, 1.0, 0.0, tol_mm=tol_mm)
    if len(up) <= len(down):
        return up
    ends = [Vertex(curve.rx, 0.0), *reversed(down)]
    return [Vertex(*ends[i][:2], -ends[i + 1].bulge) for i in range(len(down))]


def _from_quadrant(quarter: list[Vertex], ry_mm: float) -> Contour:
    """Return the whole from its first quadrant; the arcs on both sides of an axis become one."""
    chain = [*quarter, Vertex(0.0, ry_mm)]
    half = _grown(chain, [Vertex(-v.x, v.y, v.bulge) for v in chain])
    full = _grown(half, [Vertex(v.x, -v.y, v.bulge) for v in half])
    # the chain is closed: its last segment and its first lie on one circle, too
    closing = _doubled(full[-2].bulge)
    return Contour((*full[1:-2], full[-2]._replace(bulge=closing)))


def _grown(chain: list[Vertex], image: list[Vertex]) -> list[Vertex]:
    """Return a chain joined to its mirror image at its end, without the vertex on the axis."""
    back = [Vertex(*image[i][:2], image[i - 1].bulge) for i in range(len(image) - 1, 0, -1)]
    back.append(Vertex(*image[0][:2]))
    return [*chain[:-2], chain[-2]._replace(bulge=_doubled(chain[-2].bulge)), *back[1:]]


def _doubled(bulge: float) -> float:
    """Return the bulge of twice the sweep."""
    return tan(2.0 * float(np.arctan(bulge)))
