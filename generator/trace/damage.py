"""Chips and burrs: stretches of an edge that lie off every feature, told instead of hidden."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.trace.footprint import Footprint
from generator.trace.nearest import nearest
from generator.trace.primitives import distance
from generator.trace.tracing import Traced
from generator.trace.unknowns import straightened

Floats = NDArray[np.float64]

LEAST_MM: Final = 0.04
"""Less is no damage: blur of corners and noise make as much."""
ALONE_MM: Final = 0.12
"""A single place that is off by less is the blur of a corner."""
GAP: Final = 3
"""Points between two stretches that are told as one."""


@frozen_record(eq=False)
class Damage:
    """One chip or burr.

    Attributes:
        number: of the feature that is damaged there.
        at: its middle in the footprint's frame, mm.
        off: how far the edge is off the feature at most: positive for a burr, negative for a chip, mm.
        length: of the stretch, mm.
        points: its places in the first picture's frame, mm by the true scale, shape (n, 2).
        normals: away from the material there.
    """

    number: int
    at: tuple[float, float]
    off: float
    length: float
    points: Floats
    normals: Floats


def damages(traced: Traced, footprint: Footprint) -> list[Damage]:
    """Return chips and burrs of the first picture, in the order of their features."""
    solved = traced.solved
    straight = straightened(solved.found.x)
    primitives = solved.primitives
    out = []
    given_up = _given_up(traced)
    along = footprint.along
    for number, row in enumerate(traced.seen[0].rows()):
        forwards = row.forwards()
        points, normals = forwards.seen(solved.found.x) @ straight.T, forwards.normals
        owner = along.of[nearest(points, along.at)[1]]
        off = np.zeros(len(points))
        for i in np.unique(owner):
            off[owner == i] = distance(primitives[i], points[owner == i])
            # what all of an edge is seen too far out is no damage
            off[owner == i] -= np.median(off[owner == i])
        for run in _runs(np.flatnonzero(given_up[number] & (np.abs(off) > LEAST_MM)), len(points)):
            worst = run[int(np.argmax(np.abs(off[run])))]
            if len(run) == 1 and abs(off[worst]) < ALONE_MM:
                continue
            length = float(np.hypot(*np.diff(points[run], axis=0).T).sum())
            at = footprint.placement.point(*points[worst])
            out.append(Damage(int(owner[worst]) + 1, at, float(off[worst]), length, points[run], normals[run]))
    return sorted(out, key=lambda d: (d.number, d.at))


def _given_up(traced: Traced) -> list[NDArray[np.bool_]]:
    """Return for every loop of the first picture which of its points lie on no feature or did not count."""
    weight = traced.solved.found.weight
    out, at = [], 0
    for loop in traced.solved.layout.loops:
        flags = np.zeros(len(loop.left_out) + sum(map(len, loop.points)), dtype=bool)
        flags[loop.left_out] = True
        for taken in loop.points:
            flags[taken] = weight[at : at + len(taken)] <= 0.0
            at += len(taken)
        out.append(flags)
    return out


def _runs(at: NDArray[np.int64], n: int) -> list[NDArray[np.int64]]:
    """Return indices in stretches, round the loop."""
    if not len(at):
        return []
    runs = np.split(at, 1 + np.flatnonzero(np.diff(at) > GAP))
    if len(runs) > 1 and at[0] + n - at[-1] <= GAP:
        runs = [np.concatenate([runs[-1], runs[0]]), *runs[1:-1]]
    return runs


def damage_words(d: Damage) -> str:
    """Return a sentence on a chip or burr."""
    kind = "burr" if d.off > 0.0 else "chip"
    return (
        f"{kind} on feature {d.number} at ({d.at[0]:.1f}, {d.at[1]:.1f}): {abs(d.off):.2f} mm, some "
        f"{max(d.length, 0.1):.1f} mm long; the footprint is drawn as if it were whole"
    )
