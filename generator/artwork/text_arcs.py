"""Closed curves of letters to lines and arcs within tolerance: all curves of a letter at once.

Terminology. A *ring* is a closed chain of cubic Bézier curves and lines, as a font draws a contour. Two of its curves
meet *smoothly* or in a *corner*. A *piece* is a run of curves, or a part of one, that one line or one biarc follows.
Curves are halved until a biarc follows each half. Letters have more curves than arcs need at the sizes that get cut, so
runs of curves that meet smoothly are then followed by the longest biarcs, one after another (``text_runs.py``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from generator.artwork.text_biarcs import best_biarcs, cross
from generator.artwork.text_runs import cubic_points, longest_biarcs
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.contour import Contour, Vertex
from generator.outline.spans import Floats, Ints

__all__ = ["Ring", "ring_area", "rings_to_contours"]

_SAFE: Final = 0.9
"""Share of the tolerance that samples may use, so that what lies between them keeps within the whole."""
_SAMPLES: Final = 25
"""Samples to a piece."""
_SMOOTH: Final = 0.0175
"""Curves that meet at less than this angle (rad, 1°) meet smoothly: control points lie on whole units, so that few
meet exactly so."""
_HALVINGS: Final = 12
_BENT: Final = 1e-7
"""A curve whose control points lie within this share of its length of its chord is a line."""


@frozen_record(eq=False)
class Ring:
    """A closed chain of curves.

    Attributes:
        curves: (n, 4, 2) control points; each curve begins where the one before ends.
        straight: (n,) True for lines.
    """

    curves: Floats
    straight: Ints

    @classmethod
    def of(cls, rows: Sequence[Sequence[float]]) -> Ring | None:
        """Return the ring of rows ``x0 y0 … x3 y3 straight``; None if nothing is left without what has no length."""
        a = np.array(rows, dtype=np.float64).reshape(-1, 9)
        curves = a[:, :8].reshape(-1, 4, 2)
        reach = np.abs(curves - curves[:, :1]).max(axis=(1, 2)) if len(a) else np.zeros(0)
        keep = reach > MODEL.same_mm  # of an em of 1 here: a millionth is far below any font's unit
        return cls(curves[keep], a[keep, 8] > 0.0) if keep.any() else None


def ring_area(ring: Ring) -> float:
    """Return the signed area of the polygon of the ring's control points: its sign says which way it runs."""
    p = ring.curves[:, :3].reshape(-1, 2)
    x, y = p[:, 0], p[:, 1]
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0


@frozen_record(eq=False)
class _Curves:
    """The curves of many rings, one a row.

    Attributes:
        controls: (n, 4, 2), mm.
        straight: (n,) bool.
        start, end: (n, 2) unit directions.
        ring: (n,) number of the ring; rows of a ring stand together in its order.
        smooth: (n,) bool: this curve goes on smoothly from the row before.
    """

    controls: Floats
    straight: Ints
    start: Floats
    end: Floats
    ring: Ints
    smooth: Ints


def rings_to_contours(rings: Sequence[Ring], scale_mm: float, *, tol_mm: float = MODEL.fit_mm) -> list[Contour]:
    """Return each ring as a closed contour of lines and arcs, times ``scale_mm``, within ``tol_mm`` of its curves.

    Where two curves meet smoothly the arcs do so exactly. The contours may cross themselves as the rings may.
    """
    if not rings:
        return []
    curves = _halved(_gathered(rings, scale_mm), _SAFE * tol_mm)
    return _contours(curves, _followed(curves, _SAFE * tol_mm), len(rings))


# ------------------------------------------------------------------ directions and joints
def _gathered(rings: Sequence[Ring], scale_mm: float) -> _Curves:
    controls = np.concatenate([_closed(r.curves) for r in rings]) * scale_mm
    straight = np.concatenate([r.straight for r in rings])
    ring = np.repeat(np.arange(len(rings)), [len(r.curves) for r in rings])
    first = np.flatnonzero(np.diff(ring, prepend=-1))
    before = np.arange(len(ring)) - 1
    before[first] = np.concatenate([first[1:], [len(ring)]]) - 1
    straight = straight | _is_flat(controls)
    start, end = _end_direction(controls), -_end_direction(controls[:, ::-1])
    return _shared_directions(_Curves(controls, straight, start, end, ring, np.zeros(len(ring), bool)), before)


def _closed(curves: Floats) -> Floats:
    """Return the curves, each beginning exactly where the one before ends."""
    out = curves.copy()
    out[:, 0] = np.roll(out[:, 3], 1, axis=0)
    return out


def _is_flat(controls: Floats) -> Ints:
    """Return True for curves that are their chord: inner control points on it and in order."""
    chord = controls[:, 3] - controls[:, 0]
    length = np.hypot(chord[:, 0], chord[:, 1])
    safe = np.where(length > 0.0, length, 1.0)
    inner = controls[:, 1:3] - controls[:, :1]
    off = np.abs(cross(inner, chord[:, None])) / safe[:, None]
    along = (inner * chord[:, None]).sum(axis=2) / (safe * safe)[:, None]
    ordered = (along >= 0.0).all(axis=1) & (along <= 1.0).all(axis=1)
    flat: Ints = (off.max(axis=1) <= _BENT * safe) & ordered & (length > 0.0)
    return flat


def _end_direction(controls: Floats) -> Floats:
    """Return the unit directions at the start: towards the first control point that lies elsewhere."""
    away = controls[:, 1:] - controls[:, :1]
    far = np.hypot(away[..., 0], away[..., 1])
    there = far > 1e-9 * far.max(axis=1, keepdims=True).clip(1e-300)
    k = there.argmax(axis=1)
    rows = np.arange(len(controls))
    unit: Floats = away[rows, k] / np.where(far[rows, k] > 0.0, far[rows, k], 1.0)[:, None]
    return unit


def _shared_directions(curves: _Curves, before: Ints) -> _Curves:
    """Return the curves with one direction at every smooth joint: that of a line if one meets there, else the mean."""
    into, out = curves.end[before], curves.start
    angle = np.arctan2(np.abs(cross(into, out)), (into * out).sum(axis=1))
    smooth = angle < _SMOOTH
    line_in, line_out = curves.straight[before], curves.straight
    mean = into + out
    mean /= np.hypot(mean[:, 0], mean[:, 1]).clip(1e-300)[:, None]
    shared = np.where(line_in[:, None], into, np.where(line_out[:, None], out, mean))
    turn = smooth & ~(line_in & line_out)
    start, end = curves.start.copy(), curves.end.copy()
    start[turn] = shared[turn]
    end[before[turn]] = shared[turn]
    return replace(curves, start=start, end=end, smooth=turn & ~line_in & ~line_out)


# ------------------------------------------------------------------ halving
def _halved(curves: _Curves, tol_mm: float) -> _Curves:
    """Return the curves halved until a biarc, or the chord of a very short one, follows each."""
    judged = np.zeros(len(curves.ring), bool)
    for last in (False,) * _HALVINGS + (True,):
        rows = np.flatnonzero(~judged & ~curves.straight)
        if not len(rows):
            break
        points = cubic_points(curves.controls[rows], _SAMPLES)
        off = best_biarcs(points, curves.start[rows], curves.end[rows]).deviation
        bad = rows[off > tol_mm]
        is_flat = _off_chord(cubic_points(curves.controls[bad], _SAMPLES)) <= tol_mm / 2.0
        judged[rows] = True
        curves.straight[bad[is_flat] if not last else bad] = True
        bad = bad[~is_flat]
        if last or not len(bad):
            break
        curves, judged = _cut_in_half(curves, bad, judged)
    return curves


def _off_chord(points: Floats) -> Floats:
    """Return how far points lie from the straight way from the first to the last."""
    chord = points[:, -1:] - points[:, :1]
    square = (chord * chord).sum(axis=2)
    v = points - points[:, :1]
    share = np.clip((v * chord).sum(axis=2) / np.where(square > 0.0, square, 1.0), 0.0, 1.0)
    off = v - share[..., None] * chord
    far: Floats = np.hypot(off[..., 0], off[..., 1]).max(axis=1)
    return far


def _cut_in_half(curves: _Curves, rows: Ints, judged: Ints) -> tuple[_Curves, Ints]:
    c = curves.controls[rows]
    ab, bc, cd = (c[:, 0] + c[:, 1]) / 2, (c[:, 1] + c[:, 2]) / 2, (c[:, 2] + c[:, 3]) / 2
    abc, bcd = (ab + bc) / 2, (bc + cd) / 2
    middle = (abc + bcd) / 2
    left = np.stack([c[:, 0], ab, abc, middle], axis=1)
    right = np.stack([middle, bcd, cd, c[:, 3]], axis=1)
    direction = _end_direction(right)
    controls, end = curves.controls.copy(), curves.end.copy()
    controls[rows], end[rows] = left, direction
    judged = judged.copy()
    judged[rows] = False
    after = rows + 1
    grown = _Curves(
        np.insert(controls, after, right, axis=0),
        np.insert(curves.straight, after, False),
        np.insert(curves.start, after, direction, axis=0),
        np.insert(end, after, curves.end[rows], axis=0),
        np.insert(curves.ring, after, curves.ring[rows]),
        np.insert(curves.smooth, after, True),
    )
    return grown, np.insert(judged, after, False)


# ------------------------------------------------------------------ contours
def _followed(curves: _Curves, tol_mm: float) -> Mapping[int, list[Vertex]]:
    """Return the vertices of every smooth run by its first row."""
    rows = np.flatnonzero(~curves.straight)
    if not len(rows):
        return {}
    begins = ~curves.smooth[rows] | np.isin(rows, np.flatnonzero(np.diff(curves.ring, prepend=-1)))
    begins |= np.diff(rows, prepend=-2) != 1
    run = np.cumsum(begins) - 1
    found = longest_biarcs(curves.controls[rows], curves.start[rows], curves.end[rows], run, tol_mm)
    return dict(zip(rows[begins].tolist(), found, strict=True))


def _contours(curves: _Curves, runs: Mapping[int, list[Vertex]], rings: int) -> list[Contour]:
    out: list[list[Vertex]] = [[] for _ in range(rings)]
    table = zip(curves.ring.tolist(), curves.controls[:, 0].tolist(), curves.straight.tolist(), strict=True)
    for row, (ring, (x, y), is_line) in enumerate(table):
        if is_line:
            out[ring].append(Vertex(x, y))
        else:
            out[ring] += runs.get(row, [])
    return [Contour(tuple(vertices)) for vertices in out]
