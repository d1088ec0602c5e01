"""Divide a loop of points into straight and round pieces: as few as explain the points.

Every possible piece costs what its points stray from the best line or circle, in units of the noise, plus a price for
the piece itself; the cheapest division is found by dynamic programming (the principle of minimum description length:
J. Rissanen, Modeling by shortest data description, Automatica 14, 1978). Near corners the points of a picture lie
rounded off; a few of them may be left out there at a small price, so that the corner can be put back.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.outline.spans import Floats, Ints

Bools = NDArray[np.bool_]

LINE_PRICE: Final = 24.0
ARC_PRICE: Final = 32.0
LEFT_OUT_PRICE: Final = 6.0
"""In squared noise (tried on drawn shapes of known outline; the order is that of the chi-square limits of a fit)."""
MOST_LEFT_OUT: Final = 2
SPAN: Final = 220
"""Points that one piece spans at most while the loop is divided; longer ones are joined afterwards."""
LEAST_LINE, LEAST_ARC = 3, 6
"""Fewest points of a piece."""
LEAST_RADIUS: Final = 0.8
LARGEST_RADIUS: Final = 20_000.0
CHORD: Final = 4
CORNER_RAD, SHORT = 1.0, 600
"""A loop of more points than this that turns by more somewhere is divided there without looking for a better place."""
SHARP_RAD, ROUND_RAD = 0.3, 0.12
"""Turns between chords of ``CHORD`` points from which on there is a corner, pieces may begin anywhere, at every second
point."""
APART: Final = 4
"""Points from one place where a piece may begin to the next on gentle ways."""
_BLOCK: Final = 24


class Fit(NamedTuple):
    """What fits a run of points best: squared strays of line and circle, the circle's centre and radius; pixels."""

    line: Floats
    arc: Floats
    cx: Floats
    cy: Floats
    radius: Floats


@frozen_record
class Piece:
    """Points ``first`` to ``last`` (counted on past the end of the loop) lie on a line or an arc.

    ``exact``: on the line through the first point and the one after the last, instead of the one that fits best.
    """

    first: int
    last: int
    is_arc: bool
    exact: bool = False


class Sums:
    """Running sums of a loop that is walked twice, from which the fit of any run of points follows at once."""

    def __init__(self, points: Floats, weights: Floats | None = None) -> None:
        self.count = len(points)
        self.origin = points.mean(axis=0)
        p = np.concatenate([points, points]) - self.origin
        x, y = p[:, 0], p[:, 1]
        z = x * x + y * y
        rows = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y, z, z * x, z * y, z * z])
        if weights is not None:
            rows *= np.concatenate([weights, weights])
        self.sums = np.concatenate([np.zeros((10, 1)), np.cumsum(rows, axis=1)], axis=1)
        self.weight = self.sums[0]

    def fit(self, first: Ints, last: Ints) -> Fit:
        """Return the fits of the runs from ``first`` to ``last``, both included.

        The circle is that of least squares of the power of the points (I. Kåsa, A circle fitting procedure and its
        error analysis, IEEE Transactions on Instrumentation and Measurement 25, 1976).
        """
        n, sx, sy, sxx, sxy, syy, sz, szx, szy, szz = self.sums[:, last + 1] - self.sums[:, first]
        with np.errstate(divide="ignore", invalid="ignore"):
            cxx, cxy, cyy = sxx - sx * sx / n, sxy - sx * sy / n, syy - sy * sy / n
            czx, czy, czz = szx - sz * sx / n, szy - sz * sy / n, szz - sz * sz / n
            half, spread = (cxx + cyy) / 2.0, np.hypot((cxx - cyy) / 2.0, cxy)
            line = np.maximum(half - spread, 0.0)
            det = cxx * cyy - cxy * cxy
            p, q = (czx * cyy - czy * cxy) / det, (czy * cxx - czx * cxy) / det
            square = (sz - p * sx - q * sy) / n + (p * p + q * q) / 4.0
            arc = np.maximum(czz - p * czx - q * czy, 0.0) / (4.0 * square)
        bad = ~np.isfinite(arc) | (square < LEAST_RADIUS**2) | (square > LARGEST_RADIUS**2)
        radius = np.sqrt(np.where(bad, 1.0, square))
        cx, cy = np.where(bad, 0.0, p / 2.0) + self.origin[0], np.where(bad, 0.0, q / 2.0) + self.origin[1]
        return Fit(line, np.where(bad, np.inf, arc), cx, cy, radius)

    def costs(self, first: Ints, last: Ints, noise: float) -> tuple[Floats, Floats]:
        """Return the cost of the runs as a line and as an arc."""
        fit, weight = self.fit(first, last), 1.0 / (noise * noise)
        n = last - first + 1
        line = np.where(n >= LEAST_LINE, fit.line * weight + LINE_PRICE, np.inf)
        arc = np.where(n >= LEAST_ARC, fit.arc * weight + ARC_PRICE, np.inf)
        return line, arc


def divide(points: Floats, noise: float) -> list[Piece]:
    """Return the pieces of a closed loop in order; the first starts in the loop, the last may end past its end.

    Args:
        points: at least ``LEAST_ARC``, in order.
        noise: how far points stray from the true outline, standard deviation, pixels.
    """
    n, sums, turns = len(points), Sums(points), _turns(points)
    nodes = _nodes(turns)
    sharpest = int(turns.argmax())
    pieces = _division(sums, _between(nodes, (sharpest + 1) % n, n), noise)
    if (turns[sharpest] < CORNER_RAD or n < SHORT) and len(pieces) > 1:
        # that was somewhere; now again from a place where pieces part
        again = (pieces[0].last + 1) % n
        pieces = _division(sums, _between(nodes, again, n), noise)
    return _merged(sums, pieces, noise)


def divide_again(points: Floats, noise: float, weights: Floats, pieces: list[Piece], where: Bools) -> list[Piece]:
    """Return the pieces, those anew that hold points where the outline has to be nearer, and their neighbours.

    Args:
        points: as for ``divide``.
        noise: as for ``divide``.
        weights: how much each point counts, usually 1.
        pieces: as they were.
        where: the points where they were not good enough.
    """
    n, k = len(points), len(pieces)
    sums, nodes = Sums(points, weights), _nodes(_turns(points))
    starts = np.array([p.first % n for p in pieces])
    order = np.argsort(starts)
    held = order[np.searchsorted(starts[order], np.flatnonzero(where), side="right") - 1]
    bad = np.zeros(k, dtype=np.bool_)
    bad[held] = True
    bad |= np.roll(bad, 1) | np.roll(bad, -1)
    if bad.all():
        worst = pieces[int(held[0])].first if len(held) else 0
        return _merged(sums, _division(sums, _between(nodes, worst % n, n), noise), noise)
    first = int((~bad).argmax())
    out: list[Piece] = []
    run: list[Piece] = []
    for i in [*range(first + 1, k), *range(first + 1)]:
        if bad[i]:
            run.append(pieces[i])
            continue
        if run:
            begin = run[0].first % n
            out += _division(sums, _between(nodes, begin, 1 + (run[-1].last - begin) % n), noise)
            run = []
        out.append(pieces[i])
    return _merged(sums, out, noise)


def _turns(points: Floats) -> Floats:
    """Return by how much the way turns at each point, from chords over ``CHORD`` points before and after."""
    a, b = points - np.roll(points, CHORD, axis=0), np.roll(points, -CHORD, axis=0) - points
    turns: Floats = np.abs(np.arctan2(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], (a * b).sum(axis=1)))
    return turns


def _nodes(turns: Floats) -> Bools:
    """Return at which points a piece may begin: anywhere near corners and on narrow arcs, at every few points else."""
    n = len(turns)
    most = turns.copy()
    for k in range(1, CHORD + 1):
        np.maximum(most, np.maximum(np.roll(turns, k), np.roll(turns, -k)), out=most)
    row = np.arange(n)
    nodes: Bools = (most > SHARP_RAD) | ((most > ROUND_RAD) & (row % 2 == 0)) | (row % APART == 0)
    return nodes


def _between(nodes: Bools, start: int, count: int) -> Ints:
    """Return the nodes from ``start`` on, itself and the point after the last one of so many points among them."""
    some = nodes[(start + np.arange(count)) % len(nodes)]
    some[0] = True
    some[1 - min(LEAST_LINE, count) :] = False  # what is left for the last piece is long enough for one
    return np.append(start + np.flatnonzero(some), start + count)


def _division(sums: Sums, nodes: Ints, noise: float) -> list[Piece]:
    """Return the cheapest division of the points from the first node to before the last one."""
    m = len(nodes) - 1
    least = np.full(m + 1, np.inf)  # cheapest way to have dealt with all before a node, the next piece starting there
    least[0] = 0.0
    best = least.copy()  # the same, a piece ending there
    came: list[tuple[int, int, bool]] = [(0, 0, False)] * (m + 1)
    ends: list[tuple[int, bool]] = [(0, False)] * (m + 1)
    price = LEFT_OUT_PRICE * sums.weight[nodes]
    reach = np.searchsorted(nodes, nodes - SPAN)
    for low in range(1, m + 1, _BLOCK):
        stops = np.arange(low, min(low + _BLOCK, m + 1))
        begins = np.arange(reach[low], stops[-1])
        line, arc = sums.costs(nodes[begins][None, :], nodes[stops][:, None] - 1, noise)
        round_one = arc < line
        cost = np.where(round_one, arc, line)
        for row, stop in enumerate(stops.tolist()):
            total = least[begins] + cost[row]
            k = int(total.argmin())
            best[stop], ends[stop] = total[k], (int(begins[k]), bool(round_one[row, k]))
            for skip in range(min(MOST_LEFT_OUT, stop - 1) + 1):
                value = best[stop - skip] + price[stop] - price[stop - skip]
                if value < least[stop]:
                    least[stop], came[stop] = value, (ends[stop - skip][0], stop - skip, ends[stop - skip][1])
    if not np.isfinite(least[m]):
        return [Piece(int(nodes[0]), int(nodes[m]) - 1, is_arc=False)]
    pieces, at = [], m
    while at > 0:
        first, stop, is_arc = came[at]
        pieces.append(Piece(int(nodes[first]), int(nodes[stop]) - 1, is_arc))
        at = first
    return pieces[::-1]


def _merged(sums: Sums, pieces: list[Piece], noise: float) -> list[Piece]:
    """Return the pieces with neighbours joined wherever one piece explains both more cheaply, the best gain first."""
    n, out = sums.count, list(pieces)
    while len(out) > 1:
        first = np.array([p.first % n for p in out])
        last = first + np.array([p.last - p.first for p in out])
        line, arc = sums.costs(first, last, noise)
        own = np.where([p.is_arc for p in out], arc, line)
        ends = first + (np.roll(last, -1) - first) % n
        short = last - first + np.roll(last - first, -1) < n
        line, arc = sums.costs(first, np.where(short & (ends >= last), ends, first), noise)
        gain = own + np.roll(own, -1) - np.minimum(line, arc)
        gone: set[int] = set()
        for i in np.argsort(-gain, kind="stable").tolist():
            if not gain[i] >= 0.0 or not np.isfinite(line[i] + own[i]):
                break
            j = (i + 1) % len(out)
            if not {i, j, (j + 1) % len(out), i - 1 if i else len(out) - 1} & gone:
                out[i] = Piece(int(first[i]), int(ends[i]), bool(arc[i] < line[i]))
                gone.add(j)
        if not gone:
            break
        out = [p for k, p in enumerate(out) if k not in gone]
    return _unrolled(out, n)


def _unrolled(pieces: list[Piece], count: int) -> list[Piece]:
    """Return the pieces with numbers that rise from the first, which starts within the loop."""
    first = min(pieces, key=lambda p: p.first % count)
    k = pieces.index(first)
    out: list[Piece] = []
    for p in pieces[k:] + pieces[:k]:
        begin, length = p.first % count, p.last - p.first
        while out and begin <= out[-1].last:
            begin += count
        out.append(Piece(begin, begin + length, p.is_arc))
    return out
