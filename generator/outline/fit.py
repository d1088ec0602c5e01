"""Curves to arcs: the longest biarcs that stay within tolerance, one after another.

A *biarc* is two arcs that leave one point in a given direction, meet each other without a corner, and arrive at
another point in a given direction. Chains of them run without corners, touch the curve at every second joint and take
few segments. The biarc itself is in ``biarc.py``.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from math import comb, copysign, hypot, isfinite, tan
from typing import NamedTuple, Protocol

import numpy as np

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.biarc import best_biarc
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.remembered import remembered
from generator.outline.spans import Floats
from generator.outline.transform import moved, turned

__all__ = ["Bezier", "Curve", "ellipse", "fit_arcs", "fit_bezier", "superellipse"]

_SAMPLES = 33
_SHARES = np.arange(float(_SAMPLES))
_SAFE = 0.98
"""Share of the tolerance that samples may use, so that what lies between them keeps within the whole."""
_GOOD_ENOUGH = 0.9
"""A piece that uses this share of the tolerance is long enough."""
_AIM = 0.95
_PARALLEL_RAD = 1e-6
_DOUBLE_ROOT = 1e-6
"""A double root comes out split by the square root of the rounding of its coefficients."""
_MOST_SEGMENTS = 20_000


class Curve(Protocol):
    """A plane curve for whole arrays of parameters: shape (n,) in, (n, 2) out."""

    def point(self, t: Floats) -> Floats:
        """Return the points, mm."""

    def tangent(self, t: Floats) -> Floats:
        """Return directions of travel for rising t, of any length but 0."""


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
    t = _SHARES * ((end - start) / (_SAMPLES - 1)) + start
    t[-1] = end
    p, u = curve.point(t), curve.tangent(t[[0, -1]])
    chord = p[-1] - p[0]
    length = hypot(chord[0], chord[1])
    if length == 0.0:
        return None
    u = (u if end > start else -u) / np.hypot(u[:, 0], u[:, 1])[:, None]
    if _is_straight(p, u, chord / length):
        return _Piece(end, 0.0, [Vertex(float(p[0, 0]), float(p[0, 1]))])
    biarc = best_biarc(p, u)
    if biarc is None:
        return None
    vertices = [Vertex(*biarc.start, biarc.bulges[0]), Vertex(*biarc.joint, biarc.bulges[1])]
    return _Piece(end, biarc.deviation, vertices)


def _is_straight(p: Floats, u: Floats, along: Floats) -> bool:
    """Return True when all samples lie on the chord within ``same_mm``, in order, and both ends point along it."""
    (x0, y0), (x, y) = p[0].tolist(), p[_SAMPLES // 2].tolist()
    if abs((x - x0) * along[1] - (y - y0) * along[0]) > MODEL.same_mm:
        return False
    v = p - p[0]
    off = np.abs(v[:, 0] * along[1] - v[:, 1] * along[0]).max()
    turn = np.abs(u[:, 0] * along[1] - u[:, 1] * along[0]).max()
    return bool(off <= MODEL.same_mm and turn <= _PARALLEL_RAD and (np.diff(v @ along) >= 0.0).all())


# ------------------------------------------------------------------ curves
@frozen_record
class Bezier:
    """A Bézier curve of any degree by its control points (mm), t from 0 to 1."""

    controls: tuple[Point, ...]

    def point(self, t: Floats) -> Floats:
        """Return the points, mm."""
        return _casteljau(self._array, t)

    @cached_property
    def _array(self) -> Floats:
        return np.array(self.controls, dtype=np.float64)

    def tangent(self, t: Floats) -> Floats:
        """Return directions; where control points coincide, the limit of the direction at the ends."""
        c = self._array
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
    levels, s = c[:, None, :], t[:, None]
    rest = 1.0 - s
    while len(levels) > 1:
        levels = rest * levels[:-1] + s * levels[1:]
    return np.array(np.broadcast_to(levels[0], (len(t), 2)))


def fit_bezier(controls: Sequence[tuple[float, float]], *, tol_mm: float = MODEL.fit_mm) -> list[Vertex]:
    """Return lines and arcs for a Bézier curve (2 control points a line, 3 quadratic, 4 cubic); see ``fit_arcs``.

    A curve whose control points lie on one line is a single line, or as many as it takes to reach as far as a curve
    that goes beyond its ends and back; one of no extent gives no segment.

    Raises:
        GeometryError: fewer than two control points, or a number that is not finite.
    """
    points = tuple(Point(float(c[0]), float(c[1])) for c in controls)
    if len(points) < 2 or not all(isfinite(v) for p in points for v in p):
        raise GeometryError("a curve needs at least two control points with finite coordinates")
    if all(p == points[0] for p in points):
        return []
    if isfinite(tol_mm) and tol_mm > 0.0:
        flat = _flat_way(np.array(points))
        if flat is not None:
            return flat
    return fit_arcs(Bezier(points), 0.0, 1.0, tol_mm=tol_mm)


def _flat_way(controls: Floats) -> list[Vertex] | None:
    """Return the starts of the lines for control points on one line (within ``same_mm``); None for others."""
    v = controls - controls[0]
    far = v[np.hypot(v[:, 0], v[:, 1]).argmax()]
    u = far / hypot(far[0], far[1])
    if np.abs(v[:, 0] * u[1] - v[:, 1] * u[0]).max() > MODEL.same_mm:
        return None
    along = v @ u
    end = float(along[-1])
    low, high = min(0.0, end) - MODEL.same_mm, max(0.0, end) + MODEL.same_mm
    turns = [s for s in _turning_values(along) if s < low or s > high]
    kept = [s for s in turns if s in (min(turns), max(turns))]
    return [Vertex(*(float(x) for x in controls[0] + s * u)) for s in (0.0, *kept)]


def _turning_values(along: Floats) -> list[float]:
    """Return the values at which the Bézier polynomial with these controls turns back, in order of t."""
    n, rest, powers = len(along) - 1, along, [0.0]
    for k in range(1, n + 1):
        rest = np.diff(rest)
        powers.append(comb(n, k) * float(rest[0]))
    slope = np.polynomial.Polynomial(powers).deriv().trim(1e-12 * float(np.abs(along).max()))
    roots = np.asarray(slope.roots(), dtype=np.complex128)
    inside = sorted(float(r.real) for r in roots if abs(r.imag) < _DOUBLE_ROOT and 0.0 < r.real < 1.0)
    return [float(_casteljau(np.column_stack([along, along]), np.array([t]))[0, 0]) for t in inside]


@frozen_record
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


@remembered
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
    """Return the whole from its first quadrant; the arcs on both sides of an axis become one if it may be."""
    chain = [*quarter, Vertex(0.0, ry_mm)]
    half = _grown(chain, [Vertex(-v.x, v.y, v.bulge) for v in chain])
    full = _grown(half, [Vertex(v.x, -v.y, v.bulge) for v in half])
    # the chain is closed: its last segment and its first lie on one circle, too
    closing = _doubled(full[-2].bulge)
    return Contour(tuple(full[:-1]) if closing is None else (*full[1:-2], full[-2]._replace(bulge=closing)))


def _grown(chain: list[Vertex], image: list[Vertex]) -> list[Vertex]:
    """Return a chain joined to its mirror image at its end, without the vertex on the axis if it may be."""
    back = [Vertex(*image[i][:2], image[i - 1].bulge) for i in range(len(image) - 1, 0, -1)]
    back.append(Vertex(*image[0][:2]))
    joint = _doubled(chain[-2].bulge)
    return [*chain[:-1], *back] if joint is None else [*chain[:-2], chain[-2]._replace(bulge=joint), *back[1:]]


def _doubled(bulge: float) -> float | None:
    """Return the bulge of twice the sweep; None when that is more than a half circle."""
    double = tan(2.0 * float(np.arctan(bulge)))
    return double if abs(bulge) < 1.0 and abs(double) <= 1.0 else None
