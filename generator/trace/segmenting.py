"""The fewest lines and arcs that explain an edge within its noise, by dynamic programming over a closed row of points.

A run of points costs its squared misfit in units of the noise and the price of one more primitive (minimum description
length, Rissanen 1978: what a primitive saves must pay for writing it down). Chips and burrs are runs of neither kind:
they cost a fixed misfit for each point. The best cuts are those of least cost (Bellman 1961).
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

LINE, ARC, DAMAGE, CORNER = KINDS = ("line", "arc", "damage", "corner")
LINE_PRICE: Final = 26.0
"""Chi-square that a line must save (measured on scans with known outlines)."""
ARC_PRICE: Final = 34.0
PRICES: Final = {LINE: LINE_PRICE, ARC: ARC_PRICE}
DAMAGE_PRICE: Final = 22.0
DAMAGE_POINT: Final = 9.0
"""Chi-square of each point of a damaged run: three standard deviations."""
DAMAGE_MOST_MM: Final = 7.0
CORNER_PRICE: Final = 14.0
CORNER_POINT: Final = 2.0
CORNER_MOST_MM: Final = 1.3
"""Round a sharp corner blur leaves this much that is neither of its edges."""
FLATTEST_MM: Final = 2000.0
"""An arc of a larger radius is a line."""
_MOMENTS: Final = 10
_BLOCK: Final = 24
"""So many ends of runs are priced at once."""


class Run(NamedTuple):
    """Points ``first`` to ``last`` (both taken, round the end if last < first) that one primitive explains."""

    kind: str
    first: int
    last: int

    def indices(self, n: int) -> NDArray[np.int64]:
        """Return the indices of its points among n."""
        count = (self.last - self.first) % n + 1
        return (self.first + np.arange(count)) % n


def segment(points: Floats, sigma: Floats) -> list[Run]:
    """Return the runs of a closed row of points.

    Args:
        points: shape (n, 2), mm.
        sigma: standard deviation of each across the edge, mm, shape (n,).
    """
    n = len(points)
    turn = 0
    runs: list[Run] = []
    sure: set[int] = set()
    for _ in range(3):
        order = (turn + np.arange(n)) % n
        open_runs = _open(points[order], sigma[order])
        runs = [Run(r.kind, (r.first + turn) % n, (r.last + turn) % n) for r in open_runs]
        if len(runs) < 2 or (sure and sure <= {r.first for r in runs}):
            break  # begun at a cut that was found before, all others are found again
        # begin again at a cut that is surely one: the one nearest to the far side of the start
        firsts = [r.first for r in open_runs[1:]]
        sure = {(f + turn) % n for f in firsts}
        turn = (turn + min(firsts, key=lambda f: abs(f - n // 2))) % n
    return runs


def noise(points: Floats, across: Floats) -> float:
    """Return the noise of a closed row of points across the edge, mm: how far each lies from its neighbours' curve.

    Robust (1.4826 times the median of absolute deviations) against corners and damage; the second difference of
    independent values of deviation s deviates by ``s √6``; a fourth one, which smooth arcs leave alone, by ``s √70``.
    """
    p = points - points.mean(axis=0)
    fourth = np.roll(p, 2, 0) - 4 * np.roll(p, 1, 0) + 6 * p - 4 * np.roll(p, -1, 0) + np.roll(p, -2, 0)
    along = np.abs((fourth * across).sum(axis=1)) / 70.0**0.5
    return 1.4826 * float(np.median(along))


def _open(points: Floats, sigma: Floats) -> list[Run]:
    n = len(points)
    origin = points.mean(axis=0)
    x, y = (points - origin).T
    z = x * x + y * y
    w = 1.0 / sigma**2
    rows = np.stack([w, w * x, w * y, w * x * x, w * x * y, w * y * y, w * x * z, w * y * z, w * z, w * z * z])
    sums = np.concatenate([np.zeros((_MOMENTS, 1)), np.cumsum(rows, axis=1)], axis=1)
    length = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    best = np.full(n + 1, np.inf)
    best[0] = 0.0
    ended = best.copy()  # the same where the last run is a line or an arc: what is neither stands between two of these
    last = [Run(LINE, 0, 0)] * (n + 1)
    last_ended = last.copy()
    for first in range(1, n + 1, _BLOCK):
        ends = np.arange(first, min(first + _BLOCK, n + 1))
        price, kind = _prices(sums, length, ends)
        for k, end in enumerate(ends.tolist()):
            options = price[:, k, :end] + np.stack([best[:end], ended[:end]])
            at = int(np.argmin(options[0]))
            ended[end], last_ended[end] = options[0, at], Run(KINDS[kind[0, k, at]], at, end - 1)
            which, at = divmod(int(np.argmin(options)), end)
            best[end], last[end] = options[which, at], Run(KINDS[kind[which, k, at]], at, end - 1)
    runs: list[Run] = []
    end = n
    while end > 0:
        neither = bool(runs) and runs[-1].kind in (DAMAGE, CORNER)
        runs.append(last_ended[end] if neither else last[end])
        end = runs[-1].first
    return runs[::-1]


def _prices(sums: Floats, length: Floats, ends: NDArray[np.int64]) -> tuple[Floats, NDArray[np.int64]]:
    """Return the least prices of runs from every start up to some ends, and the kinds that have them.

    Both have shape (2, ends, starts): lines and arcs first, then what is neither.
    """
    start = np.arange(0, ends[-1])
    count = np.maximum(ends[:, None] - start, 0)
    moments = sums[:, ends][:, :, None] - sums[:, None, : len(start)]
    line, arc = _misfits(np.where(count > 0, moments, 1.0), count)
    far = length[ends - 1][:, None] - length[start]
    damage = np.where(far > DAMAGE_MOST_MM, np.inf, DAMAGE_PRICE + DAMAGE_POINT * count)
    corner = np.where(far > CORNER_MOST_MM, np.inf, CORNER_PRICE + CORNER_POINT * count)
    pairs = ((LINE_PRICE + line, ARC_PRICE + arc), (damage, corner))
    price = np.stack([np.minimum(*pair) for pair in pairs])
    kind = np.stack([2 * i + (other < one) for i, (one, other) in enumerate(pairs)])
    return price, kind


def _misfits(m: Floats, count: NDArray[np.int64]) -> tuple[Floats, Floats]:
    """Return chi-square of the best line and of the best arc for sums of moments, shape (10, …), weights included."""
    w = np.maximum(m[0], 1e-300)
    mx, my = m[1] / w, m[2] / w
    sxx = np.maximum(m[3] - w * mx * mx, 0.0)
    sxy = m[4] - w * mx * my
    syy = np.maximum(m[5] - w * my * my, 0.0)
    mid, half = 0.5 * (sxx + syy), np.hypot(0.5 * (sxx - syy), sxy)
    line = np.maximum(mid - half, 0.0)
    # algebraic circle (Kasa 1976) about the mean: minimise sum w (z' - 2 a x' - 2 b y' - c)^2
    r2 = mx * mx + my * my
    sxz = m[6] - mx * m[8] - 2.0 * mx * sxx - 2.0 * my * sxy
    syz = m[7] - my * m[8] - 2.0 * mx * sxy - 2.0 * my * syy
    # variance of z' = z - 2 mx x - 2 my y + r2
    mean_z = m[8] / w
    szz = (
        (m[9] - w * mean_z * mean_z)
        + 4.0 * (mx * mx * sxx + 2.0 * mx * my * sxy + my * my * syy)
        - 4.0 * (mx * (m[6] - mx * m[8]) + my * (m[7] - my * m[8]))
    )
    det = sxx * syy - sxy * sxy
    safe = np.where(det > 1e-12 * np.maximum(mid * mid, 1e-300), det, np.inf)
    a = 0.5 * (syy * sxz - sxy * syz) / safe
    b = 0.5 * (sxx * syz - sxy * sxz) / safe
    radius2 = a * a + b * b + mean_z - r2
    rest = szz - 2.0 * (a * sxz + b * syz)
    arc = np.maximum(rest, 0.0) / np.maximum(4.0 * radius2, 1e-9)
    usable = np.isfinite(safe) & (radius2 < FLATTEST_MM**2) & (radius2 > 0.0) & (count >= 4)
    return np.where(count >= 2, line, np.inf), np.where(usable, arc, np.inf)
