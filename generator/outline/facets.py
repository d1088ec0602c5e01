"""Facets: fine chords of pieces on an integer grid, made so that pieces on one carrier share their facets.

Arcs are cut at odd multiples of half a step (one step per carrier, so that no cut falls on an axis, where outlines
like to touch each other) and at every joint that lies on the carrier, lines at every
joint. Two pieces that run along each other, the same way or against, then have identical integer edges, and the
clipper cancels or unites them without slivers.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.outline.carriers import Carriers
from generator.outline.pieces import Bools, Floats, Ints, Pieces, cyclic_next

GRID_PER_MM = 1e7  # 0.1 nm
_GRID_REACH = 2.0**31  # integer products stay exact enough in the clipper below this
_CROWDED = 0.05  # grid angles nearer to a joint than this share of a step are left out


@frozen_record
class Grid:
    """The integer grid of one operation.

    Attributes:
        origin: (2,) the middle of everything, mm.
        per_mm: grid lines a millimetre.
    """

    origin: Floats
    per_mm: float

    def to_grid(self, points: Floats) -> Floats:
        """Return whole numbers (as floats) of points in mm."""
        return np.asarray(np.rint((points - self.origin) * self.per_mm) + 0.0)

    def to_mm(self, points: Floats) -> Floats:
        """Return points in mm of grid points."""
        return np.asarray(points / self.per_mm + self.origin)


def grid_of(pieces: Pieces) -> Grid:
    """Return a grid that holds all pieces."""
    low, high = pieces.start.min(axis=0), pieces.start.max(axis=0)
    origin = np.rint((low + high) / 2.0)
    reach = float((high - low).max()) + 2.0 * float(min(pieces.radius.max(initial=0.0), (high - low).max()))
    per_mm = GRID_PER_MM
    while reach * per_mm > _GRID_REACH:
        per_mm /= 2.0
    return Grid(origin, per_mm)


@frozen_record
class Facets:
    """Integer polygons, one a chain; row k is the edge from vertex k to its successor.

    Attributes:
        points: (n, 2) whole numbers.
        piece: piece each edge belongs to.
        first: (m + 1,) where each polygon begins, and n.
        joint: True where the vertex is the start of its piece.
        real: False for edges of construction pieces.
    """

    points: Floats
    piece: Ints
    first: Ints
    joint: Bools
    real: Bools

    @cached_property
    def following(self) -> Ints:
        """Return the row after each row."""
        return cyclic_next(self.first)

    @cached_property
    def before(self) -> Ints:
        """Return the row before each row."""
        before = np.empty_like(self.following)
        before[self.following] = np.arange(len(before))
        return before

    @cached_property
    def size(self) -> Floats:
        """Return the length of each edge, grid units."""
        step = self._step
        return np.asarray(np.hypot(step[:, 0], step[:, 1]))

    @cached_property
    def unit(self) -> Floats:
        """Return the direction of each edge; 0 for one without length."""
        return self._step / np.where(self.size > 0.0, self.size, 1.0)[:, None]

    @cached_property
    def _step(self) -> Floats:
        return np.asarray(self.points[self.following] - self.points)

    def polygons(self) -> list[Floats]:
        """Return the polygons."""
        return [self.points[a:b] for a, b in zip(self.first[:-1], self.first[1:], strict=True)]


def facet(pieces: Pieces, carriers: Carriers, grid: Grid, facet_mm: float) -> Facets:
    """Return the facets of ``pieces`` with a chord error of at most ``facet_mm`` mm."""
    n = len(pieces)
    arc = np.flatnonzero(pieces.real & pieces.circle)
    cuts = [(np.arange(n), np.zeros(n), pieces.start), _cut_lines(pieces, carriers)]
    if len(arc):
        cuts.append(_cut_arcs(pieces, carriers, arc, facet_mm))
    owner, where, spot = zip(*cuts, strict=True)
    row, at = np.concatenate(owner), np.concatenate(where)
    order = np.lexsort((at, row))
    row = row[order]
    points = grid.to_grid(np.concatenate(spot)[order])
    joint = order < n
    first = np.searchsorted(row, pieces.first)
    return Facets(points, row, first, joint, pieces.real[row])


def _steps(radius: Floats, facet_mm: float) -> Ints:
    """Return the number of facets of full circles: a multiple of 4."""
    ratio = np.minimum(facet_mm / np.maximum(radius, facet_mm), 0.2)
    half = np.arccos(1.0 - ratio)
    return np.asarray(4 * np.ceil(np.pi / half / 4.0), dtype=np.int64)


def arc_spans(pieces: Pieces, rows: Ints) -> tuple[Floats, Floats]:
    """Return start angle and signed sweep of arcs, both from their joints."""
    a = pieces.start[rows] - pieces.base[rows]
    b = pieces.end[rows] - pieces.base[rows]
    start = np.arctan2(a[:, 1], a[:, 0])
    nominal = pieces.sweep[rows]
    miss = np.arctan2(b[:, 1], b[:, 0]) - start - nominal
    return start, nominal + miss - 2.0 * np.pi * np.rint(miss / (2.0 * np.pi))


def _cut_arcs(pieces: Pieces, carriers: Carriers, arc: Ints, facet_mm: float) -> tuple[Ints, Floats, Floats]:
    """Return owner, share of the sweep, and place of every cut inside an arc."""
    start, sweep = arc_spans(pieces, arc)
    carrier = carriers.of[arc]
    count = _steps(carriers.radius[carrier], facet_mm)
    step = 2.0 * np.pi / count
    low = np.minimum(start, start + sweep)
    high = np.maximum(start, start + sweep)
    k0 = np.floor(low / step - 0.5 + _CROWDED).astype(np.int64) + 1
    k1 = np.ceil(high / step - 0.5 - _CROWDED).astype(np.int64)
    many = np.maximum(k1 - k0, 0)
    owner = np.repeat(np.arange(len(arc)), many)
    k = np.arange(len(owner)) - np.repeat(np.cumsum(many) - many, many) + k0[owner]
    angle = (k + 0.5) * step[owner]
    extra_owner, extra_angle, extra_spot, crowded = _shared_joints(pieces, carrier, arc, low, high, owner, angle, step)
    if len(extra_owner):
        owner, angle, k = owner[~crowded], angle[~crowded], k[~crowded]
    turn = 2.0 * np.pi * (k % count[owner] + 0.5) / count[owner]
    base, radius = carriers.base[carrier][owner], carriers.radius[carrier][owner]
    spot = base + radius[:, None] * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    owner = np.concatenate([owner, extra_owner])
    share = (np.concatenate([angle, extra_angle]) - start[owner]) / sweep[owner]
    return arc[owner], share, np.concatenate([spot, extra_spot])


def _shared_joints(
    pieces: Pieces,
    carrier: Ints,
    arc: Ints,
    low: Floats,
    high: Floats,
    owner: Ints,
    angle: Floats,
    step: Floats,
) -> tuple[Ints, Floats, Floats, Bools]:
    """Return joints of other arcs that lie inside an arc on the same carrier, and the grid cuts they crowd out.

    All carriers at once: each joint's angle is put behind those of the carriers before it, so that a sort and a search
    serve all. The search takes a trifle more; what it finds is held against the arc itself.
    """
    crowded = np.zeros(len(owner), dtype=bool)
    shared, number = _shared(carrier)
    if not len(shared):
        return np.zeros(0, np.int64), np.zeros(0), np.zeros((0, 2)), crowded
    head = np.searchsorted(number, np.arange(number[-1] + 1))
    joints, group = np.concatenate([pieces.start[arc[shared]], pieces.end[arc[shared]]]), np.tile(number, 2)
    off = joints - pieces.base[arc[shared[head]]][group]
    turn = np.arctan2(off[:, 1], off[:, 0])
    near = 1e-7 / np.maximum(np.hypot(off[head, 0], off[head, 1]), 1e-7)
    order = np.lexsort((turn, group))
    turn, group, joints = turn[order], group[order], joints[order]
    fresh = np.diff(group, prepend=-1) > 0
    keep = fresh | (np.diff(turn, prepend=0.0) > near[group])
    turn, group, joints = turn[keep], group[keep], joints[keep]
    row, found = _between(low[shared], high[shared], number, turn, group)
    g = shared[row]
    relative = low[g] + (turn[found] - low[g]) % (2.0 * np.pi)
    inside = (relative > low[g] + near[number[row]]) & (relative < high[g] - near[number[row]])
    g, relative, spots = g[inside], relative[inside], joints[found[inside]]
    first, end = np.searchsorted(owner, g), np.searchsorted(owner, g + 1)
    # cuts stand a step apart, so that a joint crowds out the nearest one at most
    nearest = first + np.rint((relative - angle[np.minimum(first, len(angle) - 1)]) / step[g]).astype(np.int64)
    there = np.flatnonzero((nearest >= first) & (nearest < end))
    nearest, g_there = nearest[there], g[there]
    close = np.abs(angle[nearest] - relative[there]) < _CROWDED * step[g_there]
    crowded[nearest[close]] = True
    return g, relative, spots, crowded


def _between(low: Floats, high: Floats, number: Ints, turn: Floats, group: Ints) -> tuple[Ints, Ints]:
    """Return pairs of an arc and an angle of its group that lies between the arc's ends, or nearly so.

    Args:
        low: where each arc begins, radians.
        high: where it ends.
        number: its group.
        turn: angles from -pi to pi, by group and sorted.
        group: their groups.
    """
    apart, slack = 8.0, 1e-9
    place = turn + apart * group
    begin = (low + np.pi) % (2.0 * np.pi) - np.pi
    rows, found = [], []
    for shift in (0.0, -2.0 * np.pi):  # an arc may go on beyond pi
        a = np.maximum(begin + shift - slack, -np.pi - slack) + apart * number
        b = np.minimum(begin + shift + (high - low) + slack, np.pi + slack) + apart * number
        from_, to = np.searchsorted(place, a - slack * number), np.searchsorted(place, b + slack * number, "right")
        many = np.maximum(to - from_, 0)
        rows.append(np.repeat(np.arange(len(low)), many))
        found.append(np.arange(many.sum()) - np.repeat(np.cumsum(many) - many, many) + np.repeat(from_, many))
    return np.concatenate(rows), np.concatenate(found)


def _shared(carrier: Ints) -> tuple[Ints, Ints]:
    """Return the rows whose carriers several have, by carrier, and the number of each row's group."""
    order = np.argsort(carrier, kind="stable")
    label = carrier[order]
    heads = np.flatnonzero(np.diff(label, prepend=-1))
    size = np.diff(np.append(heads, len(order)))
    several = np.repeat(size > 1, size)
    return order[several], np.repeat(np.cumsum(size > 1) - 1, size)[several]


def _distinct(values: Floats, near: float) -> tuple[Floats, Ints]:
    order = np.argsort(values, kind="stable")
    keep = np.diff(values[order], prepend=-np.inf) > near
    return values[order][keep], order[keep]


def _cut_lines(pieces: Pieces, carriers: Carriers) -> tuple[Ints, Floats, Floats]:
    """Return owner, share of the length, and place of every joint of another piece inside a line.

    All carriers at once: places along them are laid end to end, so that a sort and a search serve all.
    """
    line = np.flatnonzero(pieces.real & ~pieces.circle)
    order, group = _shared(carriers.of[line])
    rows = line[order]
    if not len(rows):
        return np.zeros(0, np.int64), np.zeros(0), np.zeros((0, 2))
    u = carriers.unit[carriers.of[rows]]
    origin = pieces.start[rows[np.searchsorted(group, group)]]
    t0, t1 = ((pieces.start[rows] - origin) * u).sum(axis=1), ((pieces.end[rows] - origin) * u).sum(axis=1)
    apart = group * (2.0 * float(np.abs([t0, t1]).max()) + 1.0)
    at, index = _distinct(np.concatenate([t0 + apart, t1 + apart]), 1e-7)
    joints = np.concatenate([pieces.start[rows], pieces.end[rows]])[index]
    low = np.searchsorted(at, np.minimum(t0, t1) + apart + 1e-7, "right")
    many = np.maximum(np.searchsorted(at, np.maximum(t0, t1) + apart - 1e-7, "left") - low, 0)
    own = np.repeat(np.arange(len(rows)), many)
    inside = np.arange(len(own)) - np.repeat(np.cumsum(many) - many, many) + low[own]
    return rows[own], (at[inside] - apart[own] - t0[own]) / (t1 - t0)[own], joints[inside]
