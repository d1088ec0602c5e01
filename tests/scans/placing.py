"""Edges laid upon others: exact distances, and the rigid motion, perhaps with a scale, that brings them nearest."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from scipy.spatial import cKDTree

from tests.scans.scan_shape import Segment, measure

FIT_STEP = 0.2
"""Distance of points that are laid upon edges, mm."""


def points_on(edges: list[Segment], step: float) -> np.ndarray:
    """Points in the middle of equal pieces no longer than ``step``, at least two on each edge."""
    out = []
    for s in edges:
        n = max(2, math.ceil(s.length / step))
        out.append(s.points((np.arange(n) + 0.5) / n))
    return np.vstack(out)


def distances(edges: list[Segment], points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Distance of each point to the nearest edge, and the unit vector away from it."""
    best = np.full(len(points), np.inf)
    away = np.zeros_like(points)
    for s in edges:
        d, side, nx, ny = measure(s, points[:, 0], points[:, 1])
        beside = d - np.abs(side) < 1e-12
        ends = np.array([s.start, s.end])
        gap = points[:, None, :] - ends
        nearer = gap[np.arange(len(points)), np.hypot(gap[..., 0], gap[..., 1]).argmin(axis=1)]
        to_end = nearer / np.maximum(np.hypot(nearer[:, 0], nearer[:, 1]), 1e-15)[:, None]
        outward = np.column_stack([nx, ny]) * np.where(side < 0, -1.0, 1.0)[:, None]
        closer = d < best
        best = np.where(closer, d, best)
        away = np.where(closer[:, None], np.where(beside[:, None], outward, to_end), away)
    return best, away


@dataclass(frozen=True)
class Place:
    """A rigid motion: mirrored in x first if so, then turned, then shifted; and perhaps a scale beside."""

    x: float
    y: float
    angle: float
    mirrored: bool
    scale: float = 1.0

    def rotation(self) -> np.ndarray:
        c, s = math.cos(self.angle), math.sin(self.angle)
        turn = np.array([[c, -s], [s, c]])
        return turn @ np.diag([-1.0, 1.0]) if self.mirrored else turn

    def points(self, p: np.ndarray) -> np.ndarray:
        return self.scale * p @ self.rotation().T + (self.x, self.y)

    def edge(self, s: Segment) -> Segment:
        start, end, centre = self.points(np.array([s.start, s.end, s.centre]))
        if not s.radius:
            return Segment(tuple(start), tuple(end))
        hand = -1.0 if self.mirrored else 1.0
        begins = self.angle + (math.pi - s.begins if self.mirrored else s.begins)
        return Segment(tuple(start), tuple(end), tuple(centre), hand * self.scale * s.radius, begins, hand * s.sweep)


def placed_edges(goal: list[Segment], own: list[Segment], *, mirror: bool = True) -> Place:
    """The rigid motion that takes some edges onto others best.

    Least squares over outline and holes, weights falling beyond three medians so that one lost feature does not drag
    all others. A symmetric part fits in several ways: the best of them counts.
    """
    coarse, fine = points_on(goal, 0.5), points_on(own, FIT_STEP)
    few = fine[:: max(1, len(fine) // 300)]
    tree = cKDTree(coarse)
    starts: list[tuple[float, Place]] = []
    for mirrored in (False, True) if mirror else (False,):
        for degrees in range(0, 360, 3):
            place = Place(0.0, 0.0, math.radians(degrees), mirrored)
            shift = coarse.mean(axis=0) - place.points(fine).mean(axis=0)
            place = replace(place, x=float(shift[0]), y=float(shift[1]))
            starts.append((float(np.minimum(tree.query(place.points(few))[0], 5.0).mean()), place))
    starts.sort(key=lambda s: s[0])
    near = [_refined(goal, few, place, 12)[1] for place in _unlike([p for _, p in starts], 0.1)[:10]]
    near.sort(key=lambda p: float(distances(goal, p.points(few))[0].mean()))
    return min((_refined(goal, fine, p, 40) for p in _unlike(near, 0.01)[:6]), key=lambda d: d[0])[1]


def rescaled(goal: list[Segment], own: list[Segment], place: Place) -> Place:
    """The best place with a scale freed, from where edges lie without one."""
    return _refined(goal, points_on(own, FIT_STEP), place, 40, scale=True)[1]


def _unlike(places: list[Place], least: float) -> list[Place]:
    """The places in their order, without those that a better one is like, to ``least`` radians."""
    kept: list[Place] = []
    for p in places:
        if all(p.mirrored != q.mirrored or abs(math.remainder(p.angle - q.angle, 2 * math.pi)) > least for q in kept):
            kept.append(p)
    return kept


def _refined(
    goal: list[Segment], points: np.ndarray, place: Place, rounds: int, *, scale: bool = False
) -> tuple[float, Place]:
    """Gauss-Newton on distances to the exact edges, perhaps with a scale; return the root mean square too."""
    d = np.zeros(0)
    for _ in range(rounds):
        moved = place.points(points)
        d, n = distances(goal, moved)
        arm = moved - (place.x, place.y)
        slope = np.column_stack([n, n[:, 1] * arm[:, 0] - n[:, 0] * arm[:, 1]])
        if scale:
            slope = np.column_stack([slope, (n * arm).sum(axis=1) / place.scale])
        w = np.sqrt(1.0 / np.maximum(1.0, d / max(3.0 * float(np.median(d)), 1e-6)))
        step = np.linalg.lstsq(slope * w[:, None], -d * w, rcond=None)[0]
        place = replace(place, x=place.x + step[0], y=place.y + step[1], angle=place.angle + step[2])
        if scale:
            place = replace(place, scale=place.scale + step[3])
        if np.abs(step).max() < 1e-9:
            break
    return float(np.sqrt((d * d).mean())), place
