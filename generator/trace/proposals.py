"""Which relations the values of primitives suggest."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise
from math import pi, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.trace.layout import Layout
from generator.trace.primitives import CIRCLE, LINE, Primitive
from generator.trace.relations import (
    Relation,
    at_right_angles,
    concentric,
    equal_radius,
    in_line,
    mirrored,
    partner,
    tangent,
)
from generator.trace.unknowns import Fit

Floats = NDArray[np.float64]

NEAR_MM: Final = 0.12
"""What relates must be nearly so before anything else is asked."""

SMOOTH: Final = 0.2
"""Outward normals of neighbours that touch differ by less where they meet, rad (12 degrees) ..."""
TURNED_MOST: Final = 0.5
"""... and by what the centres of few points leave open, up to this."""

Proposals = Callable[[Layout, Fit, Sequence[tuple[float, float]]], list[Relation]]


def tangents(layout: Layout, found: Fit, axes: Sequence[tuple[float, float]]) -> list[Relation]:
    """Return neighbours that nearly share a tangent where they meet."""
    out = []
    primitives = layout.model.with_values(found.x)
    model = replace(layout.model, primitives=primitives)
    for loop in layout.joints:
        for j in loop:
            r = tangent(model, j.before, j.after)
            turned = sum(_turned(layout, found, i) for i in (j.before, j.after))
            if r is not None and _smooth(primitives[j.before], primitives[j.after], j.near, SMOOTH + turned):
                out.append(r)
    return out


def _turned(layout: Layout, found: Fit, i: int) -> float:
    """Return by how much the normal of an arc may be turned by what its centre is uncertain by, rad."""
    p, at = layout.model.primitives[i], layout.model.places()[i]
    if p.kind == LINE:
        return 0.0
    spread = found.covariance[at, at] + found.covariance[at + 1, at + 1]
    return min(TURNED_MOST, 2.0 * sqrt(float(spread)) / max(float(found.x[at + 2]), 1e-9))


def _smooth(p: Primitive, q: Primitive, near: tuple[float, float], within: float) -> bool:
    """Tell whether the outward normals of two neighbours agree where they meet, within an angle (rad)."""

    def normal(a: Primitive) -> Floats:
        if a.kind == LINE:
            return np.array([np.cos(a.values[0]), np.sin(a.values[0])])
        d = np.array([near[0] - a.values[0], near[1] - a.values[1]])
        return np.asarray(a.side * d / max(float(np.hypot(*d)), 1e-9), dtype=np.float64)

    return float(normal(p) @ normal(q)) > float(np.cos(within))


def _rounds(layout: Layout, found: Fit) -> list[tuple[int, Primitive]]:
    return [(i, p) for i, p in enumerate(layout.model.with_values(found.x)) if p.kind != LINE]


def concentrics(layout: Layout, found: Fit, axes: Sequence[tuple[float, float]]) -> list[Relation]:
    """Return arcs and circles whose centres nearly agree."""
    out = []
    rounds = _rounds(layout, found)
    for n, (i, p) in enumerate(rounds):
        for k, q in rounds[n + 1 :]:
            if np.hypot(p.values[0] - q.values[0], p.values[1] - q.values[1]) < _slack(found, layout, (i, k)):
                out.append(concentric(layout.model, i, k))
    return out


def _slack(found: Fit, layout: Layout, of: tuple[int, int]) -> float:
    """Return how far centres may lie apart to be thought one: by their uncertainty, but never much (short arcs)."""
    at = layout.model.places()
    spread = max(float(found.covariance[at[i] + k, at[i] + k]) for i in of for k in (0, 1))
    return min(NEAR_MM + 3.0 * float(np.sqrt(spread)), 0.5)


def equals(layout: Layout, found: Fit, axes: Sequence[tuple[float, float]]) -> list[Relation]:
    """Return equal radii, each with its nearest like: a chain says as much as all pairs."""
    out = []
    for side in (1, -1):
        for circles in (True, False):
            alike = sorted(
                (
                    (p.values[2], i)
                    for i, p in _rounds(layout, found)
                    if p.side == side and (p.kind == CIRCLE) == circles
                )
            )
            for (r, i), (q, k) in pairwise(alike):
                if q - r < max(NEAR_MM, 0.03 * r):
                    out.append(equal_radius(layout.model, i, k))
    return out


def angles(layout: Layout, found: Fit, axes: Sequence[tuple[float, float]]) -> list[Relation]:
    """Return parallel, square and aligned lines: each with the longest line that it relates to."""
    out: list[Relation] = []
    lines = [(i, p) for i, p in enumerate(layout.model.with_values(found.x)) if p.kind == LINE]
    weight = np.bincount(layout.points.of, minlength=len(layout.model.primitives))
    lines.sort(key=lambda e: -weight[e[0]])
    for n, (i, p) in enumerate(lines):
        for k, q in lines[:n]:
            turn = (p.values[0] - q.values[0]) / (pi / 2.0)
            quarter = round(turn)
            if abs(turn - quarter) * pi / 2.0 > 0.03:
                continue
            if quarter % 4 == 0 and abs(p.values[1] - q.values[1]) < NEAR_MM:
                out.append(in_line(layout.model, k, i))
            else:
                out.append(at_right_angles(layout.model, k, i, quarter % 4))
            break
    return out


def mirrors(layout: Layout, found: Fit, axes: Sequence[tuple[float, float]]) -> list[Relation]:
    """Return every primitive with its image in every axis of symmetry."""
    out: list[Relation] = []
    primitives = layout.model.with_values(found.x)
    start = layout.model.axis_start
    for n in range(len(axes)):
        axis = (float(found.x[start + 2 * n]), float(found.x[start + 2 * n + 1]))
        for i in range(len(primitives)):
            k = partner(primitives, layout.middles, i, axis, 1.2)
            if k is not None and k >= i:
                out.append(mirrored(layout.model, i, k, n))
    return out


IN_ORDER: Final[tuple[Proposals, ...]] = (tangents, concentrics, angles, equals, mirrors)
"""One after the other: what comes later is judged by values that the earlier ones have improved."""
