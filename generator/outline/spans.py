"""All segments of an outline as flat arrays, lines and arcs in one form, for questions asked of thousands.

The form is start, unit tangent there, and signed curvature κ (0 for a line, positive for a left turn): with ``n`` the
normal to the left of the start's tangent, the centre is ``start + n / κ``. Nothing here divides by κ, so an arc
that is almost straight is as exact as a line, and a line needs no case of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Point, Segment, next_rows
from generator.outline.measure import Outline, arc_reaches

__all__ = ["BLOCK", "Feet", "Spans", "box_gaps", "near_pairs", "nearest", "spans_of"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
BLOCK = 32
"""Segments in a run that shares a box."""
_AT_ONCE = 1 << 18
"""So many pairs are compared together."""


@frozen_record(eq=False)
class Spans:
    """The segments of an outline, one a row.

    Attributes:
        x0, y0, x1, y1: start and end, mm.
        bulge: tan(sweep / 4).
        tx0, ty0, tx1, ty1: unit tangents at start and end; 0 for a segment without length.
        curvature: signed, 1/mm.
        contour: number of the contour in the outline.
        number: number of the segment in its contour.
    """

    x0: Floats
    y0: Floats
    x1: Floats
    y1: Floats
    bulge: Floats
    tx0: Floats
    ty0: Floats
    tx1: Floats
    ty1: Floats
    curvature: Floats
    contour: Ints
    number: Ints

    def __len__(self) -> int:
        return len(self.x0)

    def take(self, rows: Ints) -> Spans:
        """Return some of the rows."""
        names = self.__dataclass_fields__
        return Spans(**{name: getattr(self, name)[rows] for name in names})

    def segment(self, row: int) -> Segment:
        """Return one row as a segment."""
        start = Point(float(self.x0[row]), float(self.y0[row]))
        return Segment(start, Point(float(self.x1[row]), float(self.y1[row])), float(self.bulge[row]))

    @cached_property
    def boxes(self) -> Floats:
        """Return the exact box of each segment: (m, 4) xmin, ymin, xmax, ymax."""
        reaches = arc_reaches(np.stack([self.x0, self.y0, self.bulge], axis=1), np.stack([self.x1, self.y1], axis=1))
        return np.stack([-reaches[2], -reaches[3], reaches[0], reaches[1]], axis=1)

    @cached_property
    def block_boxes(self) -> Floats:
        """Return the boxes of runs of consecutive segments."""
        return _merged(self.boxes)

    @cached_property
    def runs(self) -> Runs:
        """Return runs of consecutive segments of one contour, with their boxes."""
        begins = np.flatnonzero(np.diff(self.contour, prepend=-1) != 0)
        place = np.arange(len(self)) - np.repeat(begins, np.diff(np.append(begins, len(self))))
        first = np.flatnonzero(place % BLOCK == 0)
        low = np.minimum.reduceat(self.boxes[:, :2], first, axis=0)
        high = np.maximum.reduceat(self.boxes[:, 2:], first, axis=0)
        return Runs(first, np.diff(np.append(first, len(self))), np.column_stack([low, high]))

    @cached_property
    def blocks(self) -> tuple[Spans, ...]:
        """Return these runs, as views."""
        if len(self) <= BLOCK:
            return (self,) if len(self) else ()
        names = self.__dataclass_fields__
        starts = range(0, len(self), BLOCK)
        return tuple(Spans(**{name: getattr(self, name)[at : at + BLOCK] for name in names}) for at in starts)


class Runs(NamedTuple):
    """Runs of consecutive segments: row of the first, how many, and (m, 4) the box of all."""

    first: Ints
    many: Ints
    boxes: Floats


def _merged(boxes: Floats) -> Floats:
    if not len(boxes):
        return boxes.reshape(0, 4)
    at = np.arange(0, len(boxes), BLOCK)
    low = np.minimum.reduceat(boxes[:, :2], at, axis=0)
    return np.column_stack([low, np.maximum.reduceat(boxes[:, 2:], at, axis=0)])


def spans_of(outline: Outline) -> Spans:
    """Return the segments of a contour or region as arrays."""
    return outline.spans


def put_together(outline: Sequence[Contour]) -> Spans:
    """Return the segments of contours as arrays."""
    contours = [c for c in outline if c.vertices]
    arrays = [c.array for c in contours]
    a = np.concatenate(arrays) if arrays else np.zeros((0, 3))
    ends = np.concatenate([next_rows(x[:, :2]) for x in arrays]) if arrays else np.zeros((0, 2))
    counts = [len(x) for x in arrays]
    dx, dy, b = ends[:, 0] - a[:, 0], ends[:, 1] - a[:, 1], a[:, 2]
    chord = np.hypot(dx, dy)
    safe = np.where(chord > 0.0, chord, 1.0)
    ux, uy = dx / safe, dy / safe
    q = 1.0 + b * b
    cos, sin = (1.0 - b * b) / q, 2.0 * b / q  # of half the sweep
    return Spans(
        a[:, 0], a[:, 1], ends[:, 0], ends[:, 1], b,
        ux * cos + uy * sin, uy * cos - ux * sin,
        ux * cos - uy * sin, uy * cos + ux * sin,
        4.0 * b / (safe * q),
        np.repeat(np.arange(len(counts)), counts),
        np.concatenate([np.arange(k) for k in counts]) if counts else np.zeros(0, dtype=np.int64),
    )  # fmt: skip


class Feet(NamedTuple):
    """Nearest points on segments, and how far they are (mm)."""

    x: Floats
    y: Floats
    distance: Floats


def nearest(spans: Spans, px: Floats, py: Floats) -> Feet:
    """Return the nearest point of each segment to each point; shapes broadcast against the rows.

    Signed distance from the carrier is ``(κ v² - 2 v·n) / (1 + |κ v - n|)`` with v from the start to the point.
    The foot lies on the segment if it is past the start and before the end along the tangents there; both are half
    planes through the centre, which bound the wedge of any sweep up to a half circle.
    """
    vx, vy = px - spans.x0, py - spans.y0
    wx, wy = px - spans.x1, py - spans.y1
    nx, ny, k = -spans.ty0, spans.tx0, spans.curvature
    with np.errstate(invalid="ignore"):  # rows without a segment hold no numbers and are dropped by the caller
        gx, gy = k * vx - nx, k * vy - ny
        norm = np.hypot(gx, gy)
        off = (k * (vx * vx + vy * vy) - 2.0 * (vx * nx + vy * ny)) / (1.0 + norm)
    past = (vx * spans.tx0 + vy * spans.ty0 >= 0.0) & (wx * spans.tx1 + wy * spans.ty1 <= 0.0)
    on = past & (norm > 0.0)
    scale = off / np.where(norm > 0.0, norm, 1.0)
    first = vx * vx + vy * vy <= wx * wx + wy * wy
    fx = np.where(on, px - scale * gx, np.where(first, spans.x0, spans.x1))
    fy = np.where(on, py - scale * gy, np.where(first, spans.y0, spans.y1))
    distance = np.where(on, np.abs(off), np.sqrt(np.where(first, vx * vx + vy * vy, wx * wx + wy * wy)))
    return Feet(fx, fy, distance)


def box_gaps(a: Floats, b: Floats) -> Floats:
    """Return the distances between boxes (last axis: xmin, ymin, xmax, ymax); 0 where they overlap."""
    dx = np.maximum(a[..., 0] - b[..., 2], b[..., 0] - a[..., 2])
    dy = np.maximum(a[..., 1] - b[..., 3], b[..., 1] - a[..., 3])
    gap: Floats = np.hypot(np.maximum(dx, 0.0), np.maximum(dy, 0.0))
    return gap


def near_pairs(a: Spans, b: Spans, within_mm: float) -> tuple[Ints, Ints]:
    """Return the rows of all pairs of segments whose boxes lie within a distance.

    Runs of consecutive segments are compared first, which leaves little of the square.
    """
    if not len(a) or not len(b):
        return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
    if len(a) * len(b) <= _AT_ONCE:
        i, j = np.nonzero(box_gaps(a.boxes[:, None, :], b.boxes[None, :, :]) <= within_mm)
    else:
        found = [_near_within(a, b, p, q, within_mm) for p, q in _near_runs(a.runs, b.runs, within_mm)]
        i = np.concatenate([np.zeros(0, dtype=np.int64), *(rows for rows, _ in found)])
        j = np.concatenate([np.zeros(0, dtype=np.int64), *(columns for _, columns in found)])
    order = np.lexsort((j, i, j // BLOCK, i // BLOCK))
    return i[order], j[order]


def _near_runs(a: Runs, b: Runs, within_mm: float) -> Iterator[tuple[Ints, Ints]]:
    """Yield the numbers of pairs of runs whose boxes lie within a distance, some at a time."""
    size = max(1, _AT_ONCE // len(b.first))
    for at in range(0, len(a.first), size):
        p, q = np.nonzero(box_gaps(a.boxes[at : at + size, None, :], b.boxes[None, :, :]) <= within_mm)
        for low in range(0, len(p), _AT_ONCE // BLOCK**2):
            some = slice(low, low + _AT_ONCE // BLOCK**2)
            yield p[some] + at, q[some]


def _near_within(a: Spans, b: Spans, p: Ints, q: Ints, within_mm: float) -> tuple[Ints, Ints]:
    """Return the rows of pairs of segments of pairs of runs whose boxes lie within a distance."""
    many_a, many_b = a.runs.many[p], b.runs.many[q]
    pair = np.repeat(np.arange(len(p)), many_a * many_b)
    place = np.arange(len(pair)) - np.repeat(np.cumsum(many_a * many_b) - many_a * many_b, many_a * many_b)
    i = a.runs.first[p][pair] + place // many_b[pair]
    j = b.runs.first[q][pair] + place % many_b[pair]
    near = np.flatnonzero(box_gaps(a.boxes[i], b.boxes[j]) <= within_mm)
    return i[near], j[near]
