"""How a scan lies upon another one of the same part: the best of many poses, told from half turns and other sides.

Near-symmetric parts lie almost as well the wrong way round: only what differs, a hole that sits elsewhere, tells. So
the few best poses of a coarse search (point to point, Besl & McKay 1992) are settled across the edges (point to line,
Chen & Medioni 1992), together with what one scanner's axes do to a part that was turned, and compared by their misfits
at all points.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.trace.runs import Row
from generator.trace.unknowns import straightened

if TYPE_CHECKING:
    from scipy.spatial import cKDTree

Floats = NDArray[np.float64]
Pose = tuple[float, float, float]
"""Angle (rad) and shift (mm) that take a scan's points onto the first scan's."""

OFF_MM: Final = 0.3
"""A feature that lies farther off than this is not the same one."""
COUNTS_MM: Final = 6.0
"""Openings of less girth than this may be dirt: they do not refuse a scan."""
OUTLINE_SHARE: Final = 90.0
"""Percentile of the outline's misfits that counts: dirt and chips may have the rest."""
CAPPED_MM: Final = 0.5
"""A point counts at most as far off as this when poses are compared."""
COARSE_MM: Final = 1.5
"""The same in the coarse search."""
CLEARLY: Final = 2.0
"""A mirrored pose that fits this many times better than the best true one shows that the part lay turned over ..."""
LEAST_OFF_MM: Final = 0.015
"""... if the true one is off by more than this (RMS): less may be noise."""
FEW: Final = 5
APART_RAD: Final = 0.05
"""Coarse poses that differ by less than this settle alike."""
SOFT_MM: Final = 0.02
"""Points off by more than this count less and less while a pose settles (Cauchy's weight)."""
AXES: Final = 0.004
"""Standard deviation of the difference in scale of a scanner's axes, and of their skew (rad)."""
NOISE_MM: Final = 0.01
_STRAINS: Final = (np.array([[0.5, 0.0], [0.0, -0.5]]), np.array([[0.0, 0.5], [0.5, 0.0]]))


class _Coarse(NamedTuple):
    off: float
    r: Floats
    t: Floats

    @property
    def angle(self) -> float:
        return float(np.arctan2(self.r[1, 0], self.r[0, 0]))


@frozen_record(eq=False)
class _Laid:
    """A settled pose.

    Attributes:
        rms: of the capped misfits, mm.
        off: misfit of the worst feature, mm.
        start: what it was settled from.
    """

    rms: float
    off: float
    start: _Coarse


class _Target:
    """The first scan's edges."""

    def __init__(self, rows: Sequence[Row], straight: Floats) -> None:
        from scipy.spatial import cKDTree

        self.points = np.vstack([r.points for r in rows]) @ straight.T
        self.normals = np.vstack([r.normals for r in rows])
        self.middle = rows[0].points.mean(axis=0) @ straight.T
        self.tree: cKDTree = cKDTree(self.points)


def place(first: Sequence[Row], other: Sequence[Row], head: Floats) -> Pose:
    """Return how a scan lies upon the first one.

    Args:
        first: the points of every loop of the first scan, the outline first, mm.
        other: those of the scan.
        head: the scanner's errors as far as they are known.

    Raises: GeometryError: they do not show the same part, or one shows its other side.
    """
    straight = straightened(head)
    target = _Target(first, straight)
    best = _best(target, other, straight)
    if best.off > OFF_MM or best.rms > LEAST_OFF_MM:
        over = np.array([[-1.0, 0.0], [0.0, 1.0]])
        mirrored = _best(target, other, over @ straight)
        if best.rms > LEAST_OFF_MM and best.rms > CLEARLY * mirrored.rms and mirrored.off <= OFF_MM:
            raise GeometryError(
                "the part lay turned over in one of the scans: mirrored they fit each other "
                f"{best.rms / mirrored.rms:.0f} times better; scan it again with the same side down, turned by a "
                "quarter"
            )
    if best.off > OFF_MM:
        raise GeometryError(
            "the scans do not show the same part, or not the same side up: laid upon each other as well as they go, "
            f"a whole feature is still {best.off:.2f} mm off; scan the same side of the same part, turned by a quarter"
        )
    source = np.vstack([r.points for r in other]) @ straight.T
    _, r, t = best.start
    for _ in range(30):  # without the strain, which is no part of the pose
        r, t = _closer(target, source, r, t)
    return float(np.arctan2(r[1, 0], r[0, 0])), float(t[0]), float(t[1])


def _best(target: _Target, other: Sequence[Row], straight: Floats) -> _Laid:
    """Return the best settled pose of a scan, its points straightened (and mirrored) beforehand."""
    rows = [r.points @ straight.T for r in other]
    source, middle = np.vstack(rows), rows[0].mean(axis=0)
    tried = _coarse(target, source[:: max(1, len(source) // 300)], middle)
    return min((_settled(target, rows, c) for c in tried), key=lambda s: s.rms)


def _coarse(target: _Target, source: Floats, middle: Floats) -> list[_Coarse]:
    """Return the few best of many poses, and what the best is after a half turn."""
    found = []
    for angle in np.radians(np.arange(0.0, 360.0, 5.0)):
        r = turn(float(angle))
        t = target.middle - r @ middle
        for _ in range(6):
            r, t = _closer(target, source, r, t)
        # of a disc with a flat most points lie well however it is turned: all of them count
        away = np.minimum(target.tree.query(source @ r.T + t)[0], COARSE_MM)
        found.append(_Coarse(float(away.mean()), r, t))
    found.sort(key=lambda c: c.off)
    few: list[_Coarse] = []
    for c in found:
        if len(few) < FEW and all(np.cos(c.angle - k.angle) < np.cos(APART_RAD) for k in few):
            few.append(c)
    r = turn(few[0].angle + np.pi)
    few.append(_Coarse(few[0].off, r, target.middle - r @ middle))
    out = []
    for _, r, t in few:
        for _ in range(10):
            r, t = _closer(target, source, r, t)
        out.append(_Coarse(0.0, r, t))
    return out


def turn(angle: float) -> Floats:
    """Return the matrix that turns by an angle (rad)."""
    return np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])


def _closer(target: _Target, source: Floats, r: Floats, t: Floats) -> tuple[Floats, Floats]:
    """Return a better rotation and shift: the rigid fit to the nearest points, the farthest fifth left out."""
    moved = source @ r.T + t
    away, at = target.tree.query(moved)
    near = away <= np.percentile(away, 80)
    p, q = source[near], target.points[at[near]]
    pm, qm = p.mean(axis=0), q.mean(axis=0)
    u, _, vt = np.linalg.svd((q - qm).T @ (p - pm))
    turned = u @ np.diag([1.0, np.linalg.det(u @ vt)]) @ vt
    return turned, qm - turned @ pm


def _settled(target: _Target, rows: Sequence[Floats], start: _Coarse) -> _Laid:
    """Return a pose settled across the edges (Gauss-Newton), with the scanner's strain, which both scans share."""
    source = np.vstack(rows)
    angle, t, strain = start.angle, start.t, np.zeros(2)
    held = (NOISE_MM / AXES) ** 2
    for _ in range(12):
        r, moved, there, normals, off, away = _misfits(target, source, angle, t, strain)
        weight = np.where(away < 1.5, 1.0 / (1.0 + (off / SOFT_MM) ** 2), 0.0)
        turned = (moved - t) @ np.array([[0.0, 1.0], [-1.0, 0.0]])
        strained = [((source @ e @ r.T - there @ e) * normals).sum(axis=1) for e in _STRAINS]
        slopes = np.column_stack([(turned * normals).sum(axis=1), normals, *strained])
        square = slopes.T @ (slopes * weight[:, None])
        pull = slopes.T @ (weight * off)
        square[[3, 4], [3, 4]] += held
        pull[3:] += held * strain
        step = np.linalg.lstsq(square, -pull, rcond=None)[0]
        angle, t, strain = angle + float(step[0]), t + step[1:3], strain + step[3:]
    _, _, _, _, off, away = _misfits(target, source, angle, t, strain)
    far = np.where(away > 1.0, away, np.abs(off))  # along a line's far end the distance across it says nothing
    ends = np.cumsum([len(p) for p in rows])[:-1]
    worst = 0.0
    for i, (own, points) in enumerate(zip(np.split(far, ends), rows, strict=True)):
        girth = float(np.hypot(*(points - np.roll(points, 1, axis=0)).T).sum())
        if i == 0 or girth >= COUNTS_MM:
            worst = max(worst, float(np.percentile(own, OUTLINE_SHARE if i == 0 else 50.0)))
    rms = float(np.sqrt(np.mean(np.minimum(far, CAPPED_MM) ** 2)))
    return _Laid(rms, worst, start)


def _misfits(
    target: _Target, source: Floats, angle: float, t: Floats, strain: Floats
) -> tuple[Floats, Floats, Floats, Floats, Floats, Floats]:
    """Return the rotation, the moved points, the nearest ones before their strain, their normals and both distances."""
    r = turn(angle)
    strained = np.eye(2) + strain[0] * _STRAINS[0] + strain[1] * _STRAINS[1]
    moved = source @ strained.T @ r.T + t
    away, at = target.tree.query(moved)
    there, normals = target.points[at], target.normals[at]
    off = ((moved - there @ strained.T) * normals).sum(axis=1)
    return r, moved, there, normals, off, np.asarray(away, dtype=np.float64)
