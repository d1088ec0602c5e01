"""The circle of least squared distances through points, by parameters under which short arcs are as easy as long ones.

A circle is ``A (x² + y²) + √(1 + 4 A D) (x cos t + y sin t) + D = 0``: A is half its curvature, and nothing grows
without bounds as an arc gets flat (Chernov & Lesort, *Least squares fitting of circles*, 2005).
"""

from __future__ import annotations

from math import atan2, cos, sin, sqrt
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

ROUNDS: Final = 60
ENOUGH: Final = 1e-13
"""Share of the sum of squares that a step must promise to be worth taking."""
FLAT: Final = 1e-13
"""Share of the points' spread, squared, below which they lie on a line as far as sums of squares can tell."""
TINY: Final = 1e-16
"""What is left of a pivot of one where rounding has eaten it: the step gets long, and is damped if it does not help."""


class Circle(NamedTuple):
    """A fitted circle, mm."""

    x: float
    y: float
    radius: float


def algebraic_circle(points: Floats, weights: Floats | None = None) -> Circle:
    """Return the circle that minimises the sum of squared ``x² + y² − 2 a x − 2 b y − c`` (Kasa 1976).

    Raises: ValueError: the points lie on a line.
    """
    w = np.ones(len(points)) if weights is None else weights
    whole = float(w.sum())
    mx, my = float(w @ points[:, 0]) / whole, float(w @ points[:, 1]) / whole
    x, y = points[:, 0] - mx, points[:, 1] - my
    z = x * x + y * y
    wx, wy = w * x, w * y
    sxx, sxy, syy, sxz, syz = (float(v) for v in (wx @ x, wx @ y, wy @ y, wx @ z, wy @ z))
    det = sxx * syy - sxy * sxy
    if det <= FLAT * (sxx + syy) ** 2:
        return _by_rank(points, w)
    a, b = 0.5 * (syy * sxz - sxy * syz) / det, 0.5 * (sxx * syz - sxy * sxz) / det
    return Circle(a + mx, b + my, sqrt(float(w @ z) / whole + a * a + b * b))


def _by_rank(points: Floats, w: Floats) -> Circle:
    """Return the same by singular values, which tell a flat arc from a line where sums of squares do not."""
    origin = np.average(points, axis=0, weights=w)
    p = points - origin
    root = np.sqrt(w)
    design = np.column_stack([2.0 * p, np.ones(len(p))]) * root[:, None]
    found, _, rank, _ = np.linalg.lstsq(design, (p**2).sum(axis=1) * root, rcond=1e-12)
    if rank < 3:
        raise ValueError("the points lie on a line")
    a, b, c = (float(v) for v in found)
    return Circle(a + float(origin[0]), b + float(origin[1]), sqrt(c + a * a + b * b))


def geometric_circle(points: Floats, weights: Floats | None = None, near: Circle | None = None) -> Circle:
    """Return the circle that minimises the sum of squared distances (Gander, Golub & Strebel 1994).

    By Gauss-Newton; steps are damped where one would not help (Marquardt 1963).

    Args:
        points: shape (n, 2), mm.
        weights: of the points, shape (n,).
        near: where to begin; None for the algebraic fit.

    Raises: ValueError: the points lie on a line.
    """
    w = np.ones(len(points)) if weights is None else weights
    first = algebraic_circle(points, w) if near is None else near
    origin = points[len(points) // 2]  # near the circle: from its centre the angle t would say nothing
    x, y = points[:, 0] - origin[0], points[:, 1] - origin[1]
    off = _Off(x, y, w)
    a = 0.5 / first.radius
    b, c = -2.0 * a * (first.x - float(origin[0])), -2.0 * a * (first.y - float(origin[1]))
    here = off.of((a, atan2(c, b), (b * b + c * c - 1.0) / (4.0 * a)))
    if here is None:  # the start says that the points lie at its centre
        raise ValueError("the points lie on a line")
    damping = 0.0
    for _ in range(ROUNDS):
        better, damping = _bettered(off, here, damping)
        if better is None:
            break
        here = better
    a, t, d = here.values
    far = sqrt(1.0 + 4.0 * a * d) / (2.0 * a)
    return Circle(float(origin[0]) - far * cos(t), float(origin[1]) - far * sin(t), abs(0.5 / a))


def _bettered(off: _Off, here: _There, damping: float) -> tuple[_There | None, float]:
    """Return a circle with less misfit than another and the damping to go on with; None where there is none."""
    ((aa, at, ad), (_, tt, td), (_, _, dd)), (ra, rt, rd) = off.normal(here)
    sa, st, sd = 1.0 / sqrt(aa + 1e-300), 1.0 / sqrt(tt + 1e-300), 1.0 / sqrt(dd + 1e-300)
    right = (ra * sa, rt * st, rd * sd)
    while damping < 1e8:
        step = _solved(1.0 + damping, (at * sa * st, ad * sa * sd, td * st * sd), right)
        if sum(s * r for s, r in zip(step, right, strict=True)) <= ENOUGH * here.squares + 1e-30:
            break
        a, t, d = here.values
        tried = off.of((a - sa * step[0], t - st * step[1], d - sd * step[2]))
        if tried is not None and tried.squares <= here.squares:
            return tried, (0.1 * damping if damping > 1e-9 else 0.0)
        damping = max(10.0 * damping, 1e-6)
    return None, damping


def _solved(main: float, beside: tuple[float, float, float], right: tuple[float, float, float]) -> list[float]:
    """Return what solves three equations whose matrix is symmetric: ``main`` thrice, beside it 12, 13 and 23.

    By Cholesky's square roots, in a fifth of the time that a library takes for so few.
    """
    p, q, r = beside
    l11 = sqrt(main)
    l21, l31 = p / l11, q / l11
    l22 = sqrt(max(main - l21 * l21, TINY))
    l32 = (r - l31 * l21) / l22
    l33 = sqrt(max(main - l31 * l31 - l32 * l32, TINY))
    u = right[0] / l11
    v = (right[1] - l21 * u) / l22
    w = (right[2] - l31 * u - l32 * v) / l33
    z = w / l33
    y = (v - l32 * z) / l22
    return [(u - l21 * y - l31 * z) / l11, y, z]


class _There(NamedTuple):
    """A circle and how its points lie.

    Attributes:
        values: A, t and D.
        root: ``√(1 + 4 A D)``.
        along: of the points, in the direction of t, mm.
        each: ``√(1 + 4 A P)`` of each point, P what the equation leaves.
        off: distance of each point, mm.
        squares: weighted sum of their squares.
    """

    values: tuple[float, float, float]
    root: float
    along: Floats
    each: Floats
    off: Floats
    squares: float


class _Off:
    """Distances of points from circles and their derivatives."""

    def __init__(self, x: Floats, y: Floats, w: Floats) -> None:
        self._x, self._y, self._z, self._w = x, y, x * x + y * y, w
        self._j = np.empty((3, len(x)))

    def of(self, values: tuple[float, float, float]) -> _There | None:
        """Return how the points lie off a circle, or None where the values make none."""
        a, t, d = values
        square = 1.0 + 4.0 * a * d
        if square <= 1e-12:
            return None
        root = sqrt(square)
        along = cos(t) * self._x + sin(t) * self._y
        left = a * self._z + root * along + d
        each = np.sqrt(np.maximum(1.0 + (4.0 * a) * left, 1e-12))
        off = 2.0 * left / (1.0 + each)
        return _There(values, root, along, each, off, float(self._w @ (off * off)))

    def normal(self, here: _There) -> tuple[list[list[float]], list[float]]:
        """Return the normal matrix, three by three, and the right side of a Gauss-Newton step."""
        a, t, d = here.values
        j, off = self._j, here.off
        share = 2.0 * (1.0 - a * off / here.each) / (1.0 + here.each)
        j[0] = (self._z + (2.0 * d / here.root) * here.along) * share - off * off / here.each
        j[1] = (here.root * cos(t) * self._y - here.root * sin(t) * self._x) * share
        j[2] = (1.0 + (2.0 * a / here.root) * here.along) * share
        weighed = j * self._w
        return (weighed @ j.T).tolist(), (weighed @ off).tolist()
