"""What is seen behind the plane of a section: edges of the walls that lie beyond it.

For places close by along the plane the nearest wall beyond it is sought at both heights of every slab. Between two
slabs there is an edge where their nearest walls lie at different distances, and where a wall changes its slope; within
a slab where the distance jumps: upright, or along a slope from its place at the lower to that at the upper height.
Walls are taken in facets.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.outline.contour import Contour
from generator.paper.collisions import track_points
from generator.paper.drawing.section import Plane
from generator.paper.sheet import Track, polyline
from generator.part.part import Slab

__all__ = ["edges_behind"]

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Key = frozenset[tuple[float, float]]
PLACES: Final = 400
SAME_MM: Final = 1e-3
JUMP_MM: Final = 0.2
HALVINGS: Final = 14
FAR_MM: Final = 1e6
SLOPE: Final = 2.0
"""Slopes go along by so many times their height at most: a countersink of 120 degrees by 1.73."""
DIGITS: Final = 6


def edges_behind(slabs: Sequence[Slab], plane: Plane, reach: tuple[float, float]) -> tuple[Track, ...]:
    """Return the edges seen behind a plane: x along it, y the height, mm; none where the plane steps.

    Args:
        slabs: the part's material from the bottom up.
        plane: looked at from below (along x) or from the right (along y).
        reach: from where to where along the plane the part goes.
    """
    bends = _bends(slabs)
    out: list[Track] = []
    for run in plane.runs:
        low, high = max(run.start, reach[0] - 1.0), min(run.end, reach[1] + 1.0)
        if high > low:
            sides = [_Sides.of(slab, plane, run.level, ends) for slab, ends in zip(slabs, pairwise(bends), strict=True)]
            out += _of_run(slabs, sides, low, high)
    return tuple(out)


def _bends(slabs: Sequence[Slab]) -> list[frozenset[Key]]:
    """Return the contours at which an upright wall goes over into a sloping one: under each slab, and over the last."""
    out: list[frozenset[Key]] = [frozenset()]
    for below, above in pairwise(slabs):
        found: set[Key] = set()
        for straight in (True, False):
            ends = {_same(w.upper) for w in below.walls if w.is_straight is straight}
            found |= ends & {_same(w.lower) for w in above.walls if w.is_straight is not straight}
        out.append(frozenset(found))
    return [*out, frozenset()]


def _same(contour: Contour) -> Key:
    """Return what is the same for a contour wherever it begins and however it is travelled."""
    return frozenset((round(v.x, DIGITS) + 0.0, round(v.y, DIGITS) + 0.0) for v in contour.vertices)


class _Walls:
    """Walls at one height in facets: along the plane, and across it from its level on, away from the eye."""

    def __init__(self, contours: Sequence[Contour], plane: Plane, level: float, bends: frozenset[Key]) -> None:
        rows, bent = [np.empty((0, 4))], [np.empty(0, dtype=bool)]
        for contour in contours:
            p = track_points(Track(contour.vertices, True))
            s, across = (p[:, 0], p[:, 1] - level) if plane.along == "x" else (p[:, 1], level - p[:, 0])
            rows.append(np.column_stack((s[:-1], across[:-1], s[1:], across[1:])))
            bent.append(np.full(len(p) - 1, _same(contour) in bends))
        self._rows, self._bent = np.vstack(rows), np.concatenate(bent)

    def seen(self, s: Floats) -> tuple[Floats, Flags]:
        """Return how far behind the plane the nearest material lies (0 in it, infinite for none), and if it bends."""
        r = self._rows
        out, bent = np.full(len(s), np.inf), np.zeros(len(s), dtype=bool)
        if not len(r):
            return out, bent
        for k in range(0, len(s), 64):
            part = s[k : k + 64, None]
            across = (r[:, 0] > part) != (r[:, 2] > part)
            with np.errstate(divide="ignore", invalid="ignore"):
                at = r[:, 1] + (part - r[:, 0]) / (r[:, 2] - r[:, 0]) * (r[:, 3] - r[:, 1])
            beyond = across & (at > 0.0)
            far = np.where(beyond, at, np.inf)
            first = far.argmin(axis=1)
            bent[k : k + 64] = self._bent[first]
            out[k : k + 64] = np.where(beyond.sum(axis=1) % 2 == 1, 0.0, far[np.arange(len(first)), first])
        return out, bent & np.isfinite(out)

    def distance(self, s: Floats) -> Floats:
        """Return how far behind the plane the nearest material lies; 0 in it, infinite for none."""
        return self.seen(s)[0]


class _Sides:
    """The walls of a slab at its lower and at its upper height."""

    def __init__(self, slab: Slab, low: _Walls, high: _Walls) -> None:
        self.slab, self.low, self.high = slab, low, high

    @classmethod
    def of(cls, slab: Slab, plane: Plane, level: float, bends: tuple[frozenset[Key], frozenset[Key]]) -> _Sides:
        """Return the walls of a slab as seen from a plane's level; contours that bend at its lower and upper height."""
        low = _Walls([w.lower for w in slab.walls], plane, level, bends[0])
        if all(w.is_straight for w in slab.walls):
            upright = low if bends[0] == bends[1] else _Walls([w.lower for w in slab.walls], plane, level, bends[1])
            return cls(slab, low, upright)
        return cls(slab, low, _Walls([w.upper for w in slab.walls], plane, level, bends[1]))


def _of_run(slabs: Sequence[Slab], sides: Sequence[_Sides], low: float, high: float) -> list[Track]:
    s = low + (np.arange(PLACES) + 0.5) * (high - low) / PLACES
    lower = [one.low.seen(s) for one in sides]
    upper = [one.high.seen(s) if one.high is not one.low else at for one, at in zip(sides, lower, strict=True)]
    jumps = [
        (_jumps(one.low, s, a), _jumps(one.high, s, b)) for one, (a, _), (b, _) in zip(sides, lower, upper, strict=True)
    ]
    ends = np.unique([low, high, *(p for pair in jumps for found in pair for p, _ in found)])
    out: list[Track] = []
    nothing = np.full(PLACES, np.inf), np.zeros(PLACES, dtype=bool)
    for k, z in enumerate([slabs[0].z_from_mm, *(slab.z_to_mm for slab in slabs)]):
        below, bend_below = upper[k - 1] if k else nothing
        above, bend_above = lower[k] if k < len(slabs) else nothing
        differ = np.abs(_finite(below) - _finite(above)) > SAME_MM
        out += _level(s, (differ | (bend_below & bend_above)) & (np.minimum(below, above) > 0.0), z, ends)
    for slab, (at_low, at_high) in zip(slabs, jumps, strict=True):
        out += _within(slab, [p for p, is_edge in at_low if is_edge], [p for p, is_edge in at_high if is_edge])
    return out


def _within(slab: Slab, low: Sequence[float], high: Sequence[float]) -> Iterator[Track]:
    """Yield the edges from the lower to the upper height of a slab; each ends at the nearest of the other height."""
    left = list(high)
    for p in low:
        q = min(left, key=lambda other: abs(other - p), default=None)
        if q is not None and abs(q - p) <= SLOPE * (slab.z_to_mm - slab.z_from_mm):
            left.remove(q)
            yield polyline((p, slab.z_from_mm), (q, slab.z_to_mm))


def _level(s: Floats, shown: Flags, z: float, ends: Floats) -> list[Track]:
    """Return level lines where an edge is seen; they end at the jump of a wall that is near."""
    flags = np.concatenate(([False], shown, [False]))
    starts, stops = np.flatnonzero(flags[1:] & ~flags[:-1]), np.flatnonzero(~flags[1:] & flags[:-1])
    step = float(s[1] - s[0])

    def end(value: float) -> float:
        nearest = float(ends[np.abs(ends - value).argmin()])
        return nearest if abs(nearest - value) < step else value

    return [
        polyline((end(float(s[a]) - step / 2.0), z), (end(float(s[b - 1]) + step / 2.0), z))
        for a, b in zip(starts, stops, strict=True)
    ]


def _jumps(walls: _Walls, s: Floats, d: Floats) -> list[tuple[float, bool]]:
    """Return where the distance jumps, and whether that is an edge which is seen: nothing of it lies in the plane."""
    k = np.flatnonzero(_apart(d[:-1], d[1:]))
    left, right, a, b = s[k].copy(), s[k + 1].copy(), d[k].copy(), d[k + 1].copy()
    for _ in range(HALVINGS if len(k) else 0):
        middle = (left + right) / 2.0
        m = walls.distance(middle)
        nearer = np.abs(_finite(m) - _finite(a)) <= np.abs(_finite(m) - _finite(b))
        left, a = np.where(nearer, middle, left), np.where(nearer, m, a)
        right, b = np.where(nearer, right, middle), np.where(nearer, b, m)
    still = _apart(a, b)
    seen = np.minimum(a, b) > 0.0
    return list(zip(((left + right) / 2.0)[still].tolist(), seen[still].tolist(), strict=True))


def _apart(a: Floats, b: Floats) -> Flags:
    """Return where two distances are those of different walls, or one is none."""
    jump: Flags = (np.abs(_finite(a) - _finite(b)) > JUMP_MM) | ((a == 0.0) != (b == 0.0))
    return jump


def _finite(d: Floats) -> Floats:
    return np.minimum(d, FAR_MM)
