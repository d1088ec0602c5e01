"""The longest biarcs that follow runs of smooth curves, one after another, for all runs at once.

Terminology. A *run* is a chain of cubic curves that meet smoothly. A *knot* is one of many points along it where a
biarc may begin or end. For every knot the farthest one that a single biarc reaches within tolerance is found, all
of them together by halving. Stepping from farthest to farthest then takes the fewest biarcs from the run's start on.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from generator.artwork.text_biarcs import FEW_REACHES, best_biarcs
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Vertex
from generator.outline.spans import Floats, Ints

__all__ = ["cubic_points", "longest_biarcs"]

_SAMPLES_A_CURVE: Final = 12
_STRIDE: Final = 3
"""Every so many samples are a knot."""
_LOOKED_AT: Final = 13
"""Samples of a piece while its length is sought."""
_PROVEN_AT: Final = 25
"""Samples of a piece that is kept."""
_LONGEST: Final = 32
"""Knots that one biarc passes at most."""
_ROUNDS: Final = 40


def cubic_points(controls: Floats, count: int) -> Floats:
    """Return (n, count, 2) points at even parameters of cubic curves (n, 4, 2)."""
    t = np.linspace(0.0, 1.0, count)
    s = 1.0 - t
    basis = np.stack([s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t], axis=1)
    points: Floats = np.einsum("kc,ncd->nkd", basis, controls)
    return points


@frozen_record(eq=False)
class _Samples:
    """Samples of all runs, one run after the other, the end of each included.

    Attributes:
        points: (n, 2).
        ways: (n, 2) unit directions.
        first: number of each run's first sample; one more entry for the end of all.
    """

    points: Floats
    ways: Floats
    first: Ints

    def between(self, low: Ints, high: Ints, count: int) -> Floats:
        """Return (rows, count, 2) samples from low to high, both included."""
        share = np.linspace(0.0, 1.0, count)
        return self.points[low[:, None] + np.rint(share * (high - low)[:, None]).astype(np.int64)]


def longest_biarcs(controls: Floats, start: Floats, end: Floats, run: Ints, tol_mm: float) -> list[list[Vertex]]:
    """Return the vertices of each run: starts of arcs with their bulges, the run's end not among them.

    Args:
        controls: (n, 4, 2) control points, the curves of a run together in its order; a biarc follows each.
        start: (n, 2) unit directions at their starts.
        end: (n, 2) unit directions at their ends.
        run: (n,) number of the run.
        tol_mm: greatest distance between samples of the curves and the arcs.
    """
    samples = _sampled(controls, start, end, run)
    farthest = _farthest(samples, tol_mm)
    for _ in range(_ROUNDS):
        low, high, owner = _stepped(samples, farthest)
        found = best_biarcs(samples.between(low, high, _PROVEN_AT), samples.ways[low], samples.ways[high])
        bad = (found.deviation > tol_mm) & (high - low > _STRIDE)
        if not bad.any():
            break
        farthest[low[bad]] = high[bad] - _STRIDE
    out: list[list[Vertex]] = [[] for _ in range(len(samples.first) - 1)]
    rows = zip(
        owner.tolist(),
        samples.points[low].tolist(),
        found.joint.tolist(),
        found.bulges.tolist(),
        np.isfinite(found.deviation).tolist(),
        strict=True,
    )
    for number, p, joint, bulges, curved in rows:
        out[number].append(Vertex(p[0], p[1], bulges[0] if curved else 0.0))
        if curved:
            out[number].append(Vertex(joint[0], joint[1], bulges[1]))
    return out


def _sampled(controls: Floats, start: Floats, end: Floats, run: Ints) -> _Samples:
    n = _SAMPLES_A_CURVE
    points = cubic_points(controls, n + 1)
    ways = np.diff(points, axis=1, append=points[:, -1:])
    t = np.linspace(0.0, 1.0, n + 1)[None, :, None]
    c = np.diff(controls, axis=1)[:, :, None]
    slope = (1 - t) ** 2 * c[:, 0] + 2 * t * (1 - t) * c[:, 1] + t * t * c[:, 2]
    flat = np.hypot(slope[..., 0], slope[..., 1]) <= 1e-9 * np.abs(c).max(axis=(1, 2, 3))[:, None]
    ways = np.where(flat[..., None], ways, slope)
    ways /= np.hypot(ways[..., 0], ways[..., 1]).clip(1e-300)[..., None]
    ways[:, 0], ways[:, -1] = start, end
    # every curve gives its samples but the last, a run's last curve that as well
    is_last = np.diff(run, append=-1) != 0
    keep = np.ones((len(run), n + 1), bool)
    keep[:, -1] = is_last
    counts = np.bincount(run) * n + 1
    return _Samples(points[keep], ways[keep], np.concatenate([[0], np.cumsum(counts)]))


def _farthest(samples: _Samples, tol_mm: float) -> Ints:
    """Return for every sample that is a knot the farthest knot of its run that one biarc reaches."""
    run = np.repeat(np.arange(len(samples.first) - 1), np.diff(samples.first))
    at = np.arange(len(run))
    stop = samples.first[run + 1] - 1
    knots = np.flatnonzero(((at - samples.first[run]) % _STRIDE == 0) & (at < stop))
    least = np.ones(len(knots), np.int64)
    most = np.minimum((stop[knots] - knots) // _STRIDE, _LONGEST)
    while (rows := np.flatnonzero(least < most)).size:
        trial = (least[rows] + most[rows] + 1) // 2
        low, high = knots[rows], knots[rows] + trial * _STRIDE
        points = samples.between(low, high, _LOOKED_AT)
        off = best_biarcs(points, samples.ways[low], samples.ways[high], reaches=FEW_REACHES).deviation
        good = off <= tol_mm
        least[rows[good]] = trial[good]
        most[rows[~good]] = trial[~good] - 1
    farthest = at + _STRIDE
    farthest[knots] = knots + least * _STRIDE
    return farthest


def _stepped(samples: _Samples, farthest: Ints) -> tuple[Ints, Ints, Ints]:
    """Return start and end of every piece, and the number of its run."""
    low, high, owner = [], [], []
    reach = farthest.tolist()
    for number, (first, after) in enumerate(zip(samples.first[:-1].tolist(), samples.first[1:].tolist(), strict=True)):
        k = first
        while k < after - 1:
            low.append(k)
            owner.append(number)
            k = min(reach[k], after - 1)
            high.append(k)
    return np.array(low), np.array(high), np.array(owner)
