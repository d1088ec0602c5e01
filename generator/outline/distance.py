"""How far: from points to outlines and between outlines, closed form for lines and arcs, pruned by boxes."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from generator.base.errors import GeometryError
from generator.outline.carrier import ALMOST_STRAIGHT
from generator.outline.contour import Contour, Point
from generator.outline.measure import Outline, contours_of
from generator.outline.region import Region
from generator.outline.remembered import remembered
from generator.outline.spans import Floats, Ints, Spans, box_gaps, near_pairs, nearest, spans_of
from generator.outline.winding import winding_numbers, windings

__all__ = [
    "Gap",
    "LeastGap",
    "Nearest",
    "boundary_distance",
    "boundary_points",
    "close_contours",
    "hausdorff",
    "least_gap",
    "point_distance",
    "points_depth",
    "points_distance",
    "region_distance",
]

_ALL_AT_ONCE = 60_000
"""So many pairs of point and segment are compared without pruning."""
_BATCH = 4096


class Nearest(NamedTuple):
    """How far the nearest boundary point is, mm, and where."""

    distance_mm: float
    point: Point


class Gap(NamedTuple):
    """The least distance between two outlines, mm, and a point on each where it is taken."""

    distance_mm: float
    on_a: Point
    on_b: Point


class LeastGap(NamedTuple):
    """Which two of several outlines come closest, and the gap between them."""

    first: int
    second: int
    gap: Gap


# ------------------------------------------------------------------ points
def point_distance(outline: Outline, point: tuple[float, float]) -> Nearest:
    """Return the distance from a point to the *boundary* of a contour or region, inside or outside, mm.

    Raises:
        GeometryError: the outline is empty.
    """
    d, x, y = _nearest_many(_filled(outline), np.array([point[0]]), np.array([point[1]]))
    return Nearest(float(d[0]), Point(float(x[0]), float(y[0])))


def points_distance(outline: Outline, points: ArrayLike) -> NDArray[np.float64]:
    """Return the distances from points, shape (n, 2), to the *boundary* of a contour or region, mm.

    Raises:
        GeometryError: the outline is empty.
    """
    p = np.asarray(points, dtype=np.float64).reshape(-1, 2)
    return _nearest_many(_filled(outline), p[:, 0], p[:, 1])[0]


def points_depth(outline: Outline, points: ArrayLike) -> NDArray[np.float64]:
    """Return how deep within a contour or region points, shape (n, 2), lie: outside negative, mm.

    Raises:
        GeometryError: the outline is empty.
    """
    p, spans = np.asarray(points, dtype=np.float64).reshape(-1, 2), _filled(outline)
    away = _nearest_many(spans, p[:, 0], p[:, 1])[0]
    return np.where(windings(spans, p) > 0, away, -away)


def _filled(outline: Outline) -> Spans:
    spans = spans_of(outline)
    if not len(spans):
        raise GeometryError("an empty region has no boundary to measure a distance to")
    return spans


def _nearest_many(spans: Spans, px: Floats, py: Floats) -> tuple[Floats, Floats, Floats]:
    if len(px) * len(spans) <= _ALL_AT_ONCE:
        return _nearest_among(spans, px, py)
    boxes = spans.block_boxes
    points = np.column_stack([px, py, px, py])
    least = np.stack([box_gaps(points, box) for box in boxes], axis=1)  # lower bound by point and block
    d, x, y = np.full(len(px), inf), px.copy(), py.copy()
    for first_round in (True, False):
        closest = least.argmin(axis=1)
        for k in range(len(boxes)):
            rows = np.flatnonzero((closest == k) if first_round else (least[:, k] < d) & (closest != k))
            if len(rows):
                _improve(spans.blocks[k], px, py, rows, (d, x, y))
    return d, x, y


def _improve(block: Spans, px: Floats, py: Floats, rows: Ints, best: tuple[Floats, Floats, Floats]) -> None:
    """Put nearer feet on one block into ``best`` (distance, x, y), in place."""
    found = _nearest_among(block, px[rows], py[rows])
    nearer = found[0] < best[0][rows]
    for into, value in zip(best, found, strict=True):
        into[rows[nearer]] = value[nearer]


def _nearest_among(spans: Spans, px: Floats, py: Floats) -> tuple[Floats, Floats, Floats]:
    feet = nearest(spans, px[:, None], py[:, None])
    k = feet.distance.argmin(axis=1)
    rows = np.arange(len(px))
    return feet.distance[rows, k], feet.x[rows, k], feet.y[rows, k]


# ------------------------------------------------------------------ outlines
def region_distance(a: Region, b: Region) -> Gap:
    """Return the least distance between two regions, mm; 0 when they touch or overlap.

    Raises:
        GeometryError: a region is empty.
    """
    gap = boundary_distance(a, b)
    if gap.distance_mm > 0.0:
        for one, other in ((a, b), (b, a)):
            starts = np.array([c.vertices[0][:2] for c in other.contours if len(c)])
            inside = winding_numbers(one, starts) > 0
            if inside.any():
                p = Point(*(float(v) for v in starts[inside][0]))
                return Gap(0.0, p, p)
    return gap


def boundary_distance(a: Outline, b: Outline) -> Gap:
    """Return the least distance between two boundaries, mm, even if one outline lies inside the other.

    Raises:
        GeometryError: an outline is empty.
    """
    first, second = _filled(a), _filled(b)
    d, x, y = _nearest_many(second, first.x0, first.y0)
    k = int(d.argmin())
    best = Gap(float(d[k]), Point(float(first.x0[k]), float(first.y0[k])), Point(float(x[k]), float(y[k])))
    i, j = near_pairs(first, second, best.distance_mm)
    bounds = box_gaps(first.boxes[i], second.boxes[j])
    order = np.argsort(bounds, kind="stable")
    for at in range(0, len(order), _BATCH):
        batch = order[at : at + _BATCH]
        if best.distance_mm == 0.0 or bounds[batch[0]] > best.distance_mm:
            break
        found = _pair_gap(first.take(i[batch, None]), second.take(j[batch, None]))
        if found.distance_mm < best.distance_mm:
            best = found
    return best


class _Gaps(NamedTuple):
    """Candidates for the gaps between pairs of segments, a row each: distance (mm) and the points on either side."""

    distance: Floats
    ax: Floats
    ay: Floats
    bx: Floats
    by: Floats


def _pair_gap(a: Spans, b: Spans) -> Gap:
    """Return the least of the gaps between the rows of a and b, each of shape (n, 1)."""
    gaps = _pair_gaps(a, b)
    at = np.unravel_index(int(gaps.distance.argmin()), gaps.distance.shape)
    d, ax, ay, bx, by = (float(values[at]) for values in gaps)
    return Gap(d, Point(ax, ay), Point(bx, by))


def _pair_gaps(a: Spans, b: Spans) -> _Gaps:
    """Return the gaps between the rows of a and b, each of shape (n, 1): the least of a row is the pair's.

    The nearest points of two segments are an end of one of them, a crossing of the carriers, or lie on the
    common normal of the carriers. Each candidate is put on a and then on b, so none can come out too short.
    """
    cx, cy = _candidates(a, b)
    on_a = nearest(a, np.hstack([cx, a.x0, a.x1]), np.hstack([cy, a.y0, a.y1]))
    on_b = nearest(b, on_a.x, on_a.y)
    bx, by = np.hstack([b.x0, b.x1]), np.hstack([b.y0, b.y1])
    back = nearest(a, bx, by)
    d = np.hstack([on_b.distance, back.distance])
    d = np.where(np.isnan(d), inf, d)
    return _Gaps(
        d,
        np.hstack([on_a.x, back.x]),
        np.hstack([on_a.y, back.y]),
        np.hstack([on_b.x, bx]),
        np.hstack([on_b.y, by]),
    )


def _candidates(a: Spans, b: Spans) -> tuple[Floats, Floats]:
    """Return crossings of the carriers and feet of the common normals, (n, 4) each; NaN where there is none."""
    line_a, line_b = np.abs(a.bulge) < ALMOST_STRAIGHT, np.abs(b.bulge) < ALMOST_STRAIGHT
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        both = _line_line(a, b)
        ab, ba, circles = _line_arc(a, b), _line_arc(b, a), _arc_arc(a, b)
    out = []
    for axis in (0, 1):
        mixed = np.where(line_a, ab[axis], ba[axis])
        out.append(np.where(line_a & line_b, both[axis], np.where(line_a | line_b, mixed, circles[axis])))
    return out[0], out[1]


def _line_line(a: Spans, b: Spans) -> tuple[Floats, Floats]:
    cross = a.tx0 * b.ty0 - a.ty0 * b.tx0
    s = ((b.x0 - a.x0) * b.ty0 - (b.y0 - a.y0) * b.tx0) / cross
    return _four(a.x0 + s * a.tx0), _four(a.y0 + s * a.ty0)


def _four(column: Floats) -> Floats:
    return np.hstack([column, np.full((len(column), 3), np.nan)])


def _line_arc(line: Spans, arc: Spans) -> tuple[Floats, Floats]:
    cx, cy, r = _circle(arc)
    off = (cx - line.x0) * line.ty0 - (cy - line.y0) * line.tx0
    fx, fy = cx - off * line.ty0, cy + off * line.tx0
    h = np.sqrt((r - off) * (r + off))
    nan = np.full_like(fx, np.nan)
    return (
        np.hstack([fx, fx - h * line.tx0, fx + h * line.tx0, nan]),
        np.hstack([fy, fy - h * line.ty0, fy + h * line.ty0, nan]),
    )


def _arc_arc(a: Spans, b: Spans) -> tuple[Floats, Floats]:
    ax, ay, r = _circle(a)
    bx, by, s = _circle(b)
    d = np.hypot(bx - ax, by - ay)
    ux, uy = (bx - ax) / d, (by - ay) / d
    along = (d + (r - s) * (r + s) / d) / 2.0
    h = np.sqrt((r + s + d) * (r + s - d) * (d + (r - s)) * (d - (r - s))) / (2.0 * d)
    fx, fy = ax + along * ux, ay + along * uy
    return (
        np.hstack([ax + r * ux, ax - r * ux, fx - h * uy, fx + h * uy]),
        np.hstack([ay + r * uy, ay - r * uy, fy + h * ux, fy - h * ux]),
    )


def _circle(arc: Spans) -> tuple[Floats, Floats, Floats]:
    radius = 1.0 / arc.curvature  # signed
    return arc.x0 - radius * arc.ty0, arc.y0 + radius * arc.tx0, np.abs(radius)


@remembered
def close_contours(outline: Outline, within_mm: float) -> tuple[tuple[int, int], ...]:
    """Return the pairs of contours, by number, that come within a distance of each other."""
    spans = spans_of(outline)
    i, j = near_pairs(spans, spans, within_mm)
    rows = np.flatnonzero(spans.contour[i] < spans.contour[j])
    i, j = i[rows], j[rows]
    found: set[tuple[int, int]] = set()
    for at in range(0, len(i), _BATCH):
        first, second = i[at : at + _BATCH], j[at : at + _BATCH]
        gaps = _pair_gaps(spans.take(first[:, None]), spans.take(second[:, None]))
        near = np.flatnonzero(gaps.distance.min(axis=1) <= within_mm)
        found.update(zip(spans.contour[first[near]].tolist(), spans.contour[second[near]].tolist(), strict=True))
    return tuple(sorted(found))


def least_gap(outlines: Sequence[Outline]) -> LeastGap:
    """Return which two of several outlines have boundaries closest to each other.

    Raises:
        GeometryError: there are fewer than two outlines, or one is empty.
    """
    if len(outlines) < 2:
        raise GeometryError("a gap needs at least two outlines")
    boxes = np.array([_outer_box(o) for o in outlines])
    i, j = np.triu_indices(len(outlines), 1)
    lower = box_gaps(boxes[i], boxes[j])
    best: LeastGap | None = None
    for k in np.argsort(lower, kind="stable"):
        if best is not None and lower[k] >= best.gap.distance_mm:
            break
        gap = boundary_distance(outlines[i[k]], outlines[j[k]])
        if best is None or gap.distance_mm < best.gap.distance_mm:
            best = LeastGap(int(i[k]), int(j[k]), gap)
    assert best is not None
    return best


def _outer_box(outline: Outline) -> Floats:
    boxes = _filled(outline).boxes
    return np.concatenate([boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)])


# ------------------------------------------------------------------ samples
def boundary_points(outline: Outline, step_mm: float) -> NDArray[np.float64]:
    """Return points on the boundary, shape (n, 2): every vertex, and between them at most ``step_mm`` apart."""
    runs = [_samples(c, step_mm) for c in contours_of(outline) if len(c)]
    return np.concatenate(runs) if runs else np.zeros((0, 2))


def _samples(contour: Contour, step_mm: float) -> Floats:
    spans = spans_of(contour)
    chord = np.hypot(spans.x1 - spans.x0, spans.y1 - spans.y0)
    sweep = 4.0 * np.arctan(spans.bulge)
    lengths = np.where(sweep != 0.0, np.abs(sweep / np.where(sweep != 0.0, spans.curvature, 1.0)), chord)
    counts = np.maximum(1, np.ceil(lengths / step_mm).astype(np.int64))
    rows = np.repeat(np.arange(len(spans)), counts)
    share = (np.arange(len(rows)) - np.repeat(np.cumsum(counts) - counts, counts)) / counts[rows]
    # the chord from the start to the sample turns by half the angle swept so far
    half = sweep[rows] * share / 2.0
    reach = lengths[rows] * share * np.sinc(half / np.pi)
    tx, ty = spans.tx0[rows], spans.ty0[rows]
    return np.column_stack(
        [
            spans.x0[rows] + reach * (tx * np.cos(half) - ty * np.sin(half)),
            spans.y0[rows] + reach * (ty * np.cos(half) + tx * np.sin(half)),
        ]
    )


def hausdorff(a: Outline, b: Outline, step_mm: float) -> float:
    """Return the Hausdorff distance of two boundaries, mm, from samples ``step_mm`` apart.

    It may come out too small by up to half the step.

    Raises:
        GeometryError: an outline is empty.
    """
    for outline in (a, b):
        _filled(outline)
    there = points_distance(b, boundary_points(a, step_mm)).max()
    back = points_distance(a, boundary_points(b, step_mm)).max()
    return float(max(there, back))
