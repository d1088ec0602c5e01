"""Divide a loop of points into straight and round pieces: as few as explain the points.

Every possible piece costs what its points stray from the best line or circle, in units of the noise, plus a price for
the piece itself; the cheapest division is found by dynamic programming (the principle of minimum description length:
J. Rissanen, Modeling by shortest data description, Automatica 14, 1978). Near corners the points of a picture lie
rounded off; a few of them may be left out there at a small price, so that the corner can be put back.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from generator.outline.spans import Floats, Ints

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
_BLOCK: Final = 64


class Fit(NamedTuple):
    """What fits a run of points best: squared strays of line and circle, the circle's centre and radius; pixels."""

    line: Floats
    arc: Floats
    cx: Floats
    cy: Floats
    radius: Floats


@dataclass(frozen=True)
class Piece:
    """Points ``first`` to ``last`` (counted on past the end of the loop) lie on a line or an arc."""

    first: int
    last: int
    is_arc: bool


class Sums:
    """Running sums of a loop that is walked twice, from which the fit of any run of points follows at once."""

    def __init__(self, points: Floats, weights: Floats | None = None) -> None:
        self.count = len(points)
        self.weights = np.ones(len(points)) if weights is None else weights
        self.origin = points.mean(axis=0)
        p = np.concatenate([points, points]) - self.origin
        x, y = p[:, 0], p[:, 1]
        z = x * x + y * y
        rows = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y, z, z * x, z * y, z * z])
        rows *= np.concatenate([self.weights, self.weights])
        self.sums = np.concatenate([np.zeros((10, 1)), np.cumsum(rows, axis=1)], axis=1)

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


def divide(points: Floats, noise: float, weights: Floats) -> list[Piece]:
    """Return the pieces of a closed loop in order; the first starts in the loop, the last may end past its end.

    Args:
        points: at least ``LEAST_ARC``, in order.
        noise: how far points stray from the true outline, standard deviation, pixels.
        weights: how much each point counts, usually 1.
    """
    n, sums = len(points), Sums(points, weights)
    # somewhere first; then again from a place where pieces part
    start = int(np.hypot(*(points - points.mean(axis=0)).T).argmax())
    start = _division(sums, start, noise)[0].last % n
    pieces = _division(sums, (start + 1) % n, noise)
    return _merged(sums, pieces, noise)


def _division(sums: Sums, start: int, noise: float) -> list[Piece]:
    """Return the cheapest division of the loop that starts a piece at ``start``."""
    n = sums.count
    least = np.full(n + 1, np.inf)  # cheapest way to have dealt with so many points, the next piece starting there
    least[0] = 0.0
    weight = np.concatenate([[0.0], np.cumsum(np.roll(sums.weights, -start))])
    came: list[tuple[int, int, bool]] = [(0, 0, False)] * (n + 1)
    best = np.full(n + 1, np.inf)  # the same, a piece ending there
    ends: list[tuple[int, bool]] = [(0, False)] * (n + 1)
    for low in range(1, n + 1, _BLOCK):
        stops = np.arange(low, min(low + _BLOCK, n + 1))
        begins = np.arange(max(0, low - SPAN), stops[-1])
        firsts, lasts = np.meshgrid(begins, stops - 1)
        line, arc = sums.costs(start + firsts, start + np.maximum(lasts, firsts), noise)
        cost = np.where(lasts < firsts, np.inf, np.minimum(line, arc))
        for row, stop in enumerate(stops.tolist()):
            total = least[begins] + cost[row]
            k = int(total.argmin())
            best[stop], ends[stop] = total[k], (int(begins[k]), bool(arc[row, k] < line[row, k]))
            for skip in range(min(MOST_LEFT_OUT, stop - 1) + 1):
                value = best[stop - skip] + LEFT_OUT_PRICE * (weight[stop] - weight[stop - skip])
                if value < least[stop]:
                    least[stop], came[stop] = value, (ends[stop - skip][0], stop - skip, ends[stop - skip][1])
    pieces, at = [], n
    while at > 0:
        first, stop, is_arc = came[at]
        if stop == 0:
            break
        pieces.append(Piece(start + first, start + stop - 1, is_arc))
        at = first
    return pieces[::-1]


def _merged(sums: Sums, pieces: list[Piece], noise: float) -> list[Piece]:
    """Return the pieces with neighbours joined wherever one piece explains both more cheaply."""
    out = list(pieces)
    changed = True
    while changed and len(out) > 1:
        changed = False
        for i in range(len(out)):
            a, b = out[i], out[(i + 1) % len(out)]
            last = a.last + (b.last - a.last) % sums.count
            if last - a.first >= sums.count:
                continue
            joined = _cheapest(sums, a.first, last, noise)
            apart = _cost(sums, a, noise) + _cost(sums, b, noise)
            if joined[0] <= apart:
                out[i] = Piece(a.first, last, joined[1])
                del out[(i + 1) % len(out)]
                changed = True
                break
    return _unrolled(out, sums.count)


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


def _cheapest(sums: Sums, first: int, last: int, noise: float) -> tuple[float, bool]:
    line, arc = _pair(sums, first, last, noise)
    return min(line, arc), arc < line


def _cost(sums: Sums, piece: Piece, noise: float) -> float:
    line, arc = _pair(sums, piece.first, piece.last, noise)
    return arc if piece.is_arc else line


def _pair(sums: Sums, first: int, last: int, noise: float) -> tuple[float, float]:
    begin = first % sums.count
    line, arc = sums.costs(np.array([begin]), np.array([begin + last - first]), noise)
    return float(line[0]), float(arc[0])
