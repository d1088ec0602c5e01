"""Short lines along the points of a loop, all the way or where nothing rounder stays near enough."""

from __future__ import annotations

from itertools import groupby, pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.artwork.picture_pieces import LEAST_ARC, LEAST_LINE, Piece
from generator.outline.contour import Contour
from generator.outline.spans import Floats, Ints

Bools = NDArray[np.bool_]
_PLAIN: Final = -1


def simplified(points: Floats, most: float) -> Contour:
    """Return the polygon of those points of a loop without which it would stray by more than ``most``."""
    far = int(((points - points[0]) ** 2).sum(axis=1).argmax())
    closed = np.concatenate([points, points[:1]])
    kept = [*_kept(closed[: far + 1], most)[:-1], *(far + k for k in _kept(closed[far:], most)[:-1])]
    return Contour.of(tuple(points[k].tolist()) for k in kept)


def owners(count: int, pieces: list[Piece]) -> Ints:
    """Return the number of the piece that each point of a loop belongs to; those left out belong to the one before."""
    starts = np.array([p.first % count for p in pieces])
    order = np.argsort(starts)
    return order[np.searchsorted(starts[order], np.arange(count), side="right") - 1]


def with_lines(points: Floats, pieces: list[Piece], where: Bools, most: float) -> list[Piece]:
    """Return the pieces, cut off where short lines take over.

    Args:
        points: of the loop.
        pieces: in order.
        where: the points that the lines follow; not all of them.
        most: how far they may stray from the points.
    """
    n = len(points)
    owner = np.where(where, _PLAIN, owners(n, pieces))
    start = int(np.flatnonzero(where)[-1]) + 1
    rows = start + np.arange(n)
    runs: list[tuple[int, list[int]]] = []
    for k, group in groupby(rows.tolist(), key=lambda i: int(owner[i % n])):
        run = list(group)
        plain = k == _PLAIN or pieces[k].exact or len(run) < (LEAST_ARC if pieces[k].is_arc else LEAST_LINE)
        if plain and runs and runs[-1][0] == _PLAIN:
            runs[-1][1].extend(run)
        else:
            runs.append((_PLAIN if plain else k, run))
    out: list[Piece] = []
    for k, run in runs:
        if k != _PLAIN:
            out.append(Piece(run[0], run[-1], pieces[k].is_arc))
            continue
        ends = [run[0] + j for j in _kept(points[np.arange(run[0], run[-1] + 2) % n], most)]
        out += [Piece(a, b - 1, is_arc=False, exact=True) for a, b in pairwise(ends)]
    return out


def _kept(points: Floats, most: float) -> list[int]:
    """Return which points of an open way to keep, its ends among them.

    Source: D. Douglas, T. Peucker, Algorithms for the reduction of the number of points required to represent a
    digitized line or its caricature, The Canadian Cartographer 10 (2), 1973.
    """
    kept = {0, len(points) - 1}
    runs = [(0, len(points) - 1)]
    while runs:
        a, b = runs.pop()
        if b - a < 2:
            continue
        p, q, between = points[a], points[b], points[a + 1 : b]
        u = (q - p) / max(float(np.hypot(*(q - p))), 1e-12)
        v = between - p
        t = np.clip(v @ u, 0.0, float(np.hypot(*(q - p))))
        off = np.hypot(v[:, 0] - t * u[0], v[:, 1] - t * u[1])
        k = int(off.argmax())
        if off[k] > most:
            kept.add(a + 1 + k)
            runs += [(a, a + 1 + k), (a + 1 + k, b)]
    return sorted(kept)
