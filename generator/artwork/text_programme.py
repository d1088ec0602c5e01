"""A small linear programme: by how much can a drawing grow and move so that no point of it loses its slack?

Three unknowns: growth of the factor, and the two of the move. The best vertex is found among the planes of the most
pressing points by trying every three of them, for there are few.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations
from typing import Final

import numpy as np

from generator.outline.spans import Floats, Ints

__all__ = ["greatest_step"]

_PLANES: Final = 18
"""Most pressing points that are kept, one for every way in which a point is pushed and lies."""
_SECTORS: Final = 12
_BOUNDS: Final = np.concatenate([np.eye(3), -np.eye(3), np.eye(3)[1:]])
"""Normals of the trusted box; and no move across, no move up: what need not move shall not."""
_ALLOWED: Final = 1e-9
"""By this share of the trusted distance a vertex may miss a plane: rounding."""


def greatest_step(
    slacks: Floats, ways: Floats, points: Floats, trust_mm: float, reach_mm: float, *, centred: bool
) -> tuple[float, float, float]:
    """Return growth of the factor and move (mm) with the greatest growth that keeps the slacks, to first order.

    Args:
        slacks: (n,) of the points now, mm; negative ones are to be mended.
        ways: (n, 2) unit directions in which slacks grow.
        points: (n, 2) at factor 1.
        trust_mm: how far the step may go in each unknown (growth times ``reach_mm``).
        reach_mm: the farthest point from the middle at factor 1.
        centred: no move.
    """
    # a point's slack changes by way · (growth * point + move)
    lever = (ways * points).sum(axis=1) / reach_mm
    rows = _pressing(slacks, ways, lever)
    planes = np.column_stack([lever[rows], ways[rows]])
    limits = slacks[rows]
    if centred:
        return _growth_alone(planes[:, 0], limits, trust_mm) / reach_mm, 0.0, 0.0
    a = np.concatenate([planes, _BOUNDS])
    b = np.concatenate([limits, [trust_mm] * 6, [0.0, 0.0]])
    growth, x, y = _best_vertex(a, b, trust_mm)
    return growth / reach_mm, x, y


def _pressing(slacks: Floats, ways: Floats, lever: Floats) -> Ints:
    """Return the rows of the least slacks, one for every sector of the way and sign of the lever."""
    angle = np.arctan2(ways[:, 1], ways[:, 0])
    sector = np.floor((angle / (2.0 * np.pi) + 0.5) * _SECTORS).astype(np.int64) % _SECTORS
    # along one way the points at both ends press: the lever tells them apart
    label = sector * 8 + np.clip(np.floor((lever + 1.0) * 4.0), 0, 7).astype(np.int64)
    order = np.argsort(slacks, kind="stable")
    _, first = np.unique(label[order], return_index=True)
    is_chosen = np.zeros(len(slacks), bool)
    is_chosen[order[first]] = is_chosen[order[:6]] = True
    kept: Ints = order[is_chosen[order]][:_PLANES]  # in the order of their slacks
    return kept


def _growth_alone(lever: Floats, limits: Floats, trust: float) -> float:
    """Return the greatest growth (mm of reach) with ``lever * growth + limit ≥ 0``; mends what is negative first."""
    with np.errstate(divide="ignore"):
        at = np.where(lever != 0.0, -limits / np.where(lever != 0.0, lever, 1.0), np.nan)
    high = np.where(lever < 0.0, at, np.inf).min()
    return float(np.clip(high, -trust, trust))


@cache
def _triples(count: int) -> tuple[Ints, Ints, Ints]:
    """Return every two of so many rows, every three, and the numbers among the twos of second and third, first and
    third, first and second of the three.
    """
    pairs = list(combinations(range(count), 2))
    number = {pair: k for k, pair in enumerate(pairs)}
    threes = list(combinations(range(count), 3))
    own = [(number[j, k], number[i, k], number[i, j]) for i, j, k in threes]
    return np.array(pairs).T, np.array(threes).T, np.array(own).T


def _best_vertex(a: Floats, b: Floats, trust: float) -> tuple[float, float, float]:
    """Return the point with the greatest first coordinate where ``a v + b ≥ 0``; if there is none, the least bad.

    The last two planes only offer vertices and bound nothing. Of points with the same first coordinate the one that
    moves least is taken.
    """
    (i, j), (first, second, third), (beside, across, along) = _triples(len(b))
    (x, y, z), r = np.ascontiguousarray(a.T), -b
    cross = (y[i] * z[j] - z[i] * y[j], z[i] * x[j] - x[i] * z[j], x[i] * y[j] - y[i] * x[j])
    (cx, cy, cz), farthest = (c[beside] for c in cross), trust * (1.0 + _ALLOWED)
    det = x[first] * cx + y[first] * cy + z[first] * cz
    # planes taken in turn have the normals second x third, third x first, first x second
    growth = r[first] * cx - r[second] * cross[0][across] + r[third] * cross[0][along]
    size = np.abs(det)
    near = np.flatnonzero((size > 1e-9) & (np.abs(growth) <= 1.01 * farthest * size))
    det, limits, others = det[near], (r[first[near]], r[second[near]], r[third[near]]), (across[near], along[near])
    found = [growth[near] / det]
    for c, own in ((cross[1], cy[near]), (cross[2], cz[near])):
        found.append((limits[0] * own - limits[1] * c[others[0]] + limits[2] * c[others[1]]) / det)
    kept = np.flatnonzero(np.maximum(np.maximum(*np.abs(found[:2])), np.abs(found[2])) <= farthest)
    v = np.stack([f[kept] for f in found])
    miss = np.minimum((a[:-2] @ v + b[:-2, None]).min(axis=0), 0.0)
    worst = max(float(miss.max()), -_ALLOWED * trust) if (miss < -_ALLOWED * trust).all() else -_ALLOWED * trust
    growth = np.where(miss >= worst, v[0], -np.inf)
    alike = growth >= growth.max() - _ALLOWED * trust
    k = int(np.where(alike, np.abs(v[1]) + np.abs(v[2]), np.inf).argmin())
    return float(v[0, k]), float(v[1, k]), float(v[2, k])
