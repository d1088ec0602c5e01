"""What is seen behind the plane of a section: edges of the walls that lie beyond it.

For places close by along the plane the nearest wall beyond it is sought in every slab. Between two slabs there is an
edge where their nearest walls lie at different distances; within a slab where the distance jumps. Walls are taken in
facets.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.paper.collisions import track_points
from generator.paper.drawing.section import Plane
from generator.paper.sheet import Track, polyline, tracks_of
from generator.part.part import Slab

__all__ = ["edges_behind"]

Floats = NDArray[np.float64]
PLACES: Final = 400
SAME_MM: Final = 1e-3
JUMP_MM: Final = 0.2
HALVINGS: Final = 14
FAR_MM: Final = 1e6


def edges_behind(slabs: Sequence[Slab], plane: Plane, reach: tuple[float, float]) -> tuple[Track, ...]:
    """Return the edges seen behind a plane: x along it, y the height, mm; none where the plane steps.

    Args:
        slabs: the part's material from the bottom up.
        plane: looked at from below (along x) or from the right (along y).
        reach: from where to where along the plane the part goes.
    """
    out: list[Track] = []
    for run in plane.runs:
        low, high = max(run.start, reach[0] - 1.0), min(run.end, reach[1] + 1.0)
        if high > low:
            walls = [_Walls(slab, plane, run.level) for slab in slabs]
            out += _of_run(slabs, walls, low, high)
    return tuple(out)


class _Walls:
    """The walls of a slab in facets: along the plane, and across it from its level on, away from the eye."""

    def __init__(self, slab: Slab, plane: Plane, level: float) -> None:
        rows = []
        for track in tracks_of(slab.lower):
            p = track_points(track)
            s, across = (p[:, 0], p[:, 1] - level) if plane.along == "x" else (p[:, 1], level - p[:, 0])
            rows.append(np.column_stack((s[:-1], across[:-1], s[1:], across[1:])))
        self._rows = np.vstack(rows) if rows else np.empty((0, 4))

    def distance(self, s: Floats) -> Floats:
        """Return how far behind the plane the nearest material lies; 0 in it, infinite for none."""
        r = self._rows
        out = np.full(len(s), np.inf)
        for k in range(0, len(s), 64):
            part = s[k : k + 64, None]
            across = (r[:, 0] > part) != (r[:, 2] > part)
            with np.errstate(divide="ignore", invalid="ignore"):
                at = r[:, 1] + (part - r[:, 0]) / (r[:, 2] - r[:, 0]) * (r[:, 3] - r[:, 1])
            beyond = across & (at > 0.0)
            nearest = np.where(beyond, at, np.inf).min(axis=1, initial=np.inf)
            out[k : k + 64] = np.where(beyond.sum(axis=1) % 2 == 1, 0.0, nearest)
        return out


def _of_run(slabs: Sequence[Slab], walls: Sequence[_Walls], low: float, high: float) -> list[Track]:
    s = low + (np.arange(PLACES) + 0.5) * (high - low) / PLACES
    near = np.array([w.distance(s) for w in walls])
    jumps = [_jumps(w, s, d) for w, d in zip(walls, near, strict=True)]
    ends = np.unique(np.concatenate([np.array([low, high]), *[np.array([p for p, _ in j]) for j in jumps]]))
    out: list[Track] = []
    heights = [slabs[0].z_from_mm, *(slab.z_to_mm for slab in slabs)]
    nothing = np.full(PLACES, np.inf)
    for k, z in enumerate(heights):
        below = near[k - 1] if k else nothing
        above = near[k] if k < len(slabs) else nothing
        differ = np.abs(_finite(below) - _finite(above)) > SAME_MM
        out += _level(s, differ & (np.minimum(below, above) > 0.0), z, ends)
    for slab, found in zip(slabs, jumps, strict=True):
        out += [polyline((p, slab.z_from_mm), (p, slab.z_to_mm)) for p, is_edge in found if is_edge]
    return out


def _level(s: Floats, shown: NDArray[np.bool_], z: float, ends: Floats) -> list[Track]:
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


def _apart(a: Floats, b: Floats) -> NDArray[np.bool_]:
    """Return where two distances are those of different walls, or one is none."""
    jump: NDArray[np.bool_] = (np.abs(_finite(a) - _finite(b)) > JUMP_MM) | ((a == 0.0) != (b == 0.0))
    return jump


def _finite(d: Floats) -> Floats:
    return np.minimum(d, FAR_MM)
