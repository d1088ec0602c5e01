"""Chips and burrs: stretches of an edge that lie off every feature, told instead of hidden."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.trace.placing import Placement
from generator.trace.primitives import distance
from generator.trace.tracing import Traced
from generator.trace.unknowns import straightened

Floats = NDArray[np.float64]

LEAST_MM: Final = 0.04
"""Less is no damage: blur of corners and noise make as much."""
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
    """

    number: int
    at: tuple[float, float]
    off: float
    length: float
    points: Floats


def damages(traced: Traced, placement: Placement) -> list[Damage]:
    """Return chips and burrs of the first picture, in the order of their features."""
    solved = traced.solved
    straight = straightened(solved.found.x)
    primitives = solved.primitives
    out = []
    for number, row in enumerate(traced.seen[0].rows()):
        points = row.forwards().points @ straight.T
        own = [i for i, p in enumerate(primitives) if p.loop == number]
        off = np.zeros(len(points))
        nearest = np.zeros(len(points), dtype=np.int64)
        best = np.full(len(points), np.inf)
        for i in own:
            d = distance(primitives[i], points)
            closer = np.abs(d) < best
            best[closer], off[closer], nearest[closer] = np.abs(d)[closer], d[closer], i
        for run in _runs(np.flatnonzero(best > LEAST_MM), len(points)):
            worst = run[int(np.argmax(best[run]))]
            along = float(np.hypot(*np.diff(points[run], axis=0).T).sum()) if len(run) > 1 else 0.0
            out.append(
                Damage(
                    int(nearest[worst]) + 1,
                    placement.point(*points[worst]),
                    float(off[worst]),
                    along,
                    points[run],
                )
            )
    return sorted(out, key=lambda d: (d.number, d.at))


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
