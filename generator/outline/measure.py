"""How much: area, length, bounds, centroid and second moments, exact for lines and arcs by Green's theorem.

A contour is its polygon of chords plus one circular segment (the area between chord and arc) for every arc.
Chord ``c`` and bulge ``b`` say all about a circular segment; every formula here is written in them, so that
an arc that is almost straight (radius of kilometres) costs no accuracy. Coordinates are taken relative to a
point near by, so that a contour far from the origin costs none either.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import accumulate, pairwise
from math import fsum, hypot
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.outline.contour import Contour, Point, next_rows
from generator.outline.region import Region

__all__ = [
    "Bounds",
    "Moments",
    "Outline",
    "area",
    "bounds",
    "centroid",
    "contours_of",
    "length",
    "second_moments",
    "signed_area",
]

Outline: TypeAlias = Contour | Region
"""What most questions may be asked of."""

_Floats: TypeAlias = NDArray[np.float64]


class Bounds(NamedTuple):
    """The smallest upright box, mm."""

    xmin: float
    ymin: float
    xmax: float
    ymax: float

    @property
    def width_mm(self) -> float:
        """Return the extent along x, mm."""
        return self.xmax - self.xmin

    @property
    def height_mm(self) -> float:
        """Return the extent along y, mm."""
        return self.ymax - self.ymin

    @property
    def centre(self) -> Point:
        """Return the middle of the box, mm."""
        return Point((self.xmin + self.xmax) / 2.0, (self.ymin + self.ymax) / 2.0)

    @property
    def diagonal_mm(self) -> float:
        """Return the diagonal, mm."""
        return hypot(self.width_mm, self.height_mm)


class Moments(NamedTuple):
    """Second moments of area about the centroid, mm⁴: ``ixx`` is ∫y² dA, ``iyy`` ∫x² dA, ``ixy`` ∫xy dA."""

    ixx: float
    iyy: float
    ixy: float

    @property
    def polar(self) -> float:
        """Return ``∫r² dA``, mm⁴."""
        return self.ixx + self.iyy


def contours_of(outline: Outline) -> tuple[Contour, ...]:
    """Return the contours of a contour or region."""
    return (outline,) if isinstance(outline, Contour) else outline.contours


# ------------------------------------------------------------------ circular segments in terms of the bulge
_SERIES_BELOW = 0.25
_NO_BULGE = 1e-100  # less would overflow as a radius
_ATAN = np.array([(-1.0) ** k / (2 * k + 1) for k in range(17)])
# (1 + b²)² atan b - b (1 - b²), as a series in b without its vanishing first terms: 8/3 b³ + 8/15 b⁵ - …
_AREA_SERIES = [float(_ATAN[k] + 2 * _ATAN[k - 1] + (_ATAN[k - 2] if k > 1 else 1)) / 8 for k in range(1, 17)]


def _segment_area(b: _Floats) -> _Floats:
    """Return signed area / chord² of circular segments with bulge ``b``: ``(θ - sin θ) r² / 2`` rewritten."""
    out, flat = np.zeros_like(b), np.abs(b) < _SERIES_BELOW
    rows = np.flatnonzero(flat & (b != 0.0))
    if len(rows):
        f = b[rows]
        q, series = f * f, np.zeros_like(f)
        for coefficient in reversed(_AREA_SERIES):
            series = series * q + coefficient
        out[rows] = f * series
    rows = np.flatnonzero(~flat)
    if len(rows):
        wide = b[rows]
        w = wide * wide
        out[rows] = ((1.0 + w) ** 2 * np.arctan(wide) - wide * (1.0 - w)) / (8.0 * w)
    return out


_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(18)


def _segment_moments(b: _Floats) -> tuple[_Floats, _Floats, _Floats]:
    """Return ``∫v dA / c³, ∫u² dA / c⁴, ∫v² dA / c⁴`` of circular segments with bulge ``b`` over a chord c.

    u runs along the chord from its middle, v square to it to the side of a positive bulge; areas are signed.
    By Gauss-Legendre quadrature along the arc: with 18 nodes the rest is below 1e-18 up to the half circle,
    and unlike the closed forms nothing cancels when the arc is almost straight.
    """
    half = 2.0 * np.arctan(b)[:, None]
    sine = np.sin(half)
    s = _NODES[None, :]
    v = np.sin(half * (1.0 + s) / 2.0) * np.sin(half * (1.0 - s) / 2.0) / sine
    u = np.sin(half * s) / sine / 2.0
    du = half * np.cos(half * s) / sine / 2.0 * _WEIGHTS[None, :]
    return (v * v * du).sum(axis=1) / 2.0, (u * u * v * du).sum(axis=1), (v * v * v * du).sum(axis=1) / 3.0


# ------------------------------------------------------------------ area and length
def signed_area(contour: Contour) -> float:
    """Return the area in mm²: positive for counter-clockwise travel, negative for clockwise."""
    return contour.signed_area_mm2


def area_within(a: _Floats) -> float:
    """Return the signed area within rows ``x, y, bulge``, mm². Source: Green's theorem."""
    return areas_within(a, [0, len(a)])[0] if len(a) > 1 else 0.0


def areas_within(a: _Floats, first: Sequence[int]) -> list[float]:
    """Return the signed areas within rings of rows, mm², which begin at the rows ``first`` and end before the next."""
    start, after = _rings(first)
    x, y, b = a[:, 0] - a[start, 0], a[:, 1] - a[start, 1], a[:, 2]
    dx, dy = x[after] - x, y[after] - y
    terms = (x * dy - y * dx) / 2.0
    if b.any():
        terms = terms + (dx * dx + dy * dy) * _segment_area(b)
    told = terms.tolist()
    return [fsum(told[low:high]) for low, high in pairwise(first)]


def _rings(first: Sequence[int]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return for each row of rings, none of them empty, the first row of its ring, and the row after it."""
    begins = np.asarray(first[:-1], dtype=np.int64)
    after = np.arange(1, first[-1] + 1)
    after[np.asarray(first[1:], dtype=np.int64) - 1] = begins
    return np.repeat(begins, np.diff(first)), after


def measure_together(contours: Iterable[Contour]) -> None:
    """Reckon the areas and boxes of contours that have not been asked for them, in one go; they keep the answers."""
    fresh = [c for c in contours if c.vertices and not ("box" in c.__dict__ and "signed_area_mm2" in c.__dict__)]
    if len(fresh) > 1:
        a = np.concatenate([c.array for c in fresh])
        if not np.isfinite(a).all():
            return  # each answers for itself
        first = list(accumulate(map(len, fresh), initial=0))
        for contour, area_mm2, box in zip(fresh, areas_within(a, first), boxes_of(a, first), strict=True):
            contour.__dict__.setdefault("signed_area_mm2", area_mm2)
            contour.__dict__.setdefault("box", box)


def area(region: Outline) -> float:
    """Return the area in mm²; holes count against it. A contour's area is signed."""
    measure_together(contours_of(region))
    return fsum(signed_area(c) for c in contours_of(region))


def length(outline: Outline) -> float:
    """Return the length of all boundaries, mm."""
    terms: list[float] = []
    for contour in contours_of(outline):
        a = contour.array
        b = np.abs(a[:, 2])
        d = next_rows(a[:, :2]) - a[:, :2]
        safe = np.where(b > 0.0, b, 1.0)
        stretch = np.where(b > 0.0, (1.0 + b * b) * np.arctan(safe) / safe, 1.0)
        terms += (np.hypot(d[:, 0], d[:, 1]) * stretch).tolist()
    return fsum(terms)


# ------------------------------------------------------------------ bounds
def bounds(outline: Outline) -> Bounds:
    """Return the smallest upright box, mm; exact, the outermost points of arcs included.

    Raises:
        GeometryError: there is no contour or no vertex.
    """
    measure_together(contours_of(outline))
    boxes = [c.box for c in contours_of(outline) if c.vertices]
    if not boxes:
        raise GeometryError("an empty region has no bounds")
    if len(boxes) == 1:
        return boxes[0]
    xmin, ymin, xmax, ymax = zip(*boxes, strict=True)
    return Bounds(min(xmin), min(ymin), max(xmax), max(ymax))


def box_of(a: _Floats) -> Bounds:
    """Return the smallest upright box of rows ``x, y, bulge``, mm; there is at least one."""
    return boxes_of(a, [0, len(a)])[0]


def boxes_of(a: _Floats, first: Sequence[int]) -> list[Bounds]:
    """Return the boxes of rings of rows, which begin at the rows ``first`` and end before the next; none is empty."""
    low = np.minimum.reduceat(a[:, :2], first[:-1], axis=0)
    high = np.maximum.reduceat(a[:, :2], first[:-1], axis=0)
    arcs = np.flatnonzero(a[:, 2])
    if len(arcs):
        _, after = _rings(first)
        reaches = np.full((4, len(a)), -np.inf)
        reaches[:, arcs] = arc_reaches(a[arcs], a[after[arcs], :2])
        farthest = np.maximum.reduceat(reaches, first[:-1], axis=1).T
        low, high = np.minimum(low, -farthest[:, 2:]), np.maximum(high, farthest[:, :2])
    return [Bounds(*row) for row in np.column_stack([low, high]).tolist()]


_ALONG = np.array([[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]])


def arc_reaches(starts: _Floats, ends: _Floats) -> _Floats:
    """Return how far each segment reaches along +x, +y, -x, -y (``max p·d``), mm: shape (4, n).

    Args:
        starts: (n, 3) x, y, bulge.
        ends: (n, 2) x, y.

    An arc reaches beyond its ends in direction d when d lies between its end radii s and e; the outermost
    point is then ``r |d - s|² / 2`` beyond its start, which loses nothing when the radius is huge.
    """
    x, y, b = starts[:, 0], starts[:, 1], starts[:, 2]
    px, py = _ALONG[:, :1], _ALONG[:, 1:]
    at_start = px * x + py * y
    ordinary: _Floats = np.maximum(at_start, px * ends[:, 0] + py * ends[:, 1])
    if not b.any():
        return ordinary
    dx, dy = ends[:, 0] - x, ends[:, 1] - y
    chord = np.hypot(dx, dy)
    arc = (np.abs(b) > _NO_BULGE) & (chord > 0.0)
    sign = np.sign(b)
    c1 = np.where(arc, chord, 1.0)
    ox, oy = sign * dy / c1, -sign * dx / c1  # outward radius at the middle of the arc
    q = b * b
    cos, sin = (1.0 - q) / (1.0 + q), 2.0 * b / (1.0 + q)
    sx, sy = ox * cos + oy * sin, oy * cos - ox * sin
    ex, ey = ox * cos - oy * sin, oy * cos + ox * sin
    radius = np.where(arc, chord * (1.0 + q) / np.where(arc, 4.0 * np.abs(b), 1.0), 0.0)
    inside = arc & (sign * (sx * py - sy * px) > 0.0) & (sign * (px * ey - py * ex) > 0.0)
    beyond = at_start + radius * ((px - sx) ** 2 + (py - sy) ** 2) / 2.0
    reaches: _Floats = np.where(inside, np.maximum(beyond, ordinary), ordinary)
    return reaches


# ------------------------------------------------------------------ centroid and second moments
class _Integrals(NamedTuple):
    """Area and ``∫x, ∫y, ∫x², ∫y², ∫xy`` about an origin near by."""

    area: float
    x: float
    y: float
    xx: float
    yy: float
    xy: float


def _integrals(outline: Outline, origin: Point) -> _Integrals:
    rows = [_contour_integrals(c, origin) for c in contours_of(outline) if len(c)]
    return _Integrals(*(fsum(column) for column in zip(*rows, strict=True)))


def _contour_integrals(contour: Contour, origin: Point) -> _Integrals:
    a = contour.array
    x0, y0 = a[:, 0] - origin.x, a[:, 1] - origin.y
    x1, y1 = next_rows(x0), next_rows(y0)
    cross = x0 * (y1 - y0) - y0 * (x1 - x0)
    chords = (
        cross / 2.0,
        cross * (x0 + x1) / 6.0,
        cross * (y0 + y1) / 6.0,
        cross * (x0 * x0 + x0 * x1 + x1 * x1) / 12.0,
        cross * (y0 * y0 + y0 * y1 + y1 * y1) / 12.0,
        cross * (x0 * y1 + 2.0 * x0 * y0 + 2.0 * x1 * y1 + x1 * y0) / 24.0,
    )
    arcs = _arc_integrals(x0, y0, x1, y1, a[:, 2])
    return _Integrals(*(fsum(p.tolist()) + fsum(q.tolist()) for p, q in zip(chords, arcs, strict=True)))


def _arc_integrals(x0: _Floats, y0: _Floats, x1: _Floats, y1: _Floats, b: _Floats) -> tuple[_Floats, ...]:
    """Return the same integrals over the circular segments of the arcs."""
    keep = (b != 0.0) & ((x1 != x0) | (y1 != y0))
    x0, y0, x1, y1, b = x0[keep], y0[keep], x1[keep], y1[keep], b[keep]
    mx, my, dx, dy = (x0 + x1) / 2.0, (y0 + y1) / 2.0, x1 - x0, y1 - y0
    c2 = dx * dx + dy * dy
    first, along, square = _segment_moments(b)
    seg = c2 * _segment_area(b)
    fx, fy = c2 * first * dy, -c2 * first * dx  # ∫v dA times the normal on the side of a positive bulge
    along, square = c2 * along, c2 * square  # times unit vectors squared below: chord⁴ in all
    return (
        seg,
        seg * mx + fx,
        seg * my + fy,
        seg * mx * mx + 2.0 * mx * fx + along * dx * dx + square * dy * dy,
        seg * my * my + 2.0 * my * fy + along * dy * dy + square * dx * dx,
        seg * mx * my + mx * fy + my * fx + (along - square) * dx * dy,
    )


def _solid_integrals(outline: Outline) -> tuple[_Integrals, Point]:
    origin = bounds(outline).centre
    total = _integrals(outline, origin)
    if total.area == 0.0:
        raise GeometryError("a region without area has no centroid", point_mm=origin)
    return total, origin


def centroid(region: Outline) -> Point:
    """Return the centroid, mm.

    Raises:
        GeometryError: the region is empty or has no area.
    """
    total, origin = _solid_integrals(region)
    return Point(origin.x + total.x / total.area, origin.y + total.y / total.area)


def second_moments(region: Outline) -> Moments:
    """Return the second moments of area about the centroid, mm⁴.

    Raises:
        GeometryError: the region is empty or has no area.
    """
    total, _ = _solid_integrals(region)
    cx, cy = total.x / total.area, total.y / total.area
    # parallel axis theorem; the origin is the middle of the box, so little cancels
    return Moments(total.yy - cy * total.y, total.xx - cx * total.x, total.xy - cx * total.y)
