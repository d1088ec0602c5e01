"""Where two sides of a boundary face each other: where a disc between them touches both ends of a diameter.

A disc inside a region can touch the boundary along a line, along an arc, or at a corner that points into the region (a
reflex corner, which is an arc of radius 0 here). A common normal of two of these, with nothing in between, is where the
distance from the boundary stops rising or falling: a neck if it rises to both sides, a belly if it falls. Every common
normal comes in closed form.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import pi

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.base.units import Tolerance
from generator.outline.carrier import ALMOST_STRAIGHT
from generator.outline.measure import Outline, contours_of
from generator.outline.region import Region
from generator.outline.spans import Floats, Ints, Spans, box_gaps, spans_of

__all__ = ["Flanks", "Pairs", "common_normals", "flanks_of", "on_flank"]

Bools = NDArray[np.bool_]

_ROWS = 2_000_000
"""So many pairs are looked at together."""
_LOOSE = 1e-3
"""Angles (radians) within which two flanks may face each other; what only nearly does is sorted out afterwards."""
_ON = 1e-9
"""A normal this far (radians) beyond an arc's end still meets the arc."""
_CUSP = 1e-6
"""Corners that turn back this nearly (radians) are taken as pointing either way."""


@frozen_record(eq=False)
class Flanks:
    """What a disc inside can touch, one a row.

    Attributes:
        x, y: centre of an arc, a corner, or the start of a line, mm.
        rho: signed radius, mm: positive where the boundary bends round the disc, negative where it bends away, 0 for a
            corner. ``inf`` for a line.
        tx, ty: unit direction of a line.
        length: of a line, mm.
        middle, half: the angles of the inward normals: their middle and half their range, radians.
        boxes: (n, 4) box, mm.
        number: row in the outline's flanks.
    """

    x: Floats
    y: Floats
    rho: Floats
    tx: Floats
    ty: Floats
    length: Floats
    middle: Floats
    half: Floats
    boxes: Floats
    number: Ints

    def __len__(self) -> int:
        return len(self.x)

    def take(self, rows: Ints) -> Flanks:
        """Return some of the rows."""
        return Flanks(**{name: getattr(self, name)[rows] for name in self.__dataclass_fields__})


@frozen_record(eq=False)
class Pairs:
    """Common normals, one a row.

    Attributes:
        ax, ay, bx, by: the point on either side, mm; from a to b the region is crossed.
        aside: 0 in the middle of a stretch of one width, 1 where the normal stands alone, 2 near the ends of a stretch.
        first, second: rows of the flanks on either side.
    """

    ax: Floats
    ay: Floats
    bx: Floats
    by: Floats
    aside: Floats
    first: Ints
    second: Ints

    @property
    def width(self) -> Floats:
        """Return the lengths, mm."""
        w: Floats = np.hypot(self.bx - self.ax, self.by - self.ay)
        return w

    def take(self, rows: Ints) -> Pairs:
        """Return some of the rows."""
        return Pairs(*(getattr(self, name)[rows] for name in self.__dataclass_fields__))


def _joined(parts: Sequence[Pairs]) -> Pairs:
    names = Pairs.__dataclass_fields__
    none = {name: np.zeros(0, dtype=np.int64 if name in ("first", "second") else np.float64) for name in names}
    return Pairs(*(np.concatenate([none[name], *(getattr(p, name) for p in parts)]) for name in names))


def flanks_of(outline: Outline) -> Flanks:
    """Return everything that a disc inside the outline can touch: lines, arcs and reflex corners."""
    spans = spans_of(Region(tuple(c for c in contours_of(outline) if len(c) > 1)))
    spans = spans.take(np.flatnonzero((spans.tx0 != 0.0) | (spans.ty0 != 0.0)))
    parts = [_segments(spans), _corners(spans)]
    made = Flanks(**{n: np.concatenate([getattr(p, n) for p in parts]) for n in Flanks.__dataclass_fields__})
    return replace(made, number=np.arange(len(made)))


def _segments(s: Spans) -> Flanks:
    line = np.abs(s.bulge) < ALMOST_STRAIGHT
    rho = np.where(line, np.inf, 1.0 / np.where(line, 1.0, s.curvature))
    shift = np.where(line, 0.0, rho)
    sweep = np.where(line, 0.0, 4.0 * np.arctan(s.bulge))
    chord = np.hypot(s.x1 - s.x0, s.y1 - s.y0)
    return Flanks(
        x=s.x0 - shift * s.ty0,
        y=s.y0 + shift * s.tx0,
        rho=rho,
        tx=np.where(line, (s.x1 - s.x0) / chord, 0.0),
        ty=np.where(line, (s.y1 - s.y0) / chord, 0.0),
        length=np.where(line, chord, 0.0),
        middle=np.mod(np.arctan2(s.tx0, -s.ty0) + sweep / 2.0, 2.0 * pi),
        half=np.abs(sweep) / 2.0,
        boxes=s.boxes,
        number=np.arange(len(s)),
    )


def _corners(s: Spans) -> Flanks:
    """Return the corners that point into the region."""
    before = _previous(s)
    ux, uy, vx, vy = s.tx1[before], s.ty1[before], s.tx0, s.ty0
    turn = np.arctan2(ux * vy - uy * vx, ux * vx + uy * vy)
    turn = np.where(np.abs(turn) > pi - _CUSP, -pi, turn)
    rows = np.flatnonzero(turn < -_ON)
    x, y, none = s.x0[rows], s.y0[rows], np.zeros(len(rows))
    first = np.arctan2(ux[rows], -uy[rows])
    return Flanks(
        x=x,
        y=y,
        rho=none,
        tx=none,
        ty=none,
        length=none,
        middle=np.mod(first + turn[rows] / 2.0, 2.0 * pi),
        half=np.abs(turn[rows]) / 2.0,
        boxes=np.column_stack([x, y, x, y]),
        number=rows,
    )


def _previous(s: Spans) -> Ints:
    """Return for every row the row before it on the same contour."""
    rows = np.arange(len(s)) - 1
    starts = np.flatnonzero(np.diff(s.contour, prepend=-1) != 0)
    ends = np.append(starts[1:], len(s)) - 1
    rows[starts] = ends
    return rows


def on_flank(f: Flanks, row: int, px: Floats, py: Floats, slack_mm: float) -> Bools:
    """Return which points lie on one flank, within ``slack_mm``."""
    vx, vy = px - f.x[row], py - f.y[row]
    if np.isinf(f.rho[row]):
        along, across = vx * f.tx[row] + vy * f.ty[row], vy * f.tx[row] - vx * f.ty[row]
        on: Bools = (np.abs(across) <= slack_mm) & (along >= -slack_mm) & (along <= f.length[row] + slack_mm)
        return on
    far, radius = np.hypot(vx, vy), abs(f.rho[row])
    # an inward normal points to the centre of an arc that bends round the disc, and away from it otherwise
    back = pi if f.rho[row] > 0.0 else 0.0
    off = np.abs(np.mod(np.arctan2(vy, vx) + back - f.middle[row] + pi, 2.0 * pi) - pi)
    near: Bools = (np.abs(far - radius) <= slack_mm) & ((off - f.half[row]) * far <= slack_mm)
    return near


def common_normals(flanks: Flanks, within_mm: float, tol: Tolerance) -> Pairs:
    """Return the common normals of all flanks that may be necks, not longer than ``within_mm``.

    Where two sides run at one distance (within ``tol.model_mm``) over a stretch, its middle stands for it, and the
    places near its ends. What lies in between is not looked at.
    """
    found = [_normals(flanks.take(i), flanks.take(j), tol) for i, j in _facing(flanks, within_mm)]
    made = _joined(found)
    width = made.width
    return made.take(np.flatnonzero((width > tol.same_mm) & (width <= within_mm)))


def _facing(f: Flanks, within_mm: float) -> list[tuple[Ints, Ints]]:
    """Return the rows of pairs whose normals can point at each other and that lie near enough."""
    middle, half = f.middle.astype(np.float32), (f.half + _LOOSE).astype(np.float32)
    firsts, seconds = [], []
    for i, j in _side_by_side(f.boxes, within_mm):
        off = np.abs(np.abs(middle[i] - middle[j]) - np.float32(pi))
        facing = np.flatnonzero(off <= half[i] + half[j])
        i, j = i[facing], j[facing]
        near = box_gaps(f.boxes[i], f.boxes[j]) <= within_mm
        i, j = i[near], j[near]
        firsts.append(np.minimum(i, j))
        seconds.append(np.maximum(i, j))
    i, j = np.concatenate([np.zeros(0, np.int64), *firsts]), np.concatenate([np.zeros(0, np.int64), *seconds])
    order = np.lexsort((j, i))
    i, j = i[order], j[order]
    return [(i[k : k + _ROWS // 8], j[k : k + _ROWS // 8]) for k in range(0, len(i), _ROWS // 8)]


def _side_by_side(boxes: Floats, within_mm: float) -> Iterator[tuple[Ints, Ints]]:
    """Yield the rows of all pairs of boxes that lie within a distance along one axis.

    It is the axis along which fewer do, so that most pairs are never looked at.
    """
    order, count = min((_followers(boxes, axis, within_mm) for axis in (0, 1)), key=lambda found: found[1].sum())
    done = np.concatenate([[0], np.cumsum(count)])
    at = 0
    while at < len(order):
        end = max(at + 1, int(np.searchsorted(done, done[at] + _ROWS, side="right")) - 1)
        some = count[at:end]
        a = np.repeat(np.arange(at, end), some)
        b = a + 1 + np.arange(len(a)) - np.repeat(done[at:end] - done[at], some)
        yield order[a], order[b]
        at = end


def _followers(boxes: Floats, axis: int, within_mm: float) -> tuple[Ints, Ints]:
    """Return the rows by where they begin on an axis, and how many of those behind each begin before it ends."""
    order = np.argsort(boxes[:, axis], kind="stable")
    low, high = boxes[order, axis], boxes[order, axis + 2]
    return order, np.searchsorted(low, high + within_mm, side="right") - np.arange(len(order)) - 1


def _normals(a: Flanks, b: Flanks, tol: Tolerance) -> Pairs:
    """Return the common normals of pairs of flanks, row by row."""
    straight_a, straight_b = np.isinf(a.rho), np.isinf(b.rho)
    both = np.flatnonzero(straight_a & straight_b)
    first = np.flatnonzero(straight_a & ~straight_b)
    second = np.flatnonzero(~straight_a & straight_b)
    neither = np.flatnonzero(~straight_a & ~straight_b)
    parts = [
        _two_lines(a.take(both), b.take(both), tol),
        _line_and_round(a.take(first), b.take(first), tol),
        _line_and_round(b.take(second), a.take(second), tol),
        *(_two_rounds(a.take(neither), b.take(neither), side, tol) for side in (1.0, -1.0)),
        _concentric(a.take(neither), b.take(neither), tol),
    ]
    return _joined(parts)


def _two_lines(a: Flanks, b: Flanks, tol: Tolerance) -> Pairs:
    """Return places along the stretch where two lines run at one distance."""
    s0 = (b.x - a.x) * a.tx + (b.y - a.y) * a.ty
    d0 = (b.y - a.y) * a.tx - (b.x - a.x) * a.ty
    along, across = b.tx * a.tx + b.ty * a.ty, b.ty * a.tx - b.tx * a.ty
    s1 = s0 + b.length * along
    low, high = np.maximum(np.minimum(s0, s1), 0.0), np.minimum(np.maximum(s0, s1), a.length)
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = across / along
    level = (along < 0.0) & (high - low > tol.same_mm) & (np.abs(slope) * (high - low) <= tol.model_mm) & (d0 > 0.0)
    rows = np.flatnonzero(level)
    out = []
    for aside, share in _shares(low[rows], high[rows], d0[rows]):
        d = d0[rows] + (share - s0[rows]) * slope[rows]
        x, y = a.x[rows] + share * a.tx[rows], a.y[rows] + share * a.ty[rows]
        end = (x - d * a.ty[rows], y + d * a.tx[rows])
        out.append(Pairs(x, y, *end, np.full(len(rows), aside), a.number[rows], b.number[rows]))
    return _joined(out)


def _shares(low: Floats, high: Floats, width: Floats) -> list[tuple[float, Floats]]:
    """Return the middle of a stretch, and places half the width from its ends (a quarter of it if it is short)."""
    inset = np.minimum(width / 2.0, (high - low) / 4.0)
    return [(0.0, (low + high) / 2.0), (2.0, low + inset), (2.0, high - inset)]


def _line_and_round(a: Flanks, b: Flanks, tol: Tolerance) -> Pairs:
    """Return the normal of line ``a`` through the centre of ``b``, unless it is a belly for certain."""
    nx, ny = -a.ty, a.tx
    bx, by = b.x + nx * b.rho, b.y + ny * b.rho
    along = (bx - a.x) * a.tx + (by - a.y) * a.ty
    width = (bx - a.x) * nx + (by - a.y) * ny
    on = (along >= -tol.same_mm) & (along <= a.length + tol.same_mm) & (width > 0.0) & (b.rho <= 0.0)
    rows = np.flatnonzero(on & _meets(b, -nx, -ny, tol))
    foot = np.clip(along, 0.0, a.length)
    ends = (a.x + foot * a.tx, a.y + foot * a.ty, bx, by)
    ax, ay, bx, by = (v[rows] for v in ends)
    return Pairs(ax, ay, bx, by, np.ones(len(rows)), a.number[rows], b.number[rows])


def _meets(f: Flanks, nx: Floats, ny: Floats, tol: Tolerance) -> Bools:
    """Return whether the inward normal ``(nx, ny)`` is one of the flank's."""
    off = np.abs(np.mod(np.arctan2(ny, nx) - f.middle + pi, 2.0 * pi) - pi)
    slack = _ON + tol.same_mm / np.maximum(np.abs(f.rho), 1.0)
    on: Bools = off <= f.half + slack
    return on


def _two_rounds(a: Flanks, b: Flanks, side: float, tol: Tolerance) -> Pairs:
    """Return the common normals of arcs and corners along the line of centres, unless they are bellies for certain."""
    dx, dy = b.x - a.x, b.y - a.y
    far = np.hypot(dx, dy)
    with np.errstate(divide="ignore", invalid="ignore"):
        nx, ny = side * dx / far, side * dy / far
        ax, ay = a.x - nx * a.rho, a.y - ny * a.rho
        bx, by = b.x + nx * b.rho, b.y + ny * b.rho
        r = ((bx - ax) * nx + (by - ay) * ny) / 2.0
        # along the middle the distance from a side rises by t² / 2 (r - ρ); a disc wider than a round side is outside
        rise = 1.0 / (r - a.rho) + 1.0 / (r - b.rho)
        outside = ((a.rho > 0.0) & (a.rho <= r)) | ((b.rho > 0.0) & (b.rho <= r))
    rows = np.flatnonzero((r > tol.same_mm) & (far > tol.same_mm) & ~outside & (rise >= -tol.same_mm))
    rows = rows[_meets(a.take(rows), nx[rows], ny[rows], tol) & _meets(b.take(rows), -nx[rows], -ny[rows], tol)]
    return Pairs(ax[rows], ay[rows], bx[rows], by[rows], np.ones(len(rows)), a.number[rows], b.number[rows])


def _concentric(a: Flanks, b: Flanks, tol: Tolerance) -> Pairs:
    """Return places along the stretch where two arcs run at one distance: one bends round the other."""
    near = np.hypot(b.x - a.x, b.y - a.y) <= tol.model_mm
    rows = np.flatnonzero(near & (a.rho * b.rho < 0.0) & (a.rho + b.rho > tol.same_mm))
    a, b = a.take(rows), b.take(rows)
    off = np.mod(b.middle - a.middle, 2.0 * pi) - pi
    low, high = np.maximum(-a.half, off - b.half), np.minimum(a.half, off + b.half)
    keep = np.flatnonzero(high > low)
    a, b, low, high = a.take(keep), b.take(keep), low[keep], high[keep]
    out = []
    for aside, angle in _shares(low, high, (a.rho + b.rho) / np.maximum(np.abs(a.rho), np.abs(b.rho))):
        nx, ny = np.cos(a.middle + angle), np.sin(a.middle + angle)
        ends = (a.x - nx * a.rho, a.y - ny * a.rho, b.x + nx * b.rho, b.y + ny * b.rho)
        out.append(Pairs(*ends, np.full(len(a), aside), a.number, b.number))
    return _joined(out)
