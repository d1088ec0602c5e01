"""Where a region is narrowest, and what stays between regions: the necks of its thickness, exact for lines and arcs.

A *neck* is a place where a disc inside touches the boundary at both ends of a diameter, and where the region gets no
thinner to either side along its middle. Two parallel or concentric sides are one long neck. Corners are none: a region
thins out into each of them, but has no least thickness there. Bellies (the short axis of an ellipse) are none either.
"""

from __future__ import annotations

from math import inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.base.units import MODEL, Tolerance
from generator.outline.contour import Point
from generator.outline.distance import points_distance
from generator.outline.facing import Flanks, Pairs, common_normals, flanks_of, on_flank
from generator.outline.measure import area, length
from generator.outline.region import Region
from generator.outline.remembered import remembered
from generator.outline.spans import Floats, Ints

__all__ = ["Narrow", "narrowest", "narrowest_between", "necks", "necks_between", "reversed_boundary"]

_STEP = 0.02
"""How far to either side of a neck it is looked whether the region gets thinner, in widths."""
_LEVEL = 1e-4
"""Thinning by less than this, in squares of that step over the radius, is none."""
_BATCH, _LARGEST_BATCH = 64, 16_384
_GROWTH = 3.0


class Narrow(NamedTuple):
    """A neck: how wide (mm), the two points of the boundary that face each other there, and the middle between them."""

    width_mm: float
    on_a: Point
    on_b: Point
    at: Point


def narrowest(region: Region, below_mm: float = inf, *, tol: Tolerance = MODEL) -> Narrow | None:
    """Return the narrowest neck of a region; None where it has none, such as a disc, a square or a wedge.

    Of a long neck its middle, of equally narrow ones the leftmost, and of these the lowest. Wider ones than
    ``below_mm`` are not looked for.
    """
    return _narrowest(region, below_mm, tol)


def narrowest_between(region: Region, *, tol: Tolerance = MODEL) -> Narrow | None:
    """Return the narrowest neck of what is not the region: ribs between its pieces, tongues and islands within it."""
    return _narrowest(reversed_boundary(region), inf, tol)


@remembered
def necks(region: Region, below_mm: float = inf, *, tol: Tolerance = MODEL) -> tuple[Narrow, ...]:
    """Return all necks narrower than ``below_mm``, the narrowest first.

    A long neck of one width is told once, by its middle. Where the middle of a neck lies in the disc of a narrower one,
    the same place is meant, and only the narrower is told.
    """
    if not region or below_mm <= 0.0:
        return ()
    flanks = flanks_of(region)
    return _distinct(_all_necks(region, flanks, below_mm, tol), flanks, tol)


def necks_between(region: Region, below_mm: float = inf, *, tol: Tolerance = MODEL) -> tuple[Narrow, ...]:
    """Return all necks narrower than ``below_mm`` of what is not the region, the narrowest first."""
    return necks(reversed_boundary(region), below_mm, tol=tol)


def reversed_boundary(region: Region) -> Region:
    """Return the same boundary travelled the other way: what lies to its left is what was outside."""
    return Region(tuple(c.reversed() for c in region))


def _narrowest(region: Region, below_mm: float, tol: Tolerance) -> Narrow | None:
    """Look for necks among neighbours first, and farther off only while there are none."""
    if not region:
        return None
    flanks = flanks_of(region)
    boxes = flanks.boxes
    size = float(np.hypot(*(boxes[:, 2:].max(axis=0) - boxes[:, :2].min(axis=0))))
    # twice the area over the length is about the thickness of a narrow region
    within = max(abs(area(region)) / length(region), size / 100.0)
    while True:
        within = min(within if within < size else inf, below_mm)
        found = _first_neck(region, common_normals(flanks, within, tol), tol)
        if found or within == below_mm:
            return found
        within *= _GROWTH


def _first_neck(region: Region, pairs: Pairs, tol: Tolerance) -> Narrow | None:
    order, at, size = _ranked(pairs), 0, _BATCH
    while at < len(order):
        batch = pairs.take(order[at : at + size])
        rows = _true_necks(region, batch, tol)
        if len(rows):
            return _narrow(batch, int(rows[0]))
        at, size = at + size, min(4 * size, _LARGEST_BATCH)
    return None


def _all_necks(region: Region, flanks: Flanks, below_mm: float, tol: Tolerance) -> Pairs:
    """Return the common normals that are necks, ranked."""
    pairs = common_normals(flanks, below_mm, tol)
    order = _ranked(pairs)
    kept = [order[:0]]
    for at in range(0, len(order), _LARGEST_BATCH):
        rows = order[at : at + _LARGEST_BATCH]
        kept.append(rows[_true_necks(region, pairs.take(rows), tol)])
    return pairs.take(np.concatenate(kept))


def _ranked(pairs: Pairs) -> Ints:
    """Return the rows by width, middles of stretches first, then by place; what differs by rounding only is equal."""
    x, y = _rounded(pairs.ax + pairs.bx), _rounded(pairs.ay + pairs.by)
    order: Ints = np.lexsort((y, x, pairs.aside, _rounded(pairs.width)))
    return order


def _rounded(values: Floats) -> Floats:
    return np.round(values, 7)


def _true_necks(region: Region, pairs: Pairs, tol: Tolerance) -> Ints:
    """Return the rows whose disc is empty and where the region does not get thinner to either side."""
    x, y, r = (pairs.ax + pairs.bx) / 2.0, (pairs.ay + pairs.by) / 2.0, pairs.width / 2.0
    near = points_distance(region, np.column_stack([x, y]))
    rows: Ints = np.flatnonzero(near >= r - tol.same_mm - 1e-9 * r)
    if not len(rows):
        return rows
    x, y, r, near = x[rows], y[rows], r[rows], near[rows]
    nx, ny = (pairs.bx - pairs.ax)[rows] / 2.0 / r, (pairs.by - pairs.ay)[rows] / 2.0 / r
    step, kept = 2.0 * r * _STEP, np.ones(len(rows), dtype=np.bool_)
    for side in (1.0, -1.0):
        px, py = x - side * step * ny, y + side * step * nx
        # a quarter step towards one side the other is farther: what is asked there is the distance from that side alone
        shift = step / 4.0
        towards = points_distance(region, np.column_stack([px + shift * nx, py + shift * ny]))
        away = points_distance(region, np.column_stack([px - shift * nx, py - shift * ny]))
        thickness = (towards + away) / 2.0 + shift
        kept &= thickness >= near - _LEVEL * step * step / r - tol.same_mm / 100.0
    return rows[kept]


def _narrow(pairs: Pairs, row: int) -> Narrow:
    a = Point(float(pairs.ax[row]), float(pairs.ay[row]))
    b = Point(float(pairs.bx[row]), float(pairs.by[row]))
    return Narrow(float(pairs.width[row]), a, b, Point((a.x + b.x) / 2.0, (a.y + b.y) / 2.0))


def _distinct(pairs: Pairs, flanks: Flanks, tol: Tolerance) -> tuple[Narrow, ...]:
    """Return the necks without those that belong to the place of one before them."""
    kept: list[Narrow] = []
    x, y, width = (pairs.ax + pairs.bx) / 2.0, (pairs.ay + pairs.by) / 2.0, pairs.width
    free = np.ones(len(width), dtype=np.bool_)
    for k in range(len(width)):
        if not free[k]:
            continue
        kept.append(_narrow(pairs, k))
        free &= np.hypot(x - x[k], y - y[k]) > width[k] / 2.0
        if pairs.aside[k] != 1.0:
            free &= ~_same_stretch(pairs, flanks, k, tol)
    return tuple(kept)


def _same_stretch(pairs: Pairs, flanks: Flanks, k: int, tol: Tolerance) -> NDArray[np.bool_]:
    """Return which rows are as wide as row ``k`` and lie between the same two sides, their ends included."""
    one, two = int(pairs.first[k]), int(pairs.second[k])
    ends = [(pairs.ax, pairs.ay), (pairs.bx, pairs.by)]
    on = [[on_flank(flanks, side, *end, tol.model_mm) for end in ends] for side in (one, two)]
    between = (on[0][0] & on[1][1]) | (on[0][1] & on[1][0])
    same: NDArray[np.bool_] = between & (np.abs(pairs.width - pairs.width[k]) <= tol.model_mm)
    return same
