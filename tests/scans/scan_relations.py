"""Which relations a traced footprint keeps: tangent joins and common centres, found ones and false ones.

A relation counts as kept where it holds exactly in the traced numbers, as an enforced one does; being near is none.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from tests.scans.placing import Place
from tests.scans.scan_shape import Segment, full_circle, measure
from tests.scans.scorer import Traced, placed, truth_edges

TANGENT_DEG = 0.02
SAME_MM = 2e-4
NEAR_MM = 1.5
"""A join within this of a true one is that one; tangent joins wander along the edge more than any other point."""


@dataclass(frozen=True)
class Kept:
    """How many relations are true, found and false."""

    true: int
    found: int
    false: int


def tangent_joins(truth: dict[str, Any], traced: Traced, place: Place | None = None) -> Kept:
    """Joins without a corner."""
    true = truth_edges(truth)
    place = place or placed(true, traced)
    goal, seen = _joins(true.edges), _joins([place.edge(s) for s in traced.edges])
    goal_at, seen_at = [p for p, t in goal if t], [p for p, t in seen if t]
    corners = [p for p, t in goal if not t]
    found = sum(any(math.dist(p, q) < NEAR_MM for q in seen_at) for p in goal_at)
    false = sum(
        any(math.dist(p, q) < NEAR_MM for q in corners) and not any(math.dist(p, q) < NEAR_MM for q in goal_at)
        for p in seen_at
    )
    return Kept(len(goal_at), found, false)


def _joins(edges: list[Segment]) -> list[tuple[tuple[float, float], bool]]:
    """Where one edge ends and another begins, and whether they are tangent there."""
    out = []
    for a in edges:
        for b in edges:
            if a is not b and math.dist(a.end, b.start) < 1e-3:
                (ax, ay), (bx, by) = a.tangent(1.0), b.tangent(0.0)
                turn = abs(math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by)))
                out.append((b.start, turn < TANGENT_DEG))
    return out


def common_centres(truth: dict[str, Any], traced: Traced, place: Place | None = None) -> Kept:
    """Pairs of arcs and holes round one centre."""
    true = truth_edges(truth)
    place = place or placed(true, traced)
    goal = _rounds(true.edges, true.circles)
    moved = traced.circles.copy()
    moved[:, :2] = place.points(traced.circles[:, :2])
    seen = _rounds([place.edge(s) for s in traced.edges], moved)
    match = [_same(r, seen) for r in goal]
    pairs = [(i, j) for i in range(len(goal)) for j in range(i)]
    real = [(i, j) for i, j in pairs if math.dist(goal[i][0], goal[j][0]) < 1e-6]

    def kept(i: int, j: int) -> bool:
        a, b = match[i], match[j]
        return a is not None and b is not None and a != b and math.dist(seen[a][0], seen[b][0]) < SAME_MM

    false = sum(kept(i, j) for i, j in pairs if (i, j) not in set(real))
    return Kept(len(real), sum(kept(i, j) for i, j in real), false)


Round = tuple[tuple[float, float], float, np.ndarray]
"""Centre, radius (0 for a hole's own middle: any), a point on it."""


def _rounds(edges: list[Segment], circles: np.ndarray) -> list[Round]:
    arcs = [(s.centre, abs(s.radius), s.points(np.array([0.5]))[0]) for s in edges if s.radius]
    return arcs + [((x, y), d / 2, np.array([x + d / 2, y])) for x, y, d in circles]


def _same(one: Round, others: list[Round]) -> int | None:
    """The arc or hole that lies where this one does."""
    best = min(
        ((abs(math.dist(one[2], o[0]) - o[1]) + 0.02 * math.dist(one[0], o[0]), i) for i, o in enumerate(others)),
        default=(math.inf, -1),
    )
    return best[1] if best[0] < 0.5 else None


def axes_kept(truth: dict[str, Any], traced: Traced, place: Place | None = None, within: float = 1e-3) -> Kept:
    """Mirror axes of the truth that the traced footprint has, exact to ``within`` mm, holes included."""
    place = place or placed(truth_edges(truth), traced)
    edges = [place.edge(s) for s in [*traced.edges, *(full_circle(*c) for c in traced.circles)]]
    points = np.vstack([s.points(np.linspace(0.05, 0.95, 15)) for s in edges])
    found = 0
    for axis in truth["symmetry"]:
        found += _mirrors(edges, points, np.array(axis["point"]), np.array(axis["direction"]), within)
    return Kept(len(truth["symmetry"]), found, 0)


def _mirrors(edges: list[Segment], points: np.ndarray, at: np.ndarray, along: np.ndarray, within: float) -> bool:
    """Whether an axis near the given one mirrors the edges into themselves."""
    angle = math.atan2(along[1], along[0])
    off = float(at @ np.array([-math.sin(angle), math.cos(angle)]))
    for _ in range(20):
        u = np.array([math.cos(angle), math.sin(angle)])
        n = np.array([-u[1], u[0]])
        side = points @ n - off
        mirrored = points - 2 * side[:, None] * n
        d = [measure(s, mirrored[:, 0], mirrored[:, 1]) for s in edges]
        which = np.argmin([m[0] for m in d], axis=0)
        rows = np.arange(len(points))
        gap = np.array([m[1] for m in d])[which, rows]
        out = np.column_stack([np.array([m[2] for m in d])[which, rows], np.array([m[3] for m in d])[which, rows]])
        by_off = 2 * out @ n
        by_angle = 2 * np.einsum("ij,ij->i", out, (points @ u)[:, None] * n + side[:, None] * u)
        slope = np.column_stack([by_angle, by_off])
        step = np.linalg.lstsq(slope, -gap, rcond=None)[0]
        angle, off = angle + step[0], off + step[1]
        if np.abs(step).max() < 1e-10:
            break
    return bool(np.abs(gap).max() < within)
