"""Several scans of one part: how each lies upon the first, and their points upon its primitives.

Turning the part by a quarter between scans and leaving the scanner as it is separates what is the scanner's from what
is the part's (reversal: Evans, Hocken & Estler 1996).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.trace.layout import Layout
from generator.trace.nearest import nearest
from generator.trace.primitives import distance
from generator.trace.runs import Row
from generator.trace.unknowns import Model, Points, straightened

if TYPE_CHECKING:
    from scipy.spatial import cKDTree

Floats = NDArray[np.float64]
Pose = tuple[float, float, float]
"""Angle (rad) and shift (mm) that take a scan's points onto the first scan's."""

ALIKE_MM: Final = 0.6
"""Scans whose outlines lie farther apart than this (median, best placement) do not show the same part."""
ON_MM: Final = 0.35
BESIDE_MM: Final = 0.45


@frozen_record(eq=False)
class Placed:
    """A scan upon the first: its rows and its pose."""

    rows: tuple[Row, ...]
    pose: Pose


def place(first: Sequence[Row], other: Sequence[Row], head: Floats) -> Pose:
    """Return how a scan lies upon the first one: the best of many turns, then point to point (Besl & McKay 1992).

    Raises: GeometryError: they do not show the same part.
    """
    from scipy.spatial import cKDTree

    straight = straightened(head)
    target = np.vstack([r.points for r in first]) @ straight.T
    source = np.vstack([r.points for r in other]) @ straight.T
    step = max(1, len(source) // 300)
    sub = source[::step]
    tree = cKDTree(target)
    middle, about = first[0].points.mean(axis=0) @ straight.T, other[0].points.mean(axis=0) @ straight.T
    best: tuple[float, Floats, Floats] | None = None
    for angle in np.radians(np.arange(0.0, 360.0, 5.0)):
        r = _turn(float(angle))
        t = middle - r @ about
        for _ in range(6):
            r, t = _closer(tree, target, sub, r, t)
        off = float(np.median(tree.query(sub @ r.T + t)[0]))
        if best is None or off < best[0] - 1e-6:
            best = (off, r, t)
    assert best is not None
    off, r, t = best
    for _ in range(30):
        r, t = _closer(tree, target, source, r, t)
    if off > ALIKE_MM:
        raise GeometryError(
            f"the scans do not show the same part, or not the same side up: laid upon each other their outlines are "
            f"{off:.2f} mm apart"
        )
    return float(np.arctan2(r[1, 0], r[0, 0])), float(t[0]), float(t[1])


def _turn(angle: float) -> Floats:
    return np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])


def _closer(tree: cKDTree, target: Floats, source: Floats, r: Floats, t: Floats) -> tuple[Floats, Floats]:
    """Return a better rotation and shift: the rigid fit to the nearest points, the farthest fifth left out."""
    moved = source @ r.T + t
    away, at = tree.query(moved)
    near = away <= np.percentile(away, 80)
    p, q = source[near], target[at[near]]
    pm, qm = p.mean(axis=0), q.mean(axis=0)
    u, _, vt = np.linalg.svd((q - qm).T @ (p - pm))
    turned = u @ np.diag([1.0, np.linalg.det(u @ vt)]) @ vt
    return turned, qm - turned @ pm


def with_scans(layout: Layout, others: Sequence[Placed], head: Floats) -> tuple[Layout, list[Pose]]:
    """Return a layout with the points of further scans on its primitives, and their poses."""
    straight = straightened(head)
    base = layout.points
    seen = base.at @ straight.T
    at, angle, sigma, of, scan = [base.at], [base.angle], [base.sigma], [base.of], [base.scan]
    for number, placed in enumerate(others, 1):
        r, t = _turn(placed.pose[0]), np.array(placed.pose[1:])
        for row in placed.rows:
            moved = row.points @ straight.T @ r.T + t
            away, number_of = nearest(moved, seen)
            owner = base.of[number_of]
            on = np.zeros(len(moved), dtype=bool)
            for k in np.unique(owner):
                mine = owner == k
                on[mine] = np.abs(distance(layout.model.primitives[int(k)], moved[mine])) < ON_MM
            on &= away < BESIDE_MM
            at.append(row.points[on])
            angle.append(np.arctan2(row.normals[on, 1], row.normals[on, 0]))
            sigma.append(row.sigma[on])
            of.append(owner[on])
            scan.append(np.full(int(on.sum()), number))
    points = Points(
        np.vstack(at), np.concatenate(angle), np.concatenate(sigma), np.concatenate(of), np.concatenate(scan)
    )
    model = Model(layout.model.primitives, 1 + len(others), layout.model.axes)
    return Layout(model, points, layout.joints, layout.middles, layout.loops), [p.pose for p in others]
