"""How often an outline goes round points, and on which side of it they lie; pruned by boxes."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from generator.outline.contour import Contour
from generator.outline.measure import Outline, bounds
from generator.outline.spans import BLOCK, Floats, Ints, Spans, box_gaps, nearest, spans_of

__all__ = ["INSIDE", "ON", "OUTSIDE", "sides", "sides_of_each", "winding_numbers", "windings"]

OUTSIDE, INSIDE, ON = 0, 1, 2
_BATCH = 200_000


def winding_numbers(outline: Outline, points: ArrayLike) -> Ints:
    """Return how often the outline goes round each of the points, shape (n, 2); no tolerance, no boundary."""
    p = np.asarray(points, dtype=np.float64).reshape(-1, 2)
    return windings(spans_of(outline), p)


def sides(outline: Outline, points: ArrayLike, same_mm: float) -> Ints:
    """Return 0 (outside), 1 (inside) or 2 (within ``same_mm`` of the boundary) for each point, shape (n, 2).

    A lone contour counts as the area that it goes round, whichever way.
    """
    p = np.asarray(points, dtype=np.float64).reshape(-1, 2)
    spans = spans_of(outline)
    turns = windings(spans, p)
    inside = turns != 0 if isinstance(outline, Contour) else turns > 0
    codes: Ints = inside.astype(np.int64)
    boxes = np.column_stack([p, p])
    for k, box in enumerate(spans.block_boxes):
        rows = np.flatnonzero(box_gaps(boxes, box) <= same_mm)
        for part, block in _batches(spans, k, rows):
            distance = nearest(block, p[part, 0, None], p[part, 1, None]).distance
            codes[part[(distance <= same_mm).any(axis=1)]] = ON
    return codes


def sides_of_each(outlines: Sequence[Outline], points: ArrayLike, same_mm: float) -> Ints:
    """Return ``sides`` of many outlines in one: shape (outlines, points); points beyond a box are not looked at."""
    p = np.asarray(points, dtype=np.float64).reshape(-1, 2)
    codes = np.full((len(outlines), len(p)), OUTSIDE, dtype=np.int64)
    for k, outline in enumerate(outlines):
        low, high = np.split(np.array(bounds(outline)), 2)
        rows = np.flatnonzero(((p >= low - same_mm) & (p <= high + same_mm)).all(axis=1))
        if len(rows):
            codes[k, rows] = sides(outline, p[rows], same_mm)
    return codes


def _batches(spans: Spans, k: int, rows: Ints) -> list[tuple[Ints, Spans]]:
    if not len(rows):
        return []
    block = spans.blocks[k]
    size = _BATCH // BLOCK
    return [(rows[at : at + size], block) for at in range(0, len(rows), size)]


def windings(spans: Spans, p: Floats) -> Ints:
    """Return the same of an outline's segments and an array of points."""
    turns = np.zeros(len(p), dtype=np.int64)
    for k, (_, ymin, xmax, ymax) in enumerate(spans.block_boxes):
        # a ray towards +x meets nothing of a block that lies below, above or to the left
        rows = np.flatnonzero((p[:, 1] >= ymin) & (p[:, 1] <= ymax) & (p[:, 0] <= xmax))
        for part, block in _batches(spans, k, rows):
            turns[part] += _winding(block, p[part, 0, None], p[part, 1, None])
    return turns


def _winding(spans: Spans, x: Floats, y: Floats) -> Ints:
    """Return winding numbers: those of the polygon of chords, and one more for each circular segment.

    Both parts decide by the same number on which side of a chord a point lies, so that rounding cannot set them
    at odds. A point on a chord counts as if it were moved a trifle along +x and much less along +y.
    """
    dx, dy = spans.x1 - spans.x0, spans.y1 - spans.y0
    side = dx * (y - spans.y0) - dy * (x - spans.x0)
    side = np.where(side == 0.0, np.where(dy != 0.0, -dy, dx), side)
    up = (spans.y0 <= y) & (y < spans.y1) & (side > 0.0)
    down = (spans.y1 <= y) & (y < spans.y0) & (side < 0.0)
    vx, vy, k = x - spans.x0, y - spans.y0, spans.curvature
    power = k * (vx * vx + vy * vy) - 2.0 * (vy * spans.tx0 - vx * spans.ty0)
    left = (k > 0.0) & (power < 0.0) & (side < 0.0)
    right = (k < 0.0) & (power > 0.0) & (side > 0.0)
    turns: Ints = (up.astype(np.int64) - down + left - right).sum(axis=1)
    return turns
