"""Distances from points to a region's boundary, segment by segment in closed form; independent of the kernel."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from generator.outline.contour import Contour
from generator.outline.region import Region


def boundary(region: Region, shares: tuple[float, ...] = (0.0, 0.25, 0.5, 0.75)) -> np.ndarray:
    """Return points on every segment at the given shares of its length."""
    found = []
    for contour in region:
        a = contour.array
        b = np.roll(a[:, :2], -1, axis=0)
        step, bulge = b - a[:, :2], a[:, 2]
        line = bulge == 0.0
        q = np.where(line, 1.0, bulge)
        k = (1.0 - q * q) / (4.0 * q)
        centre = (a[:, :2] + b) / 2.0 + np.stack([-k * step[:, 1], k * step[:, 0]], axis=1)
        away = a[:, :2] - centre
        for t in shares:
            c, s = np.cos(4.0 * np.arctan(q) * t), np.sin(4.0 * np.arctan(q) * t)
            arc = centre + np.stack([away[:, 0] * c - away[:, 1] * s, away[:, 0] * s + away[:, 1] * c], axis=1)
            found.append(np.where(line[:, None], a[:, :2] + t * step, arc))
    return np.concatenate(found)


def distances(points: np.ndarray, region: Region) -> np.ndarray:
    """Return the distance of every point to the boundary of ``region``."""
    best = np.full(len(points), np.inf)
    for contour in region:
        for found in each_distance(points, contour):
            best = np.minimum(best, found)
    return best


def each_distance(points: np.ndarray, contour: Contour) -> Iterator[np.ndarray]:
    """Yield the distances of all points to one segment after the other."""
    a = contour.array
    for (x, y, q), (ex, ey) in zip(a.tolist(), np.roll(a[:, :2], -1, axis=0).tolist(), strict=True):
        yield _one(points, np.array([x, y]), np.array([ex, ey]), q)


def _one(p: np.ndarray, a: np.ndarray, b: np.ndarray, q: float) -> np.ndarray:
    d = b - a
    size = float(d @ d)
    ends = np.minimum(np.hypot(*(p - a).T), np.hypot(*(p - b).T))
    if size == 0.0:
        return ends
    if abs(q) < 1e-12:
        t = np.clip((p - a) @ d / size, 0.0, 1.0)
        return np.hypot(*(p - a - t[:, None] * d).T)
    k = (1.0 - q * q) / (4.0 * q)
    c = (a + b) / 2.0 + k * np.array([-d[1], d[0]])
    v = p - c
    outward = np.sign(q) * np.array([d[1], -d[0]])
    angle = np.abs(np.arctan2(v[:, 0] * outward[1] - v[:, 1] * outward[0], v @ outward))
    ring = np.abs(np.hypot(*v.T) - np.hypot(*(a - c)))
    return np.where(angle <= 2.0 * abs(np.arctan(q)), np.minimum(ring, ends), ends)
