"""The largest size at which letters fit into an outline with a margin, and where: sought on the outlines themselves.

Terminology. The *drawing* is what has to fit, at the layout size about the middle of its box; a *placing* is a factor
and the point where that middle lies. The *slack* of a point is its distance to the outline's boundary, negative
outside, less the margin: a placing is good where no point of the drawing has a negative slack.

The search is in two steps. Looking over: sizes from large to small, every place on a grid, the slack read from a
table; the places where the largest size just fits, or nearly, are kept. Pushing: from each of them the factor grows
while the points that touch push the drawing away, which is a linear programme in three unknowns at every step; it ends
where nothing can give way. In a convex outline there is one such place, so that looking over is left out. At the end
the exact distance between the outlines is measured, and pushed once more for what lay between the points looked at.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

import numpy as np

from generator.artwork.text_programme import greatest_step
from generator.base.errors import GeometryError
from generator.base.units import MODEL
from generator.outline.contour import Contour
from generator.outline.distance import boundary_distance
from generator.outline.hull import hull
from generator.outline.measure import bounds
from generator.outline.predicates import is_convex
from generator.outline.region import Region
from generator.outline.spans import Floats, Ints, Spans, nearest, spans_of
from generator.outline.transform import moved, scaled
from generator.outline.winding import winding_numbers

__all__ = ["Placing", "largest_placing"]

_COARSE: Final = 0.01
"""Chord error of the drawing's points for looking over and the first pushes, as a share of its reach."""
_FINE: Final = 3e-5
"""Chord error for the last pushes; what is left is measured exactly."""
_ALONG: Final = 60
"""Points along a straight way as long as the drawing's reach; only needed where the outline is not convex."""
_CELLS: Final = 96
"""Cells of the table of slacks along the longer side of the outline."""
_PLACES: Final = 40
"""Places along the longer side when looking over."""
_SMALLER: Final = 0.96
"""From one size to the next when looking over closely."""
_MUCH_SMALLER: Final = 0.85
"""From one size to the next at first."""
_KEPT: Final = 5
"""Places that are pushed from."""
_PUSHES: Final = 60
_CORRECTIONS: Final = 6
"""Rounds in which what lay between points is measured and made up for."""
_NEAR: Final = 0.05
"""Points with a slack of less than this share of the drawing's reach take part in the last pushes."""
_SETTLED: Final = 1e-9
"""A push that changes the drawing by less than this share of its reach is the last."""
_SMALLEST: Final = 1e-3
"""Share of the outline's extent below which nothing is looked for."""


class Placing(NamedTuple):
    """How large and where: times ``factor``, the middle of the drawing's box at (x, y), mm."""

    factor: float
    x: float
    y: float


@dataclass(frozen=True)
class _Slack:
    """What the slack of points is measured against."""

    room: Region
    clear_mm: float

    def at(self, p: Floats) -> tuple[Floats, Floats]:
        """Return the slacks of points (n, 2), and the directions (n, 2) in which they grow."""
        spans = spans_of(self.room)
        away, towards = [], []
        for part in np.array_split(p, max(1, len(p) * len(spans) // 400_000)):
            feet = nearest(spans, part[:, 0, None], part[:, 1, None])
            k = feet.distance.argmin(axis=1)
            rows = np.arange(len(part))
            away.append(feet.distance[rows, k])
            towards.append(np.column_stack([feet.x[rows, k], feet.y[rows, k]]))
        d, foot = np.concatenate(away), np.concatenate(towards)
        sign = np.where(winding_numbers(self.room, p) > 0, 1.0, -1.0)
        direction = (p - foot) * (sign / np.where(d > 0.0, d, 1.0))[:, None]
        return sign * d - self.clear_mm, direction


@dataclass(frozen=True)
class _Task:
    """What is pushed against what, and how.

    Attributes:
        slack: the outline with its margin.
        shape: what of the drawing can touch, about the middle of the drawing's box.
        centred: nothing moves.
        convex: the outline is, so that of a straight way only the ends can touch.
    """

    slack: _Slack
    shape: Region
    centred: bool
    convex: bool


def largest_placing(
    drawing: Sequence[Contour], room: Region, clear_mm: float, *, centred: bool, is_area: bool
) -> Placing:
    """Return the largest placing of a drawing in an outline.

    Args:
        drawing: contours at the layout size; what is open stands there and back.
        room: where it has to fit; holes keep it out.
        clear_mm: least distance between the drawing and the outline's boundary, above 0.
        centred: the middle of the drawing's box lies in the middle of the outline's box.
        is_area: the contours bound an area, which must not hold a hole of the outline either.
    Raises: GeometryError: it fits nowhere.
    """
    middle = bounds(Region(tuple(drawing))).centre
    shape = Region(tuple(moved(c, -middle.x, -middle.y) for c in drawing))
    slack = _Slack(room, clear_mm)
    convex = len(room) == 1 and is_convex(room.contours[0])
    outside = Region((hull([shape]),)) if convex and _has_area(shape) else shape
    starts = [_centre_start(room, outside)] if centred or convex else _looked_over(slack, outside)
    task = _Task(slack, outside, centred, convex)
    rough = [p for p in (_push(task, _samples(outside, _COARSE, convex=convex), start) for start in starts) if p]
    held = is_area and len(room) > 1
    for placing in sorted(rough, key=lambda p: (-p.factor, abs(p.x), abs(p.y))):
        exact = _settled(task, placing)
        if exact is not None and not (held and _holds_a_hole(shape, room, exact)):
            return exact
    raise GeometryError(_no_place(centred))


def _no_place(centred: bool) -> str:
    hint = ", or leave `centred` out" if centred else ""
    return f"the letters fit nowhere with this margin; a smaller `margin`, fewer letters or a larger outline{hint}"


def _has_area(shape: Region) -> bool:
    box = bounds(shape)
    return min(box.width_mm, box.height_mm) > MODEL.model_mm


def _at(shape: Region, p: Placing) -> Region:
    return moved(scaled(shape, p.factor), p.x, p.y)


def _holds_a_hole(shape: Region, room: Region, p: Placing) -> bool:
    starts = np.array([c.vertices[0][:2] for c in room])
    return bool((winding_numbers(_at(shape, p), starts) > 0).any())


def _samples(shape: Region, error: float, *, convex: bool) -> Floats:
    """Return points of the drawing: every vertex, arcs to a chord error, lines in steps unless only ends can touch.

    The error is a share of the drawing's reach. Between points the drawing lies at most that far outside of them.
    """
    spans = spans_of(shape)
    reach = float(np.hypot(spans.x0, spans.y0).max())
    sweep, chord = 4.0 * np.arctan(spans.bulge), np.hypot(spans.x1 - spans.x0, spans.y1 - spans.y0)
    # the chord error of a part is its length times an eighth of its sweep
    parts = np.sqrt(np.abs(sweep) * chord / (8.0 * error * reach))
    if not convex:
        parts = np.maximum(parts, chord * _ALONG / reach * min(1.0, (_COARSE / error) ** 0.25))
    counts = np.ceil(parts).clip(1, 200).astype(np.int64)
    rows = np.repeat(np.arange(len(counts)), counts)
    share = (np.arange(len(rows)) - np.repeat(np.cumsum(counts) - counts, counts)) / counts[rows]
    return _points_at(spans, rows, share)


def _points_at(spans: Spans, rows: Ints, share: Floats) -> Floats:
    """Return points at shares of the lengths of segments: a chord at half the angle from the tangent."""
    angle = 2.0 * np.arctan(spans.bulge[rows]) * share
    chord = np.hypot(spans.x1 - spans.x0, spans.y1 - spans.y0)[rows]
    full = 2.0 * np.arctan(spans.bulge[rows])
    far = np.where(full == 0.0, share, np.sin(angle) / np.where(full == 0.0, 1.0, np.sin(full))) * chord
    c, n = np.cos(angle), np.sin(angle)
    ux, uy = spans.tx0[rows], spans.ty0[rows]
    return np.column_stack([spans.x0[rows] + far * (ux * c - uy * n), spans.y0[rows] + far * (uy * c + ux * n)])


# ------------------------------------------------------------------ looking over
def _centre_start(room: Region, shape: Region) -> Placing:
    """Return a placing in the middle of the outline's box, of half the size that its box would allow."""
    outer, inner = bounds(room), bounds(shape)
    factor = min(outer.width_mm / inner.width_mm if inner.width_mm else np.inf,
                 outer.height_mm / inner.height_mm if inner.height_mm else np.inf)  # fmt: skip
    return Placing(factor / 2.0, *outer.centre)


def _looked_over(slack: _Slack, shape: Region) -> list[Placing]:
    """Return the placings to push from: where the largest size that fits, by a table of slacks, just fits."""
    table = _Table.of(slack)
    q = _samples(shape, _COARSE, convex=False)
    places = table.places()
    least, factor = np.full(len(places), -np.inf), 2.0 * _centre_start(slack.room, shape).factor
    smallest = _SMALLEST * factor
    for smaller in (_MUCH_SMALLER, _SMALLER):
        factor = factor / _MUCH_SMALLER if smaller == _SMALLER else factor
        least = table.least(q * factor, places)
        while least.max() < -table.step:
            factor *= smaller
            if factor < smallest:
                return []
            least = table.least(q * factor, places)
    good = np.flatnonzero(least >= -table.step)
    order = good[np.argsort(-least[good], kind="stable")]
    return [Placing(factor * _SMALLER, *places[order[k]].tolist()) for k in _apart(places[order], table.step * 4.0)]


def _apart(points: Floats, least_mm: float) -> list[int]:
    """Return numbers of points, the first of them and on, that lie apart from those before."""
    kept: list[int] = []
    for k in range(len(points)):
        if all(np.hypot(*(points[k] - points[j])) > least_mm for j in kept):
            kept.append(k)
        if len(kept) == _KEPT:
            break
    return kept


@dataclass(frozen=True, eq=False)
class _Table:
    """Slacks on a grid."""

    low: Floats
    step: float
    values: Floats

    @classmethod
    def of(cls, slack: _Slack) -> _Table:
        box = bounds(slack.room)
        step = max(box.width_mm, box.height_mm) / _CELLS
        nx, ny = int(box.width_mm / step) + 4, int(box.height_mm / step) + 4
        low = np.array([box.xmin - step, box.ymin - step])
        x, y = np.meshgrid(low[0] + step * np.arange(nx), low[1] + step * np.arange(ny), indexing="ij")
        values = slack.at(np.column_stack([x.ravel(), y.ravel()]))[0].reshape(nx, ny)
        return cls(low, step, values)

    def places(self) -> Floats:
        """Return the points of a coarser grid, (n, 2)."""
        nx, ny = self.values.shape
        stride = max(1, max(nx, ny) // _PLACES)
        i, j = np.meshgrid(np.arange(0, nx, stride), np.arange(0, ny, stride), indexing="ij")
        points: Floats = self.low + self.step * np.column_stack([i.ravel(), j.ravel()])
        return points

    def least(self, q: Floats, places: Floats) -> Floats:
        """Return the least slack of points q moved to each place; nearest entry, outside the table the worst."""
        worst = float(self.values.min())
        least = np.full(len(places), np.inf)
        order = np.argsort(-np.hypot(q[:, 0], q[:, 1]), kind="stable")
        for part in np.array_split(q[order], 8):  # the points farthest out tell most places to be bad
            rows = np.flatnonzero(least >= -self.step)
            if not len(rows):
                break
            at = np.rint((places[rows, None] + part - self.low) / self.step).astype(np.int64)
            top = np.array(self.values.shape) - 1
            inside = ((at >= 0) & (at <= top)).all(axis=2)
            at = np.clip(at, 0, top)
            values = np.where(inside, self.values[at[..., 0], at[..., 1]], worst)
            least[rows] = np.minimum(least[rows], values.min(axis=1))
        return least


# ------------------------------------------------------------------ pushing
def _settled(task: _Task, rough: Placing) -> Placing | None:
    """Return the placing pushed with fine points until its exact distance to the boundary is the margin."""
    fine = _samples(task.shape, _FINE, convex=task.convex)
    at, inner = rough, task
    for _ in range(_CORRECTIONS):
        near = inner.slack.at(fine * at.factor + at[1:])[0] < _NEAR * at.factor * _reach(fine)
        again = _push(inner, fine[near], at) if near.any() else at
        if again is None:
            return None
        at = again
        short = task.slack.clear_mm - boundary_distance(_at(task.shape, at), task.slack.room).distance_mm
        if short <= 0.0:
            return at
        clear = inner.slack.clear_mm + 1.01 * short + MODEL.same_mm / 100.0
        inner = replace(task, slack=replace(task.slack, clear_mm=clear))
    return None


def _reach(q: Floats) -> float:
    return float(np.hypot(q[:, 0], q[:, 1]).max())


def _push(task: _Task, q: Floats, start: Placing) -> Placing | None:
    """Return the placing after linear programmes, each within a trusted distance of the one before."""
    reach = _reach(q)
    slack = task.slack
    box = bounds(slack.room)
    at, trust = start, 0.25 * box.diagonal_mm
    values, ways = slack.at(q * at.factor + at[1:])
    for _ in range(_PUSHES):
        step = greatest_step(values, ways, q, trust, reach, centred=task.centred)
        tried = Placing(max(at.factor + step[0], 0.0), at.x + step[1], at.y + step[2])
        new_values, new_ways = slack.at(q * tried.factor + tried[1:])
        if _merit(tried, new_values, reach) > _merit(at, values, reach):
            moved_by = abs(step[0]) * reach + abs(step[1]) + abs(step[2])
            at, values, ways, trust = tried, new_values, new_ways, trust * 1.5
            if moved_by < _SETTLED * reach * max(at.factor, _SMALLEST):
                break
        else:
            trust /= 4.0
            if trust < _SETTLED * box.diagonal_mm:
                break
    return at if at.factor > 0.0 and float(values.min()) > -0.01 * at.factor * reach else None


def _merit(p: Placing, values: Floats, reach: float) -> float:
    """Return how good a placing is: its size, less far more than what it sticks out."""
    return p.factor * reach + 8.0 * min(0.0, float(values.min()))
