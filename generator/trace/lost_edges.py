"""Edges lost in their shadow, told instead of hidden: what lies beside them is no brighter than the material."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.trace.doubts import COVERAGE
from generator.trace.footprint import Footprint
from generator.trace.nearest import nearest
from generator.trace.tracing import Seen, Traced
from generator.trace.unknowns import straightened

Floats = NDArray[np.float64]

GAP_MM: Final = 0.05
"""A shadow that hides less than this beside an edge, or less than its blur, leaves the edge seen (chosen)."""
LEAST_MM: Final = 1.5
"""Shorter stretches are dust or the blur of a corner."""


@frozen_record(eq=False)
class Lost:
    """A feature with edge lost in its shadow.

    Attributes:
        number: of the feature.
        at: middle of what is lost of it, in the footprint's frame, mm.
        length: of what is lost, mm.
        gap: how far beyond the edge the shadow is no brighter than the material, median, mm.
        doubt: 95 % uncertainty of the feature's edge, mm.
        points: places of the stretches in the first picture's frame, mm by the true scale, shape (n, 2).
        normals: away from the material there.
    """

    number: int
    at: tuple[float, float]
    length: float
    gap: float
    doubt: float
    points: Floats
    normals: Floats


def lost_edges(traced: Traced, footprint: Footprint) -> list[Lost]:
    """Return the features whose edges are lost in the first picture's shadow, in the order of their numbers."""
    seen = traced.seen[0]
    straight = straightened(traced.solved.found.x)
    parts: dict[int, list[tuple[Floats, Floats, float, float]]] = {}
    for row, stretches in zip(seen.rows(), seen.loops, strict=True):
        if stretches.unclear_px is None:
            continue
        points = row.points @ straight.T
        step = np.hypot(*(points - np.roll(points, 1, axis=0)).T)
        gap = stretches.unclear_px * float(np.mean(seen.mm_per_px))
        on = footprint.along.of[nearest(points, footprint.along.at)[1]]
        for i in np.flatnonzero(gap > least_gap(seen)):
            parts.setdefault(int(on[i]), []).append((points[i], row.normals[i], float(step[i]), float(gap[i])))
    out = []
    for of, found in sorted(parts.items()):
        length = sum(p[2] for p in found)
        if length < LEAST_MM:
            continue
        points, normals = np.array([p[0] for p in found]), np.array([p[1] for p in found])
        doubt = COVERAGE * footprint.feature(of + 1).doubt.edge
        at = footprint.placement.point(*points[len(points) // 2])
        out.append(Lost(of + 1, at, length, float(np.median([p[3] for p in found])), doubt, points, normals))
    return out


def least_gap(seen: Seen) -> float:
    """Return how far beside an edge its shadow must be no brighter than the material for it to be lost, mm."""
    return max(GAP_MM, seen.look.blur_px * float(np.mean(seen.mm_per_px)))


def lost_words(lost: Lost) -> str:
    """Return a sentence on an edge lost in its shadow."""
    return (
        f"feature {lost.number} is lost in its shadow over {lost.length:.1f} mm round ({lost.at[0]:.1f}, "
        f"{lost.at[1]:.1f}): for {lost.gap:.2f} mm beside it the shadow is no brighter than the metal, so its place "
        f"hangs on the shadow's form (edge ± {lost.doubt:.3f}); scan it before a black background, or read a width "
        "there"
    )
