"""The isometric view of a part (ISO 5456-3): edges of its slabs in facets, hidden ones left out.

Edges are contours that end at the height between two slabs, upright lines at sharp corners, and upright lines where a
round wall turns away from the eye. A point is seen if the ray from it to the eye meets no material: the ray rises
through the slabs, and each of them is looked up in a raster of the plane.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import atan2, cos, pi, radians, sin, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.outline.contour import Contour
from generator.paper.collisions import track_points
from generator.paper.sheet import Track, polyline
from generator.part.part import Slab

__all__ = ["isometric"]

Floats = NDArray[np.float64]
TURN: Final = radians(-45.0)
"""The part is turned by this about z …"""
ELEVATION: Final = atan2(1.0, sqrt(2.0))
"""… and seen from 35.26 degrees above the plane: x and y then rise at 30 degrees, all three axes equally short."""
SHARP_DEG: Final = 12.0
"""Corners sharper than this have an upright edge; facets of arcs turn less."""
CELLS: Final = 900
"""Of the raster along its longer side."""
OFF_CELLS: Final = 1.5
"""Places are looked at from so far outside their wall: what only grazes it is seen."""
STEP_SHARE: Final = 0.35
"""Paper mm between places of an edge at which it is asked whether it is seen."""


def isometric(slabs: Sequence[Slab], scale: float) -> tuple[Track, ...]:
    """Return the edges that are seen, mm on paper round the picture of (0, 0, 0); heights foreshortened as lengths are.

    Args:
        slabs: the part's material from the bottom up.
        scale: mm on paper a mm along each of the three axes.
    """
    rasters = [_Raster(slab, _frame(slabs)) for slab in slabs]
    out: list[Track] = []
    dense = [_dense(*edge, STEP_SHARE / scale) for edge in _edges(slabs)]
    if not dense:
        return ()
    points, heights, off = (np.concatenate(column) for column in zip(*dense, strict=True))
    seen = _seen(points + OFF_CELLS * rasters[0].cell * off, heights, slabs, rasters)
    picture = _project(points, heights, scale)
    ends = np.cumsum([len(edge[0]) for edge in dense])
    for start, end in zip([0, *ends[:-1]], ends, strict=True):
        out += _runs(picture[start:end], seen[start:end])
    return tuple(out)


def _project(p: Floats, z: Floats, scale: float) -> Floats:
    """Return the picture of points; scaled so that lengths along the axes come out at ``scale``."""
    k = scale * sqrt(1.5)
    c, s, e = cos(TURN), sin(TURN), sin(ELEVATION)
    right = c * p[:, 0] - s * p[:, 1]
    up = (s * p[:, 0] + c * p[:, 1]) * e + z * cos(ELEVATION)
    return np.column_stack((k * right, k * up))


TOWARD: Final = (-sin(TURN), -cos(TURN))
"""Unit vector of the plane that points from the part to the eye."""
RUN: Final = cos(ELEVATION) / sin(ELEVATION)
"""How far a ray to the eye goes along the plane while it rises by 1."""


# ------------------------------------------------------------------ edges
def _edges(slabs: Sequence[Slab]) -> Iterator[tuple[Floats, Floats, Floats]]:
    """Yield edges as points of the plane, their heights, and the directions that lead out of the material there."""
    for k, slab in enumerate(slabs):
        below = slabs[k - 1] if k and slabs[k - 1].z_to_mm == slab.z_from_mm else None
        above = slabs[k + 1] if k + 1 < len(slabs) and slabs[k + 1].z_from_mm == slab.z_to_mm else None
        under = {_same(w.upper) for w in below.walls} if below else set()
        over = {_same(w.lower) for w in above.walls} if above else set()
        slopes = {_same(w.lower) for w in above.walls if not w.is_straight} if above else set()
        for wall in slab.walls:
            if _same(wall.lower) not in under:
                p = _facets(wall.lower)
                yield p, np.full(len(p), slab.z_from_mm), _outward(p)
            if _same(wall.upper) not in over or (wall.is_straight and _same(wall.upper) in slopes):
                p = _facets(wall.upper)
                yield p, np.full(len(p), slab.z_to_mm), _outward(p)
            yield from _uprights(wall.lower, wall.upper, slab)


def _same(contour: Contour) -> frozenset[tuple[float, float]]:
    """Return what is the same for a contour wherever it begins."""
    return frozenset((round(v.x, 6), round(v.y, 6)) for v in contour.vertices)


def _facets(contour: Contour) -> Floats:
    return track_points(Track(contour.vertices, True))


def _outward(p: Floats) -> Floats:
    """Return unit vectors to the right of travel, half way between the facets at every point of a closed line."""
    d = np.diff(p[:-1], axis=0, append=p[:1])
    n = np.column_stack((d[:, 1], -d[:, 0])) / np.maximum(np.hypot(d[:, 0], d[:, 1]), 1e-12)[:, None]
    both = n + np.roll(n, 1, axis=0)
    both /= np.maximum(np.hypot(both[:, 0], both[:, 1]), 1e-12)[:, None]
    return np.vstack((both, both[:1]))


def _uprights(lower: Contour, upper: Contour, slab: Slab) -> Iterator[tuple[Floats, Floats, Floats]]:
    """Yield the upright edges of a wall: at sharp corners, and where a wall turns away from the eye."""
    p, q = _facets(lower)[:-1], _facets(upper)[:-1]
    d = np.roll(p, -1, axis=0) - p
    facing = (d[:, 1] * TOWARD[0] - d[:, 0] * TOWARD[1]) > 0.0
    turn = np.abs(
        (np.arctan2(d[:, 1], d[:, 0]) - np.arctan2(np.roll(d, 1, 0)[:, 1], np.roll(d, 1, 0)[:, 0]) + pi) % (2.0 * pi)
        - pi
    )
    out = _outward(np.vstack((p, p[:1])))
    at = np.flatnonzero((turn > radians(SHARP_DEG)) | (facing != np.roll(facing, 1)))
    for k in at:
        top = p[k] if lower == upper else q[np.hypot(*(q - p[k]).T).argmin()]
        yield np.array([p[k], top]), np.array([slab.z_from_mm, slab.z_to_mm]), out[[k, k]]


# ------------------------------------------------------------------ what is seen
def _frame(slabs: Sequence[Slab]) -> tuple[float, float, float, int, int]:
    """Return left, bottom, size of a cell, and how many cells there are across and up."""
    points = np.vstack([_facets(w.lower) for slab in slabs for w in slab.walls])
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    cell = float(max(x1 - x0, y1 - y0)) / CELLS
    return float(x0) - cell, float(y0) - cell, cell, int((x1 - x0) / cell) + 4, int((y1 - y0) / cell) + 4


class _Raster:
    """Which cells of the plane are material of a slab, by the even-odd rule along every row of cells."""

    def __init__(self, slab: Slab, frame: tuple[float, float, float, int, int]) -> None:
        self._x0, self._y0, self.cell, nx, ny = frame
        toggles = np.zeros((ny, nx + 1), dtype=np.int32)
        for wall in slab.walls:
            p = (_facets(wall.lower) - (self._x0, self._y0)) / self.cell - 0.5
            _toggle(toggles, p)
        self._full = (np.cumsum(toggles, axis=1)[:, :nx] % 2).astype(bool)
        self._size = nx, ny

    def full(self, p: Floats) -> NDArray[np.bool_]:
        """Return which points lie in material."""
        nx, ny = self._size
        i = ((p[:, 0] - self._x0) / self.cell).astype(int)
        j = ((p[:, 1] - self._y0) / self.cell).astype(int)
        inside = (i >= 0) & (i < nx) & (j >= 0) & (j < ny)
        out = np.zeros(len(p), dtype=bool)
        out[inside] = self._full[j[inside], i[inside]]
        return out


def _toggle(toggles: NDArray[np.int32], p: Floats) -> None:
    """Mark in every row of cells where a closed line crosses its middle."""
    a, b = p[:-1], p[1:]
    low = np.ceil(np.minimum(a[:, 1], b[:, 1])).astype(int)
    count = np.maximum(0, np.ceil(np.maximum(a[:, 1], b[:, 1])).astype(int) - low)
    edge = np.repeat(np.arange(len(a)), count)
    if not len(edge):
        return
    row = np.repeat(low, count) + np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
    share = (row - a[edge, 1]) / (b[edge, 1] - a[edge, 1])
    column = np.ceil(a[edge, 0] + share * (b[edge, 0] - a[edge, 0])).astype(int)
    np.add.at(toggles, (np.clip(row, 0, toggles.shape[0] - 1), np.clip(column, 0, toggles.shape[1] - 1)), 1)


def _seen(p: Floats, z: Floats, slabs: Sequence[Slab], rasters: Sequence[_Raster]) -> NDArray[np.bool_]:
    """Return which points are seen: the ray to the eye, from a little off the edge on, meets no material."""
    cell = rasters[0].cell
    hidden = np.zeros(len(p), dtype=bool)
    for slab, raster in zip(slabs, rasters, strict=True):
        rise = slab.z_to_mm - np.maximum(slab.z_from_mm, z)
        alive = np.flatnonzero((rise > 1e-9) & ~hidden)
        if not len(alive):
            continue
        start = np.maximum(0.0, slab.z_from_mm - z[alive]) * RUN
        stop = start + rise[alive] * RUN
        steps = int(np.ceil(float(stop.max() - start.min()) / cell)) + 1
        for k in range(steps):
            away = np.maximum(start, 2.0 * cell) + k * cell
            on = (away <= stop) & ~hidden[alive]
            if not on.any():
                break
            rows = alive[on]
            hit = raster.full(p[rows] + away[on, None] * np.array(TOWARD))
            hidden[rows[hit]] = True
    return ~hidden


def _dense(p: Floats, z: Floats, out: Floats, step: float) -> tuple[Floats, Floats, Floats]:
    """Return points with others put between so that no two are farther apart than ``step``."""
    rows = np.column_stack((p, z, out))
    d = np.diff(rows[:, :3], axis=0)
    n = np.maximum(1, np.ceil(np.sqrt((d * d).sum(axis=1)) / step)).astype(int)
    edge = np.repeat(np.arange(len(n)), n)
    share = (np.arange(len(edge)) - np.repeat(np.cumsum(n) - n, n)) / n[edge]
    dense = np.vstack((rows[edge] + share[:, None] * (rows[edge + 1] - rows[edge]), rows[-1:]))
    return dense[:, :2], dense[:, 2], dense[:, 3:]


def _runs(picture: Floats, seen: NDArray[np.bool_]) -> Iterator[Track]:
    """Yield the stretches that are seen, points on straight lines left out."""
    flags = np.concatenate(([False], seen, [False]))
    starts, stops = np.flatnonzero(flags[1:] & ~flags[:-1]), np.flatnonzero(~flags[1:] & flags[:-1])
    for a, b in zip(starts, stops, strict=True):
        if b - a >= 2:
            yield polyline(*(tuple(q) for q in _thinned(picture[a:b]).tolist()))


def _thinned(q: Floats) -> Floats:
    """Return points without those on the straight line between their neighbours."""
    if len(q) < 3:
        return q
    u, v = q[1:-1] - q[:-2], q[2:] - q[1:-1]
    bend = np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0])
    keep = np.concatenate(([True], bend > 1e-6, [True]))
    return q[keep]
