"""Damage that cost a feature: a chip taken for one of its own between two pieces of another; a round corner lost in it.

Three neighbours, the middle one short, are one line or arc with damage on it if that is the shorter description:
chi-square of all points from the first to the last, those far off counted as damage, and the price of one feature
instead of three. Between two lines that meet, points left out are an arc that touches both if most of them agree on
one radius.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.trace.misfits import SLACK, deviations, robust_fit
from generator.trace.primitives import ARC, CIRCLE, LINE, Primitive, distance, touching_radius
from generator.trace.runs import LEAST_RADIUS_MM, Loop, Row
from generator.trace.runs_round import runs_round
from generator.trace.segmenting import DAMAGE_POINT, DAMAGE_PRICE, PRICES

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LONGEST_MM: Final = 3.0
"""Damage is shorter (chosen; chips and burrs of simulated parts are up to 2.8 mm long)."""
SOUND: Final = 0.7
"""Of either outer piece so many points lie on the one feature: no piece is all damage."""
CORNER_MM: Final = 8.0
"""A round corner between two lines is no longer, and its radius no larger (six is usual, chosen)."""
LEAST_ON: Final = 4
MOST: Final = 0.6
"""So many of the points of a round corner, and so large a share of them, must agree on one radius."""
HALF: Final = 0.45
MORE: Final = 2
"""In place of an arc that is there so large a share must, and so many more points than lie on that one."""
AT_ONCE: Final = 64
"""Circles whose distances from all points are held at once."""
NEAR: Final = 4.5
"""Standard deviations within which a point lies on it."""


def healed(row: Row, loop: Loop) -> Loop:
    """Return a loop without features that are damage of the one behind them, and with round corners lost in damage.

    Args:
        row: its points.
        loop: the features.
    """
    whole = _circle(row, loop) if row.loop > 0 else None
    if whole is not None:
        return whole
    i = 0
    while len(loop.primitives) > 3 and i < len(loop.primitives):
        one = _one(row, loop, i)
        if one is None:
            i += 1
        else:
            loop, i = _without(loop, i, *one, len(row.points)), 0
    i = 0
    while len(loop.primitives) > 1 and i < len(loop.primitives):
        corner = _round(row, loop, i)
        if corner is not None:
            loop = _with(loop, i, *corner)
            i += 1
        i += 1
    return loop


def _circle(row: Row, loop: Loop) -> Loop | None:
    """Return a hole of several pieces as one circle, where most points lie on it and the rest is as short as damage.

    The circle is that of least median of distances (Rousseeuw 1984) among those through three points a third of the way
    round from each other.
    """
    n = len(row.points)
    kinds = [q.kind for q in loop.primitives]
    if len(kinds) < 2 or n < 3 * LEAST_ON or (len(kinds) == 2 and LINE in kinds):  # two: a hole with a flat
        return None
    every = np.arange(n)
    on = every[_least_median(row.points) < 2.0 * NEAR * row.sigma]
    p = _fit(row, CIRCLE, on) if len(on) >= MOST * n else None
    if p is None or _sound(p, row, every) < MOST:
        return None
    off = distance(p, row.points) / (SLACK * row.sigma)
    runs = runs_round(off > DAMAGE_POINT**0.5) + runs_round(off < -(DAMAGE_POINT**0.5))
    if any(row.length(run) > LONGEST_MM for run in runs):  # a flat or a keyway
        return None
    taken = every[deviations(p, row, every) ** 2 < DAMAGE_POINT]
    return Loop((p,), (taken,), (), np.setdiff1d(every, taken))


def _least_median(points: Floats) -> Floats:
    """Return how far points round a hole lie off the circle of least median among those through three of them, mm."""
    third = len(points) // 3
    a, b, c = (points[k * third : (k + 1) * third] for k in range(3))
    (px, py), (qx, qy) = (b - a).T, (c - a).T
    twice = 2.0 * (px * qy - py * qx)
    with np.errstate(divide="ignore", invalid="ignore"):  # three on a line have none
        x = (qy * (px * px + py * py) - py * (qx * qx + qy * qy)) / twice
        y = (px * (qx * qx + qy * qy) - qx * (px * px + py * py)) / twice
        best, least = np.full(len(points), np.inf), np.inf
        for at in range(0, third, AT_ONCE):  # long holes would take much memory
            some = slice(at, at + AT_ONCE)
            u, v, r = (a[some, 0] + x[some], a[some, 1] + y[some], np.hypot(x[some], y[some]))
            off = np.abs(np.hypot(points[:, 0] - u[:, None], points[:, 1] - v[:, None]) - r[:, None])
            medians = np.nan_to_num(np.median(off, axis=1), nan=np.inf)
            first = int(medians.argmin())
            if medians[first] < least:
                best, least = off[first], float(medians[first])
    return best


def _round(row: Row, loop: Loop, i: int) -> tuple[Primitive, Ints] | None:
    """Return the arc between line number ``i`` and the next one that most points between them lie on, or None.

    An arc that is there already stays unless clearly more points lie on the other.
    """
    n, m = len(row.points), len(loop.primitives)
    there = m > 3 and loop.primitives[(i + 1) % m].kind == ARC
    after = (i + 1 + there) % m
    p, q = loop.primitives[i], loop.primitives[after]
    first, last = int(loop.points[i][-1]), int(loop.points[after][0])
    between = (first + 1 + np.arange((last - first - 1) % n)) % n
    if p.kind != LINE or q.kind != LINE or len(between) < 2 * LEAST_ON or row.length(between) > CORNER_MM:
        return None
    d, e = distance(p, row.points[between]), distance(q, row.points[between])
    best = between[:0]
    for r in _radii(d, e, float(np.cos(p.values[0] - q.values[0]))):
        on = between[np.abs(_off_arc(p, q, r, row.points[between])) < NEAR * row.sigma[between]]
        best = on if len(on) > len(best) else best
    if len(best) < max(LEAST_ON, (HALF if there else MOST) * len(between)):
        return None
    if there:
        now = np.abs(distance(loop.primitives[(i + 1) % m], row.points[between])) < NEAR * row.sigma[between]
        if len(best) < int(now.sum()) + MORE:
            return None
    arc = _fit(row, ARC, best)
    return None if arc is None else (arc, best)


def _radii(d: Floats, e: Floats, cosine: float) -> list[float]:
    """Return for each point the radius of the arc on it that touches two lines from which it is ``d`` and ``e``.

    Negative for a convex corner, where its centre lies in the metal.
    """
    out = []
    for a, b in zip(d, e, strict=True):
        sign = -1.0 if a + b < 0.0 else 1.0  # a hollow corner has its arc outside of both
        radius = touching_radius(abs(float(a)), abs(float(b)), cosine)
        if radius is not None and LEAST_RADIUS_MM < radius < CORNER_MM:
            out.append(sign * radius)
    return out


def _off_arc(p: Primitive, q: Primitive, r: float, points: Floats) -> Floats:
    """Return how far points lie off the arc of a radius that touches two lines; negative for a convex corner."""
    (a, d), (b, e) = p.values, q.values
    centre = np.linalg.solve([[np.cos(a), np.sin(a)], [np.cos(b), np.sin(b)]], [d + r, e + r])
    return np.asarray(np.hypot(*(points - centre).T) - abs(r), dtype=np.float64)


def _with(loop: Loop, i: int, one: Primitive, taken: Ints) -> Loop:
    """Return a loop with an arc after line number ``i``: one more, or in place of the one that is there."""
    k = (i + 1) % len(loop.primitives)
    if loop.primitives[k].kind == ARC:
        left = np.setdiff1d(np.union1d(loop.left_out, loop.points[k]), taken)
        primitives = [one if j == k else p for j, p in enumerate(loop.primitives)]
        points = [taken if j == k else at for j, at in enumerate(loop.points)]
        return Loop(tuple(primitives), tuple(points), loop.near, left)
    return Loop(
        (*loop.primitives[: i + 1], one, *loop.primitives[i + 1 :]),
        (*loop.points[: i + 1], taken, *loop.points[i + 1 :]),
        (*loop.near[: i + 1], *loop.near[i:]),
        np.setdiff1d(loop.left_out, taken),
    )


def _one(row: Row, loop: Loop, i: int) -> tuple[Primitive, Ints] | None:
    """Return the feature that explains three neighbours from number ``i`` on, and its points, or None."""
    n, m = len(row.points), len(loop.primitives)
    a, b, c = ((i + k) % m for k in range(3))
    before, short, after = (loop.points[k] for k in (a, b, c))
    if min(map(len, (before, short, after))) < 2 or row.length(short) > LONGEST_MM:
        return None
    every = (before[0] + np.arange((after[-1] - before[0]) % n + 1)) % n
    now = sum(_cost(loop.primitives[k], row, loop.points[k]) + PRICES[loop.primitives[k].kind] for k in (a, b, c))
    now += _between(row, loop, (a, b, c), every)
    best: tuple[float, Primitive] | None = None
    for kind in sorted({loop.primitives[a].kind, loop.primitives[c].kind}):
        p = _fit(row, kind, np.concatenate([before, after]))
        if p is None or min(_sound(p, row, before), _sound(p, row, after)) < SOUND:
            continue
        cost = _cost(p, row, every) + PRICES[kind] + DAMAGE_PRICE
        if cost < now and (best is None or cost < best[0]):
            best = (cost, p)
    if best is None:
        return None
    return best[1], every[deviations(best[1], row, every) ** 2 < DAMAGE_POINT]


def _between(row: Row, loop: Loop, parts: Sequence[int], every: Ints) -> float:
    """Return what points cost that stand between three neighbours: as near as the nearest of them lets them be."""
    taken = np.concatenate([loop.points[k] for k in parts])
    left = np.setdiff1d(every, taken)
    if not len(left):
        return 0.0
    off = np.min([deviations(loop.primitives[k], row, left) ** 2 for k in parts], axis=0)
    return float(np.minimum(off, DAMAGE_POINT).sum())


def _fit(row: Row, kind: str, at: Ints) -> Primitive | None:
    """Return the line or arc through most of some points, or None."""
    found = robust_fit(row, kind, at)
    return None if found is None else found[0]


def _cost(p: Primitive, row: Row, at: Ints) -> float:
    return float(np.minimum(deviations(p, row, at) ** 2, DAMAGE_POINT).sum())


def _sound(p: Primitive, row: Row, at: Ints) -> float:
    return float((deviations(p, row, at) ** 2 < DAMAGE_POINT).mean())


def _without(loop: Loop, i: int, one: Primitive, taken: Ints, n: int) -> Loop:
    """Return a loop with one feature in place of three neighbours from number ``i`` on."""
    m = len(loop.primitives)
    gone = {(i + 1) % m, (i + 2) % m}
    near = list(loop.near)
    near[i] = loop.near[(i + 2) % m]
    primitives = [one if k == i else p for k, p in enumerate(loop.primitives)]
    points = [taken if k == i else p for k, p in enumerate(loop.points)]
    kept = [k for k in range(m) if k not in gone]
    left = np.setdiff1d(np.arange(n), np.concatenate([points[k] for k in kept]))
    return Loop(tuple(primitives[k] for k in kept), tuple(points[k] for k in kept), tuple(near[k] for k in kept), left)
