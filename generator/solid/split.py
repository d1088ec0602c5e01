"""Split the runs of two sections where they touch or cross, so that common stretches become equal runs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import hypot, sqrt

import numpy as np
from numpy.typing import NDArray

from generator.outline.carrier import Carrier, Line, meet
from generator.outline.contour import Point
from generator.part.runs import Loop, Plane, Run, turned_into

TOUCH_MM = 5e-7
"""Outlines that overlap, or miss each other, by less touch in one point: the kernel sees that as one (measured)."""

_AT_ONCE = 256
"""So many boxes are compared with all others together."""

Split = dict[tuple[int, int], tuple[Run, ...]]


def split_at_contacts(lower: Sequence[Loop], upper: Sequence[Loop], plane: Plane) -> tuple[Split, Split]:
    """Return the runs of both sections, by loop key and number, split at every corner that lies on them.

    Corners are the ends of all runs and every point where two of them touch or cross, so that stretches which lie
    on each other end up with the same ends.
    """
    key = tuple(loop.key for loop in (*lower, *upper))
    both = plane.splits.get(key)
    if both is None:  # a stack's lowest section and its highest are often the same, each with air beside it
        both = plane.splits[key] = _split_all((*lower, *upper), plane)
    low, high = (
        {(loop.key, i): both[loop.key, i] for loop in loops for i in range(len(loop))} for loops in (lower, upper)
    )
    return low, high


def _split_all(loops: Sequence[Loop], plane: Plane) -> Split:
    """Return the runs of loops, by loop key and number, split at every corner that lies on them."""
    places = [(loop.key, i, run) for loop in loops for i, run in enumerate(loop)]
    runs = [run for _, _, run in places]
    boxes = _boxes(runs, plane)
    corners = {corner for run in runs for corner in (run.start, run.end)}
    for i, j in _near(boxes):
        a, b = runs[i], runs[j]
        neighbours = places[i][0] == places[j][0] and (a.start == b.end or a.end == b.start)
        if a.edge_key != b.edge_key and not neighbours:
            corners |= _contacts(a, b, plane)
    return _split(places, _cuts(runs, boxes, sorted(corners), plane), plane)


def _boxes(runs: Sequence[Run], plane: Plane) -> NDArray[np.float64]:
    """Return a box for each run, a little too big: xmin, ymin, xmax, ymax."""
    rows = []
    for run in runs:
        a, b = plane.corners[run.start], plane.corners[run.end]
        x, y, m = [a.x, b.x], [a.y, b.y], plane.corners.same_mm * 2.0
        if run.circle is not None and abs(run.sweep) > 3.0:
            (cx, cy), r = run.circle
            x, y = [cx - r, cx + r], [cy - r, cy + r]
        elif run.circle is not None:
            mid = plane.at(run, 0.5)
            m += hypot(mid.x - (a.x + b.x) / 2.0, mid.y - (a.y + b.y) / 2.0)
        rows.append((min(x) - m, min(y) - m, max(x) + m, max(y) + m))
    return np.array(rows, dtype=np.float64).reshape(-1, 4)


def _near(boxes: NDArray[np.float64]) -> Iterator[tuple[int, int]]:
    """Yield the pairs whose boxes overlap, by rising numbers."""
    for first in range(0, len(boxes), _AT_ONCE):
        x0, y0, x1, y1 = (column[:, None] for column in boxes[first : first + _AT_ONCE].T)
        rest = boxes[first:]
        near = (rest[:, 0] <= x1) & (rest[:, 2] >= x0) & (rest[:, 1] <= y1) & (rest[:, 3] >= y0)
        i, j = np.nonzero(np.triu(near, 1))
        yield from zip((i + first).tolist(), (j + first).tolist(), strict=True)


def _contacts(a: Run, b: Run, plane: Plane) -> set[int]:
    """Return the corners, new ones if need be, at which two runs touch or cross; none where they overlap."""
    if _on_one_carrier(a, b, plane):
        return set()
    carriers = _carrier(a, plane), _carrier(b, plane)
    touch = _touch(*carriers)
    found = set()
    for point in [touch[0]] if touch else meet(*carriers):
        if _share(a, point, plane) is None or _share(b, point, plane) is None:
            continue
        corner = plane.corners.number(point.x, point.y)
        if touch:
            plane.reach[corner] = max(touch[1], plane.reach.get(corner, 0.0))
        found.add(corner)
    return found


def _cuts(
    runs: Sequence[Run], boxes: NDArray[np.float64], corners: Sequence[int], plane: Plane
) -> list[dict[int, float]]:
    """Return for each run the corners that lie on it, with the share of its length."""
    points = np.array([plane.corners[c] for c in corners], dtype=np.float64).reshape(-1, 2)
    cuts: list[dict[int, float]] = []
    for run, (x0, y0, x1, y1) in zip(runs, boxes, strict=True):
        x, y = points[:, 0], points[:, 1]
        cuts.append({})
        for k in np.flatnonzero((x >= x0) & (x <= x1) & (y >= y0) & (y <= y1)):
            _add(run, corners[int(k)], cuts[-1], plane)
    return cuts


def _touch(a: Carrier, b: Carrier) -> tuple[Point, float] | None:
    """Return where two carriers touch, and how far from there they part by more than the kernel can tell.

    They touch if they overlap, or miss each other, by less than that; two crossings that far apart are one contact.
    """
    if isinstance(a, Line) and isinstance(b, Line):
        return None
    if isinstance(a, Line):
        return _touch(b, a)
    (cx, cy), r = a
    if isinstance(b, Line):
        (px, py), (ux, uy) = b
        off = (cx - px) * uy - (cy - py) * ux
        depth, bend = r - abs(off), r
        at = Point(cx - off * uy, cy + off * ux)
    else:
        (dx, dy), s = b
        d = hypot(dx - cx, dy - cy)
        if d == 0.0:
            return None
        outside = abs(r + s - d) < abs(d - abs(r - s))
        depth = r + s - d if outside else d - abs(r - s)
        bend = r * s / (r + s if outside else max(abs(r - s), 1e-12))
        way = 1.0 if outside or r >= s else -1.0
        at = Point(cx + way * r * (dx - cx) / d, cy + way * r * (dy - cy) / d)
    return (at, sqrt(2.0 * bend * abs(depth))) if abs(depth) <= TOUCH_MM else None


def _on_one_carrier(a: Run, b: Run, plane: Plane) -> bool:
    """Return True if the runs overlap along a stretch: their ends are all there is to split at."""
    near = plane.corners.same_mm
    points = [plane.at(b, s) for s in (0.0, 0.3, 0.7, 1.0)]  # of a whole circle three different ones
    return all(_off(a, p, plane) <= near for p in points)


def _off(run: Run, point: Point, plane: Plane) -> float:
    """Return how far a point lies from the run's carrier, mm."""
    if run.circle is not None:
        return abs(hypot(point.x - run.circle.centre.x, point.y - run.circle.centre.y) - run.circle.radius_mm)
    a, u = plane.corners[run.start], plane.heading(run, 0.0)
    return abs((point.x - a.x) * u.y - (point.y - a.y) * u.x)


def _carrier(run: Run, plane: Plane) -> Carrier:
    return run.circle or Line(plane.corners[run.start], plane.heading(run, 0.0))


def _add(run: Run, corner: int, cuts: dict[int, float], plane: Plane) -> None:
    if corner in (run.start, run.end):
        return
    point = plane.corners[corner]
    share = _share(run, point, plane)
    if share is not None:
        cuts[corner] = share
        plane.off[corner] = max(_off(run, point, plane), plane.off.get(corner, 0.0))


def _share(run: Run, point: Point, plane: Plane) -> float | None:
    """Return the share of the run's length at which a point lies on it; None if it lies elsewhere."""
    near = plane.corners.same_mm
    if _off(run, point, plane) > near:
        return None
    if run.circle is None:
        a, u = plane.corners[run.start], plane.heading(run, 0.0)
        share = ((point.x - a.x) * u.x + (point.y - a.y) * u.y) / plane.length(run)
    else:
        (cx, cy), _ = run.circle
        angle = float(np.arctan2(point.y - cy, point.x - cx))
        way = 1.0 if run.sweep > 0 else -1.0
        slack = near / run.circle.radius_mm
        share = (turned_into(way * (angle - run.angle), -slack)) / abs(run.sweep)
    slack = near / plane.length(run)
    return share if -slack <= share <= 1.0 + slack else None


def _split(runs: Sequence[tuple[int, int, Run]], cuts: Sequence[dict[int, float]], plane: Plane) -> Split:
    return {
        (key, i): (run,) if not cut else _stretches(run, cut, plane)
        for (key, i, run), cut in zip(runs, cuts, strict=True)
    }


def _stretches(run: Run, cuts: dict[int, float], plane: Plane) -> tuple[Run, ...]:
    stops = [(0.0, run.start), *sorted((s, c) for c, s in cuts.items()), (1.0, run.end)]
    out = []
    for (s, corner), (t, following) in pairwise(stops):
        if run.circle is None:
            out.append(Run(corner, following))
        else:
            angle, sweep = run.angle + s * run.sweep, (t - s) * run.sweep
            out.append(plane.arc(corner, following, run.circle, angle, sweep))
    return tuple(out)
