"""What an outline is made of while it is being measured: lines and arcs as numbers of one long vector.

A line is the angle of its outward normal and its distance from the origin; an arc or circle its centre, its radius and
a side: +1 where material lies within it, -1 where it is hollow (a hole, a fillet). The distance of a point is positive
outside the material.
"""

from __future__ import annotations

from math import atan2, cos, hypot, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.trace.circles import Circle, geometric_circle

Floats = NDArray[np.float64]

LINE, ARC, CIRCLE = "line", "arc", "circle"
SIZE: Final = {LINE: 2, ARC: 3, CIRCLE: 3}


@frozen_record
class Primitive:
    """One line, arc or circle.

    Attributes:
        kind: ``line``, ``arc`` or ``circle``.
        side: for arcs and circles +1 where material lies within, -1 where it is hollow; +1 for lines.
        values: (normal angle rad, distance mm) of a line; (x, y, radius) mm of an arc or circle.
        loop: number of the loop that it belongs to; 0 is the outline.
    """

    kind: str
    side: int
    values: tuple[float, ...]
    loop: int

    @property
    def size(self) -> int:
        """Return how many numbers it is made of."""
        return SIZE[self.kind]


def fitted_line(points: Floats, normals: Floats, weights: Floats | None = None) -> tuple[float, float]:
    """Return angle (rad) and distance (mm) of the line of least squared distances, its normal on the normals' side."""
    w = np.ones(len(points)) if weights is None else weights
    middle = np.average(points, axis=0, weights=w)
    p = (points - middle) * np.sqrt(w)[:, None]
    _, vectors = np.linalg.eigh(p.T @ p)
    n = vectors[:, 0]
    if float(n @ normals.sum(axis=0)) < 0.0:
        n = -n
    return atan2(n[1], n[0]), float(n @ middle)


def fitted(
    kind: str, points: Floats, normals: Floats, weights: Floats | None, loop: int, near: Primitive | None = None
) -> Primitive:
    """Return the line, arc or circle of least squared distances through points whose normals point out of material.

    One of the same kind that is known to lie near saves time.
    """
    if kind == LINE:
        return Primitive(LINE, 1, fitted_line(points, normals, weights), loop)
    x, y, r = geometric_circle(points, weights, None if near is None else Circle(*near.values))
    outward = ((points - (x, y)) * normals).sum()
    return Primitive(kind, 1 if outward > 0 else -1, (x, y, r), loop)


def distance(p: Primitive, points: Floats) -> Floats:
    """Return the distances of points, shape (n, 2), from a primitive: positive outside the material, mm."""
    if p.kind == LINE:
        angle, d = p.values
        off: Floats = points @ np.array([cos(angle), sin(angle)]) - d
        return off
    x, y, r = p.values
    return p.side * (np.hypot(points[:, 0] - x, points[:, 1] - y) - r)


def touching_radius(d: float, e: float, cosine: float) -> float | None:
    """Return the radius of the arc through a point that touches two lines, mm, or None where there is none.

    With t the angle of the lines' normals: (d − r)² + (e − r)² − 2 (d − r)(e − r) cos t = r² sin² t; of both circles
    the larger one turns its near side to the corner.

    Args:
        d: distance of the point from the one line, mm.
        e: from the other.
        cosine: of t; parallel lines have none.
    """
    square = 2.0 - 2.0 * cosine - (1.0 - cosine**2)
    radii = np.roots([square, -2.0 * (d + e) * (1.0 - cosine), d**2 + e**2 - 2.0 * d * e * cosine])
    return float(radii.real.max()) if len(radii) and np.isreal(radii).all() else None


FARTHEST_MM: Final = 4.0
"""Neighbours that cross this far from where they were seen to meet do not meet (a chip, nearly parallel lines)."""


def meeting(before: Primitive, after: Primitive, near: tuple[float, float], touching: bool) -> tuple[float, float]:
    """Return the point where two neighbours meet, mm: where they touch, or their crossing nearest to a point.

    Where they do not reach each other, the point of the one where it comes nearest to the other; where they cross
    farther than ``FARTHEST_MM`` away, the given point.
    """
    if touching and (before.kind != LINE or after.kind != LINE):
        return _touch(before, after)
    found = crossing(before, after, near)
    return found if hypot(found[0] - near[0], found[1] - near[1]) <= FARTHEST_MM else near


def crossing(before: Primitive, after: Primitive, near: tuple[float, float]) -> tuple[float, float]:
    """Return the crossing of two neighbours that is nearest to a point, mm; see ``meeting``."""
    if before.kind == LINE and after.kind == LINE:
        (a, d), (b, e) = before.values, after.values
        det = cos(a) * sin(b) - sin(a) * cos(b)
        if abs(det) < 1e-9:
            return near
        return (d * sin(b) - e * sin(a)) / det, (e * cos(a) - d * cos(b)) / det
    if before.kind == LINE or after.kind == LINE:
        line, arc = (before, after) if before.kind == LINE else (after, before)
        a, d = line.values
        x, y, r = arc.values
        off = cos(a) * x + sin(a) * y - d
        foot = (x - off * cos(a), y - off * sin(a))
        half = max(r * r - off * off, 0.0) ** 0.5
        options = [(foot[0] - s * half * sin(a), foot[1] + s * half * cos(a)) for s in (1, -1)]
    else:
        (x, y, r), (u, v, q) = before.values, after.values
        dx, dy = u - x, v - y
        gap = hypot(dx, dy)
        if gap < 1e-9:
            return near
        along = (gap * gap + r * r - q * q) / (2.0 * gap)
        half = max(r * r - along * along, 0.0) ** 0.5
        foot = (x + along * dx / gap, y + along * dy / gap)
        options = [(foot[0] - s * half * dy / gap, foot[1] + s * half * dx / gap) for s in (1, -1)]
    return min(options, key=lambda p: hypot(p[0] - near[0], p[1] - near[1]))


def _touch(before: Primitive, after: Primitive) -> tuple[float, float]:
    """Return where two tangent neighbours touch: their outward normals agree there."""
    if before.kind == LINE or after.kind == LINE:
        line, arc = (before, after) if before.kind == LINE else (after, before)
        a = line.values[0]
        x, y, r = arc.values
        return x + arc.side * r * cos(a), y + arc.side * r * sin(a)
    (x, y, r), (u, v, q) = before.values, after.values
    # c1 + s1 r1 n = c2 + s2 r2 n
    k = after.side * q - before.side * r
    nx, ny = (x - u) / k, (y - v) / k
    length = hypot(nx, ny)
    return x + before.side * r * nx / length, y + before.side * r * ny / length
