"""Which texts of a sheet lie on other texts or on lines: the rule is that none does.

Lines count where they really run, arcs in short chords; a text counts by its upright box, which is deeper than its ink.
A text stands over its own dimension line, so that even this one does not cross it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import atan, ceil, cos, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.paper.box import Box
from generator.paper.sheet import Drawn, Item, Letters, Sheet, Track, Window

__all__ = ["Collision", "boxes_hit", "collisions", "segments_of_items", "track_box", "track_points"]

Floats = NDArray[np.float64]
SLACK_MM: Final = 0.05
"""Boxes are taken smaller by this, so that what only touches does not count."""
STEP: Final = 0.1
"""Radians of arc to a chord: off by a thousandth of the radius."""


@frozen_record
class Collision:
    """A text and what it lies on."""

    text: str
    other: str
    at: tuple[float, float]


def collisions(sheet: Sheet) -> tuple[Collision, ...]:
    """Return every text of ``sheet`` that lies on another text, on a line, or over the edge of the sheet."""
    letters = [i for i, _ in sheet.flat() if isinstance(i, Letters) and i.text.strip()]
    boxes = [i.box.grown(-SLACK_MM) for i in letters]
    out = [
        Collision(i.text, "edge of the sheet", i.at)
        for i, b in zip(letters, boxes, strict=True)
        if not b.within(sheet.box)
    ]
    for k, box in enumerate(boxes):
        for other, text in zip(boxes[k + 1 :], letters[k + 1 :], strict=True):
            if box.overlaps(other):
                out.append(Collision(letters[k].text, text.text, letters[k].at))
    names: list[str] = []
    rows: list[Floats] = []
    for item in sheet.drawn():
        if item.line is not None or item.fill is not None:
            segments = segments_of_items([item])
            rows.append(segments)
            names += [item.name or (item.line.name if item.line else "fill")] * len(segments)
    if not rows:
        return tuple(out)
    lines = np.vstack(rows)
    for text, box in zip(letters, boxes, strict=True):
        hit = np.flatnonzero(boxes_hit(lines, box))
        out += [Collision(text.text, other, text.at) for other in sorted({names[k] for k in hit})]
    return tuple(out)


def segments_of_items(items: Iterable[Item]) -> Floats:
    """Return all lines of items as rows x0, y0, x1, y1 (mm); arcs in short chords, texts left out."""
    rows: list[Floats] = []
    for item in items:
        if isinstance(item, Window):
            rows.append(segments_of_items(item.items))
        elif isinstance(item, Drawn):
            for track in item.tracks:
                p = track_points(track)
                rows.append(np.hstack((p[:-1], p[1:])))
    return np.vstack(rows) if rows else np.empty((0, 4))


def boxes_hit(segments: Floats, box: Box) -> NDArray[np.bool_]:
    """Return which segments (rows x0, y0, x1, y1) run through a box; Liang and Barsky's clipping."""
    out = np.zeros(len(segments), dtype=bool)
    xa, ya, xb, yb = segments.T
    near = np.flatnonzero(
        (np.maximum(xa, xb) > box.left)
        & (np.minimum(xa, xb) < box.right)
        & (np.maximum(ya, yb) > box.bottom)
        & (np.minimum(ya, yb) < box.top)
    )
    if len(near):
        out[near] = _clipped(segments[near], box)
    return out


def _clipped(segments: Floats, box: Box) -> NDArray[np.bool_]:
    """Return which segments have a piece left in a box."""
    x0, y0 = segments[:, 0], segments[:, 1]
    dx, dy = segments[:, 2] - x0, segments[:, 3] - y0
    low, high = np.zeros(len(segments)), np.ones(len(segments))
    inside = np.ones(len(segments), dtype=bool)
    for p, q in ((-dx, x0 - box.left), (dx, box.right - x0), (-dy, y0 - box.bottom), (dy, box.top - y0)):
        inside &= (p != 0.0) | (q > 0.0)
        with np.errstate(divide="ignore", invalid="ignore"):
            t = q / p
        low = np.where(p < 0.0, np.maximum(low, t), low)
        high = np.where(p > 0.0, np.minimum(high, t), high)
    hit: NDArray[np.bool_] = inside & (low < high)
    return hit


def track_points(track: Track) -> Floats:
    """Return points (n, 2) along a track, arcs in short chords; a closed one ends where it began."""
    rows = (*track.vertices, track.vertices[0]) if track.is_closed else track.vertices
    points: list[tuple[float, float]] = [(rows[0].x, rows[0].y)]
    for a, b in pairwise(rows):
        if a.bulge != 0.0:
            points += _arc_points(a.x, a.y, b.x, b.y, a.bulge)
        points.append((b.x, b.y))
    return np.array(points)


def _arc_points(x0: float, y0: float, x1: float, y1: float, bulge: float) -> list[tuple[float, float]]:
    """Return the points between the ends of an arc."""
    k = (1.0 - bulge * bulge) / (4.0 * bulge)
    cx, cy = (x0 + x1) / 2.0 - k * (y1 - y0), (y0 + y1) / 2.0 + k * (x1 - x0)
    sweep = 4.0 * atan(bulge)
    n = ceil(abs(sweep) / STEP)
    angles: Sequence[float] = [sweep * i / n for i in range(1, n)]
    ux, uy = x0 - cx, y0 - cy
    return [(cx + cos(a) * ux - sin(a) * uy, cy + sin(a) * ux + cos(a) * uy) for a in angles]


def track_box(track: Track) -> Box:
    """Return the box round a track, arcs within a thousandth of their radius."""
    p = track_points(track)
    (left, bottom), (right, top) = p.min(axis=0), p.max(axis=0)
    return Box(float(left), float(bottom), float(right), float(top))
