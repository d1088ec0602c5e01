"""Axes in which a part looks like its own image."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import pi
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.trace.layout import Layout
from generator.trace.nearest import nearest
from generator.trace.primitives import Primitive
from generator.trace.relations import MIRROR, Relation, partner
from generator.trace.unknowns import Fit, straightened

Floats = NDArray[np.float64]

GRID_MM: Final = 1.0


def symmetry_axes(layout: Layout, found: Fit) -> list[tuple[float, float]]:
    """Return axes (angle of the normal in rad, distance in mm) in which the part looks like its own image.

    They go through the middle of its outline; each is found where the outline lies best upon its image.
    """
    # of the first scan alone: the others lie otherwise
    outline = np.array([p.loop == 0 for p in layout.model.primitives])[layout.points.of] & (layout.points.scan == 0)
    p = layout.points.seen(found.x)[outline] @ straightened(found.x).T
    if len(p) < 20:
        return []
    middle = _centroid(p)
    sub = p[:: max(1, len(p) // 150)] - middle

    def off(angles: Floats) -> Floats:
        n = np.column_stack([np.cos(angles), np.sin(angles)])
        images = sub - 2.0 * (n @ sub.T)[:, :, None] * n[:, None, :] + middle
        away = nearest(images.reshape(-1, 2), p)[0].reshape(len(angles), len(sub))
        far: Floats = np.percentile(away, 80, axis=1)
        return far

    step = pi / 360.0
    angles = np.arange(0.0, pi, step)
    spacing = float(np.median(np.hypot(*np.diff(p, axis=0).T)))
    size = float(np.ptp(p, axis=0).max())
    # half a step of angle moves the far end by this much
    most = 0.75 * spacing + 0.15 + 0.5 * step * size
    value = np.full(len(angles), np.inf)
    likely = _at_least(sub, p - middle, angles) <= most
    value[likely] = off(angles[likely])
    out: list[tuple[float, float]] = []
    for i in np.argsort(value):
        if value[i] > most or len(out) >= 6:
            break
        if any(abs(np.sin(angles[i] - a)) < 0.12 for a, _ in out):
            continue
        near = angles[i] + np.linspace(-step, step, 21)
        there = off(near)
        best = float(near[int(np.argmin(there))])
        if there.min() <= 0.75 * spacing + 0.15:
            n = np.array([np.cos(best), np.sin(best)])
            out.append((best, float(n @ middle)))
    primitives = layout.model.with_values(found.x)
    return [a for a in out if _covers(primitives, layout.middles, a)]


def without_pairs(relations: Sequence[Relation], outline: Collection[int]) -> list[Relation]:
    """Return the images in axes that nothing but features on the axis speaks for: many an edge is its own image.

    An axis holds where two features are each other's image in it, or the whole outline its own.

    Args:
        relations: those that hold.
        outline: numbers of the outline's features.
    """
    out: list[Relation] = []
    for axis in sorted({r.axis for r in relations if r.kind == MIRROR}):
        images = [r for r in relations if r.kind == MIRROR and r.axis == axis]
        mapped = {i for r in images for i in r.of}
        if all(len(set(r.of)) == 1 for r in images) and not set(outline) <= mapped:
            out += images
    return out


def _at_least(sub: Floats, points: Floats, angles: Floats) -> Floats:
    """Return how far off points the images of some of them are at least, 80 of 100, in axes of angles through 0.

    By distances upon a grid: those of places between differ by no more than how far they are from the grid.
    """
    half = int(np.ceil(float(np.hypot(*points.T).max()) / GRID_MM)) + 1
    grid = np.arange(-half, half + 1) * GRID_MM
    u, v = np.meshgrid(grid, grid)
    away = nearest(np.column_stack([u.ravel(), v.ravel()]), points)[0].reshape(u.shape)
    n = np.column_stack([np.cos(angles), np.sin(angles)])
    images = sub - 2.0 * (n @ sub.T)[:, :, None] * n[:, None, :]
    column, row = (np.rint(images[:, :, k] / GRID_MM).astype(int) + half for k in (0, 1))
    far: Floats = np.percentile(away[row, column], 80, axis=1) - GRID_MM * 0.5**0.5
    return far


def _covers(primitives: tuple[Primitive, ...], middles: Floats, axis: tuple[float, float]) -> bool:
    """Tell whether every primitive has an image in an axis."""
    return all(partner(primitives, middles, i, axis, 1.2) is not None for i in range(len(primitives)))


def _centroid(points: Floats) -> Floats:
    """Return the centroid of the polygon through points, shape (n, 2), mm."""
    x, y = points.T
    cross = x * np.roll(y, -1) - np.roll(x, -1) * y
    area = cross.sum()
    moment = np.array([((x + np.roll(x, -1)) * cross).sum(), ((y + np.roll(y, -1)) * cross).sum()])
    return np.asarray(moment / (3.0 * area), dtype=np.float64)
