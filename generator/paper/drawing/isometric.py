"""The isometric view of a part (ISO 5456-3): edges of its slabs in short chords, hidden ones left out.

Edges are contours that end at the height between two slabs, lines up a wall at sharp corners, and lines where a round
wall turns away from the eye. A point is seen if the ray from it to the eye meets no material.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import acos, atan2, ceil, cos, radians, sin, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.outline.contour import Contour, Segment
from generator.paper.drawing.sight import Layer, Sight
from generator.paper.sheet import Track, polyline
from generator.part.part import Slab, Wall

__all__ = ["isometric"]

Floats = NDArray[np.float64]
TURN: Final = radians(-45.0)
"""The part is turned by this about z …"""
ELEVATION: Final = atan2(1.0, sqrt(2.0))
"""… and seen from 35.26 degrees above the plane: x and y then rise at 30 degrees, all three axes equally short."""
SAG_MM: Final = 0.003
"""Paper mm by which a chord may be off its arc: less than a sixth of a dot at 600 dpi where the view is drawn three
times as large as its lines were found for."""
SHARP_DEG: Final = 12.0
"""Corners sharper than this have an edge up the wall; the chords of an arc turn less, however small it is."""
STEP_MM: Final = 0.35
"""Paper mm between places of an edge at which it is asked whether it is seen …"""
HALVINGS: Final = 8
"""… and how often the step is halved in which that changes."""


def isometric(slabs: Sequence[Slab], scale: float) -> tuple[Track, ...]:
    """Return the edges that are seen, mm on paper round the picture of (0, 0, 0); heights foreshortened as lengths are.

    Args:
        slabs: the part's material from the bottom up.
        scale: mm on paper a mm along each of the three axes.
    """
    sag = SAG_MM / (scale * sqrt(1.5))
    edges = [_dense(*edge, STEP_MM / scale) for edge in _edges(slabs, sag)]
    if not edges:
        return ()
    sight = Sight([_layer(slab, sag) for slab in slabs], TOWARD, RUN)
    points = np.concatenate(edges)
    seen = sight.sees(points[:, :2], points[:, 2])
    ends = np.cumsum([len(edge) for edge in edges])
    seen_of = np.split(seen, ends[:-1])
    runs = [run for edge, flags in zip(edges, seen_of, strict=True) for run in _runs(edge, flags, sight)]
    return tuple(polyline(*(tuple(q) for q in _thinned(_project(run, scale)).tolist())) for run in runs)


def _project(p: Floats, scale: float) -> Floats:
    """Return the picture of points (n, 3); scaled so that lengths along the axes come out at ``scale``."""
    k = scale * sqrt(1.5)
    c, s, e = cos(TURN), sin(TURN), sin(ELEVATION)
    right = c * p[:, 0] - s * p[:, 1]
    up = (s * p[:, 0] + c * p[:, 1]) * e + p[:, 2] * cos(ELEVATION)
    return np.column_stack((k * right, k * up))


TOWARD: Final = (-sin(TURN), -cos(TURN))
"""Unit vector of the plane that points from the part to the eye."""
RUN: Final = cos(ELEVATION) / sin(ELEVATION)
"""How far a ray to the eye goes along the plane while it rises by 1."""


# ------------------------------------------------------------------ edges
def _edges(slabs: Sequence[Slab], sag: float) -> Iterator[tuple[Floats, Floats]]:
    """Yield edges as points of the plane and their heights."""
    for k, slab in enumerate(slabs):
        below = slabs[k - 1] if k and slabs[k - 1].z_to_mm == slab.z_from_mm else None
        above = slabs[k + 1] if k + 1 < len(slabs) and slabs[k + 1].z_from_mm == slab.z_to_mm else None
        under = {_same(w.upper) for w in below.walls} if below else set()
        over = {_same(w.lower) for w in above.walls} if above else set()
        slopes = {_same(w.lower) for w in above.walls if not w.is_straight} if above else set()
        for wall in slab.walls:
            if _same(wall.lower) not in under:
                p = _facets(wall.lower, sag)
                yield p, np.full(len(p), slab.z_from_mm)
            if _same(wall.upper) not in over or (wall.is_straight and _same(wall.upper) in slopes):
                p = _facets(wall.upper, sag)
                yield p, np.full(len(p), slab.z_to_mm)
            yield from _up_the_wall(wall, slab, sag)


def _same(contour: Contour) -> frozenset[tuple[float, float]]:
    """Return what is the same for a contour wherever it begins."""
    return frozenset((round(v.x, 6), round(v.y, 6)) for v in contour.vertices)


def _facets(contour: Contour, sag: float) -> Floats:
    """Return points (n, 2) along a contour, arcs in chords that are off by ``sag`` at most; the last as the first."""
    out: list[tuple[float, float]] = []
    for segment in contour.segments():
        out.append(segment.start)
        if segment.is_arc:
            out += _between(segment, sag)
    return np.array([*out, out[0]])


def _between(segment: Segment, sag: float) -> Iterator[tuple[float, float]]:
    """Yield points of an arc between its ends."""
    step = min(2.0 * acos(max(0.0, 1.0 - sag / segment.radius_mm)), radians(SHARP_DEG) / 2.0)
    n, (cx, cy) = ceil(abs(segment.sweep) / step), segment.centre
    dx, dy = segment.start.x - cx, segment.start.y - cy
    for i in range(1, n):
        c, s = cos(segment.sweep * i / n), sin(segment.sweep * i / n)
        yield cx + c * dx - s * dy, cy + s * dx + c * dy


def _up_the_wall(wall: Wall, slab: Slab, sag: float) -> Iterator[tuple[Floats, Floats]]:
    """Yield the edges up a wall: at sharp corners, and where it turns away from the eye.

    Where a hollow wall turns away, it is behind its own material.
    """
    p = _facets(wall.lower, sag)[:-1]
    q = p if wall.is_straight else _facets(wall.upper, sag)[:-1]
    d = np.roll(p, -1, axis=0) - p
    normal = np.column_stack((d[:, 1], -d[:, 0])) / np.maximum(np.hypot(*d.T), 1e-12)[:, None]
    back = 0.0 if wall.is_straight else _set_back(p, q, normal)
    facing = normal @ np.array(TOWARD) * (slab.z_to_mm - slab.z_from_mm) * RUN + back > 0.0
    before = np.roll(normal, 1, axis=0)
    turn = np.arctan2(before[:, 0] * normal[:, 1] - before[:, 1] * normal[:, 0], (before * normal).sum(axis=1))
    is_sharp = np.abs(turn) > radians(SHARP_DEG)
    for k in np.flatnonzero(is_sharp | ((facing != np.roll(facing, 1)) & (turn > 0.0))):
        mitred = p[k] - back * (before[k] + normal[k]) / (1.0 + float(before[k] @ normal[k]))
        top = q[np.hypot(*(q - mitred).T).argmin()] if is_sharp[k] else mitred
        yield np.array([p[k], top]), np.array([slab.z_from_mm, slab.z_to_mm])


def _set_back(p: Floats, q: Floats, normal: Floats) -> float:
    """Return by how much a sloping wall's upper contour lies behind its lower one, mm."""
    middle = (p[0] + p[1]) / 2.0
    a, d = q, np.roll(q, -1, axis=0) - q
    share = np.clip(((middle - a) * d).sum(axis=1) / np.maximum((d * d).sum(axis=1), 1e-18), 0.0, 1.0)
    away = middle - (a + share[:, None] * d)
    nearest = away[np.hypot(*away.T).argmin()]
    return float(nearest @ normal[0])


def _layer(slab: Slab, sag: float) -> Layer:
    """Return a slab's material as it stands in the way: of a sloping wall the end with less of it.

    A ray that leaves a slope at once is behind it at the slab's upper height, too.
    """
    return Layer(slab.z_from_mm, slab.z_to_mm, [_facets(_smaller(w), sag) for w in slab.walls])


def _smaller(wall: Wall) -> Contour:
    return wall.upper if wall.upper.signed_area_mm2 < wall.lower.signed_area_mm2 else wall.lower


# ------------------------------------------------------------------ what is seen
def _dense(p: Floats, z: Floats, step: float) -> Floats:
    """Return points (n, 3) with others put between so that no two are farther apart than ``step``."""
    rows = np.column_stack((p, z))
    d = np.diff(rows, axis=0)
    n = np.maximum(1, np.ceil(np.sqrt((d * d).sum(axis=1)) / step)).astype(int)
    edge = np.repeat(np.arange(len(n)), n)
    share = (np.arange(len(edge)) - np.repeat(np.cumsum(n) - n, n)) / n[edge]
    return np.vstack((rows[edge] + share[:, None] * d[edge], rows[-1:]))


def _runs(edge: Floats, seen: NDArray[np.bool_], sight: Sight) -> Iterator[Floats]:
    """Yield the stretches of an edge that are seen, up to where it goes out of sight."""
    if len(edge) > 2 and np.array_equal(edge[0], edge[-1]) and not seen.all():
        first = int(np.flatnonzero(~seen)[0])  # a closed edge begins where it is hidden
        edge = np.vstack((edge[first:-1], edge[: first + 1]))
        seen = np.concatenate((seen[first:-1], seen[: first + 1]))
    change = np.flatnonzero(seen[1:] != seen[:-1])
    ends = _ends(edge[change], edge[change + 1], seen[change], sight)
    stops = [*([(0, edge[:1])] if seen[0] else []), *((k + 1, e[None]) for k, e in zip(change, ends, strict=True))]
    if seen[-1]:
        stops.append((len(edge), edge[-1:]))
    for (a, first_point), (b, last_point) in zip(stops[0::2], stops[1::2], strict=True):
        yield np.vstack((first_point, edge[a:b], last_point))


def _ends(a: Floats, b: Floats, seen: NDArray[np.bool_], sight: Sight) -> Floats:
    """Return where between two points, one of which is seen, that changes."""
    for _ in range(HALVINGS if len(a) else 0):
        middle = (a + b) / 2.0
        as_before = (sight.sees(middle[:, :2], middle[:, 2]) == seen)[:, None]
        a, b = np.where(as_before, middle, a), np.where(as_before, b, middle)
    return (a + b) / 2.0


def _thinned(q: Floats) -> Floats:
    """Return points without those on the straight line between their neighbours."""
    if len(q) < 3:
        return q
    u, v = q[1:-1] - q[:-2], q[2:] - q[1:-1]
    bend = np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0])
    return q[np.concatenate(([True], bend > 1e-6, [True]))]
