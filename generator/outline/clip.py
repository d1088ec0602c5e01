"""The one place that calls the polygon clipper, and the way back from its edges to ours.

The clipper works on whole numbers and answers with edges that are parts of the edges it was given; a vertex of the
answer is either one of ours, found again by its coordinates, or a crossing.
"""

from __future__ import annotations

from enum import Enum
from functools import cached_property

import numpy as np
import pyclipr

from generator.base.frozen_record import frozen_record
from generator.outline.facets import Facets
from generator.outline.pieces import Bools, Floats, Ints, cyclic_next

_NEAR = 2.5  # grid units: how far a part of an edge may be moved by rounding
_FAR = 30.0  # grid units: an edge further from all of ours is no part of any
_COLUMNS = 512
_PAIRS = 500_000
"""Edges asked at a time: memory stays small."""


class FillRule(Enum):
    """Which winding numbers are inside."""

    NON_ZERO = "non-zero"
    EVEN_ODD = "even-odd"
    POSITIVE = "positive"
    NEGATIVE = "negative"


class Operation(Enum):
    """What the clipper is to do with its subject and its clip polygons."""

    UNION = "union"
    DIFFERENCE = "difference"
    INTERSECTION = "intersection"


_FILL = {
    FillRule.NON_ZERO: pyclipr.FillRule.NonZero,
    FillRule.EVEN_ODD: pyclipr.FillRule.EvenOdd,
    FillRule.POSITIVE: pyclipr.FillRule.Positive,
    FillRule.NEGATIVE: pyclipr.FillRule.Negative,
}
_TYPE = {
    Operation.UNION: pyclipr.Union,
    Operation.DIFFERENCE: pyclipr.Difference,
    Operation.INTERSECTION: pyclipr.Intersection,
}


@frozen_record
class Clipped:
    """The clipper's answer: integer polygons, outer ones counter-clockwise.

    Attributes:
        points: (n, 2) whole numbers.
        first: (m + 1,) where each polygon begins, and n.
        edge: our edge that the edge from this vertex is part of, -1 if none.
        with_us: False where it runs against ours.
    """

    points: Floats
    first: Ints
    edge: Ints
    with_us: Bools

    @cached_property
    def following(self) -> Ints:
        """Return the row after each row."""
        return cyclic_next(self.first)


def clip(facets: Facets, subjects: int, operation: Operation, fill: FillRule) -> list[Floats]:
    """Return the polygons of the operation: the first ``subjects`` of ``facets`` are subjects, the rest clips."""
    polygons = facets.polygons()
    engine = pyclipr.Clipper()
    engine.scaleFactor = 1.0
    engine.preserveCollinear = True
    for paths, role in ((polygons[:subjects], pyclipr.Subject), (polygons[subjects:], pyclipr.Clip)):
        usable = [p for p in paths if len(p) > 2]
        if usable:
            engine.addPaths(usable, role)
    return [np.asarray(p, dtype=np.float64) for p in engine.execute(_TYPE[operation], _FILL[fill]) if len(p) > 2]


def wound(polygons: list[Floats], fill: FillRule) -> list[Floats]:
    """Return what the polygons go round as often as ``fill`` asks for."""
    engine = pyclipr.Clipper()
    engine.scaleFactor = 1.0
    usable = [p for p in polygons if len(p) > 2]
    if not usable:
        return []
    engine.addPaths(usable, pyclipr.Subject)
    return [np.asarray(p, dtype=np.float64) for p in engine.execute(pyclipr.Union, _FILL[fill]) if len(p) > 2]


def recognise(polygons: list[Floats], facets: Facets) -> Clipped:
    """Return the clipper's polygons with the edge of ours that each of their edges is part of."""
    first = np.cumsum([0, *(len(p) for p in polygons)])
    points = np.concatenate(polygons)
    following = cyclic_next(first)
    best = _Best(points, points[following])
    table = _Table(facets.points)
    found = table.find(points)
    for (low, high), forward, backward in (
        (found, lambda v: v, lambda v: facets.before[v]),
        ((found[0][following], found[1][following]), lambda v: facets.before[v], lambda v: v),
    ):
        for turn in range(int((high - low).max(initial=0))):
            rows = np.flatnonzero((low + turn < high) & (best.error > 0.0))
            vertex = table.order[low[rows] + turn]
            best.offer(rows, forward(vertex), True, facets)
            best.offer(rows, backward(vertex), False, facets)
    lost = np.flatnonzero(best.error > _NEAR)
    if len(lost):
        _search(best, lost, facets)
    edge = np.where(best.error <= _FAR, best.edge, -1)
    return Clipped(points, first, edge, best.with_us)


class _Table:
    """Finds vertices by their integer coordinates."""

    def __init__(self, points: Floats) -> None:
        key = _key(points)
        self.order = np.argsort(key, kind="stable")
        self.key = key[self.order]

    def find(self, points: Floats) -> tuple[Ints, Ints]:
        key = _key(points)
        return np.searchsorted(self.key, key, "left"), np.searchsorted(self.key, key, "right")


def _key(points: Floats) -> np.ndarray:
    whole = points.astype(np.int64).astype(np.uint64)
    return np.asarray(whole[:, 0] * np.uint64(0x9E3779B97F4A7C15) + whole[:, 1])


class _Best:
    """The best edge of ours found so far for every edge of the answer."""

    def __init__(self, p: Floats, q: Floats) -> None:
        self.p, self.q = p, q
        self.error = np.full(len(p), np.inf)
        self.edge = np.full(len(p), -1, dtype=np.int64)
        self.with_us = np.ones(len(p), dtype=bool)

    def offer(self, rows: Ints, edges: Ints, with_us: bool, facets: Facets) -> None:
        fresh = np.flatnonzero((self.edge[rows] != edges) | (self.with_us[rows] != with_us))
        rows, edges = rows[fresh], edges[fresh]
        error = misfit(self.p[rows], self.q[rows], edges, with_us, facets)
        better = np.flatnonzero(error < self.error[rows])
        rows = rows[better]
        self.error[rows] = error[better]
        self.edge[rows] = edges[better]
        self.with_us[rows] = with_us

    def offer_many(self, rows: Ints, edges: Ints, with_us: bool, facets: Facets) -> None:
        """Offer several edges for each of some rows, which stand in order; of equal ones the first is taken."""
        error = misfit(self.p[rows], self.q[rows], edges, with_us, facets)
        order = np.lexsort((error, rows))
        first = order[np.flatnonzero(np.diff(rows[order], prepend=-1))]
        better = first[error[first] < self.error[rows[first]]]
        self.error[rows[better]] = error[better]
        self.edge[rows[better]] = edges[better]
        self.with_us[rows[better]] = with_us


def misfit(p: Floats, q: Floats, edges: Ints, with_us: bool, facets: Facets) -> Floats:
    """Return how far (grid units) the edges p-q are from being parts of ``edges``; infinite if the direction is wrong.

    An edge of a construction piece counts as one unit worse, so that a real one on the same line is preferred.
    """
    found = np.full(len(p), np.inf)
    rows = np.flatnonzero(_leads_on(p, q, edges, with_us, facets))
    p, q, edges = p[rows], q[rows], edges[rows]
    (x, y), (ux, uy), size = facets.points[edges].T, facets.unit[edges].T, facets.size[edges]
    if not with_us:
        (x, y), ux, uy = facets.points[facets.following[edges]].T, -ux, -uy
    error = np.zeros(len(rows))
    for end in (p, q):
        dx, dy = end[:, 0] - x, end[:, 1] - y
        along = dx * ux + dy * uy
        beyond = np.maximum(np.maximum(-along, along - size), 0.0)
        error = np.maximum(error, np.hypot(dx * uy - dy * ux, beyond))
    found[rows] = error + ~facets.real[edges]
    return found


def _leads_on(p: Floats, q: Floats, edges: Ints, with_us: bool, facets: Facets) -> Bools:
    """Return whether the edges p-q lead the same way as ``edges``; an edge without length leads nowhere."""
    step, unit = q - p, facets.unit[edges]
    along = step[:, 0] * unit[:, 0] + step[:, 1] * unit[:, 1]
    ahead: Bools = (along > 0.0) if with_us else (along < 0.0)
    return ahead


def _search(best: _Best, lost: Ints, facets: Facets) -> None:
    """Look for edges both ends of which are crossings, column by column of a coarse grid."""
    a, b = facets.points, facets.points[facets.following]
    low, high = np.minimum(a[:, 0], b[:, 0]), np.maximum(a[:, 0], b[:, 0])
    origin = float(low.min())
    width = max((float(high.max()) - origin) / _COLUMNS, 1.0)
    c0 = np.floor((low - _FAR - origin) / width).astype(np.int64)
    many = np.floor((high + _FAR - origin) / width).astype(np.int64) - c0 + 1
    member = np.repeat(np.arange(len(a)), many)
    column = np.arange(len(member)) - np.repeat(np.cumsum(many) - many, many) + c0[member]
    order = np.argsort(column, kind="stable")
    member, column = member[order], column[order]
    middle = (best.p[lost] + best.q[lost]) / 2.0
    home = np.floor((middle[:, 0] - origin) / width).astype(np.int64)
    ylow, yhigh = np.minimum(a[:, 1], b[:, 1]) - _FAR, np.maximum(a[:, 1], b[:, 1]) + _FAR
    from_, to = np.searchsorted(column, home, "left"), np.searchsorted(column, home, "right")
    done = np.cumsum(to - from_)
    for chunk in np.split(np.arange(len(lost)), np.flatnonzero(np.diff(done // _PAIRS)) + 1):
        many = (to - from_)[chunk]
        which = chunk[np.repeat(np.arange(len(chunk)), many)]
        near = member[np.arange(len(which)) - np.repeat(np.cumsum(many) - many, many) + from_[which]]
        y = middle[which, 1]
        kept = (ylow[near] <= y) & (y <= yhigh[near])
        for with_us in (True, False):
            best.offer_many(lost[which[kept]], near[kept], with_us, facets)
