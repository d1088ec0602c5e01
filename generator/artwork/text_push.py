"""Pushing a drawing to the largest size at which it keeps its margin to an outline; see ``text_fit.py``.

Terminology. The *drawing* is what has to fit, about the middle of its box; a *placing* is a factor and the point where
that middle lies. The *slack* of a point is its distance to the outline's boundary, negative outside, less the margin: a
placing is good where no point of the drawing has a negative slack. The factor grows while the points that touch push
the drawing away, which is a linear programme in three unknowns at every step; it ends where nothing can give way. Then
the exact distance between the outlines is measured, and pushed once more for what lay between the points looked at.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.artwork.text_programme import greatest_step
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.contour import Point
from generator.outline.distance import boundary_distance
from generator.outline.measure import bounds
from generator.outline.predicates import is_convex
from generator.outline.region import Region
from generator.outline.remembered import remembered
from generator.outline.spans import Floats, Ints, Spans, nearest, spans_of
from generator.outline.transform import moved, scaled
from generator.outline.winding import winding_numbers

__all__ = ["COARSE", "ROUGHLY", "Placing", "Slack", "Task", "at_placing", "push", "samples", "settled", "slid"]

COARSE: Final = 0.01
"""Chord error of the drawing's points for looking over and the first pushes, as a share of its reach."""
_FINE: Final = 3e-5
"""Chord error for the last pushes; what is left is measured exactly."""
_ALONG: Final = 60
"""Points along a straight way as long as the drawing's reach; only needed where the outline is not convex."""
_DIRECTIONS: Final = 72
"""Directions in which the outermost points of a drawing are looked for."""
_SEGMENTS: Final = 3
"""Segments of the outline that may press one point."""
_AT_ONCE: Final = 400_000
_PUSHES: Final = 60
_CORRECTIONS: Final = 6
"""Rounds in which what lay between points is measured and made up for."""
_NEAR: Final = 0.05
"""Points with a slack of less than this share of the drawing's reach take part in the last pushes."""
_TOUCHING: Final = 1e-3
"""Points with a slack of less than this share of the drawing's reach touch; ways that differ by less are one."""
_HALVINGS: Final = 24
_INNER: Final = (0.95, 0.9, 0.8, 0.7)
"""Shares of a convex outline's box, about its middle, that may lie in it whole."""
ROUGHLY: Final = 1e-4
_SETTLED: Final = 1e-8
"""A push that changes the drawing by less than this share of its reach is the last, roughly or in the end."""
_SMALLEST: Final = 1e-3
"""Share of a factor of 1 below which changes count as if it were that (a drawing that has no room at all)."""


class Placing(NamedTuple):
    """How large and where: times ``factor``, the middle of the drawing's box at (x, y), mm."""

    factor: float
    x: float
    y: float


class Pressing(NamedTuple):
    """Points and what presses them: slack to one segment of the outline, the way in which it grows, and the point."""

    slack: Floats
    way: Floats
    row: Ints


@frozen_record
class Slack:
    """What the slack of points is measured against."""

    room: Region
    clear_mm: float

    def at(self, p: Floats) -> Floats:
        """Return the slacks of points (n, 2)."""
        spans = spans_of(self.room)
        parts = np.array_split(p, max(1, len(p) * len(spans) // _AT_ONCE))
        away = np.concatenate([nearest(spans, q[:, 0, None], q[:, 1, None]).distance.min(axis=1) for q in parts])
        outside = self._outside(p)
        return (away if outside is None else np.where(outside, -away, away)) - self.clear_mm

    def pressing(self, p: Floats) -> Pressing:
        """Return what the nearest few segments do to points (n, 2): in a corner more than one presses.

        A point outside has a negative slack to the nearest segment, and to others that it has passed as well.
        """
        spans = spans_of(self.room)
        feet = nearest(spans, p[:, 0, None], p[:, 1, None])
        few = min(_SEGMENTS, len(spans))
        k = np.argpartition(feet.distance, few - 1, axis=1)[:, :few]
        row = np.repeat(np.arange(len(p)), few)
        k = k.ravel()
        d, foot = feet.distance[row, k], np.column_stack([feet.x[row, k], feet.y[row, k]])
        outside = self._outside(p)
        if outside is None:
            return Pressing(d - self.clear_mm, (p[row] - foot) * (1.0 / np.where(d > 0.0, d, 1.0))[:, None], row)
        is_nearest = d <= feet.distance.min(axis=1)[row] + MODEL.same_mm
        sign = np.where(outside[row] & (is_nearest | _is_passed(spans, k, p[row])), -1.0, 1.0)
        way = (p[row] - foot) * (sign / np.where(d > 0.0, d, 1.0))[:, None]
        return Pressing(sign * d - self.clear_mm, way, row)

    def _outside(self, p: Floats) -> NDArray[np.bool_] | None:
        """Return which points do not lie in the room; None if it is plain that all do."""
        low, high = _inner_box(self.room)
        if (p >= low).all() and (p <= high).all():
            return None
        return np.asarray(winding_numbers(self.room, p) <= 0)


@remembered
def _inner_box(room: Region) -> tuple[Point, Point]:
    """Return the corners of a box that lies in a convex room; in another one turned inside out, so that it is empty."""
    if len(room) == 1 and is_convex(room.contours[0]):
        box = bounds(room)
        (x, y), across, up = box.centre, box.width_mm / 2.0, box.height_mm / 2.0
        for share in _INNER:
            corners = [(x + i * share * across, y + j * share * up) for i in (-1, 1) for j in (-1, 1)]
            if (winding_numbers(room, corners) > 0).all():
                return Point(*corners[0]), Point(*corners[3])
    return Point(inf, inf), Point(-inf, -inf)


def _is_passed(spans: Spans, k: Ints, p: Floats) -> Ints:
    """Return whether points lie to the right of segments, where the outline's inside is not, and beside them."""
    v = p - np.column_stack([spans.x0[k], spans.y0[k]])
    w = p - np.column_stack([spans.x1[k], spans.y1[k]])
    left = 2.0 * (v[:, 1] * spans.tx0[k] - v[:, 0] * spans.ty0[k]) - spans.curvature[k] * (v * v).sum(axis=1)
    beside = ((v[:, 0] * spans.tx0[k] + v[:, 1] * spans.ty0[k]) >= 0.0) & (
        (w[:, 0] * spans.tx1[k] + w[:, 1] * spans.ty1[k]) <= 0.0
    )
    passed: Ints = beside & (left < 0.0)
    return passed


@frozen_record
class Task:
    """What is pushed against what, and how.

    Attributes:
        slack: the outline with its margin.
        shape: the drawing about the middle of its box.
        centred: nothing moves.
        convex: the outline is, so that of a straight way only the ends can touch.
        inside: (n, 2) points within the drawing that have to fit as well, for outlines with holes.
    """

    slack: Slack
    shape: Region
    centred: bool
    convex: bool
    inside: Floats

    def points(self, error: float) -> Floats:
        """Return points of the drawing to a chord error, a share of its reach; see ``samples``."""
        return np.concatenate([samples(self.shape, error, convex=self.convex), self.inside])


def at_placing(shape: Region, p: Placing) -> Region:
    """Return the drawing at a placing, its contours in the order of the drawing's."""
    return Region(tuple(moved(scaled(c, p.factor), p.x, p.y) for c in shape))


def samples(shape: Region, error: float, *, convex: bool) -> Floats:
    """Return points of the drawing: every vertex, arcs to a chord error, lines in steps unless only ends can touch.

    The error is a share of the drawing's reach. Between points the drawing lies at most that far outside of them.
    """
    spans = spans_of(shape)
    reach = float(np.hypot(spans.x0, spans.y0).max())
    sweep, chord = 4.0 * np.arctan(spans.bulge), np.hypot(spans.x1 - spans.x0, spans.y1 - spans.y0)
    # the chord error of a part is its length times an eighth of its sweep
    parts = np.sqrt(np.abs(sweep) * chord / (8.0 * error * reach))
    if not convex:
        parts = np.maximum(parts, chord * _ALONG / reach * min(1.0, (COARSE / error) ** 0.25))
    counts = np.ceil(parts).clip(1, 200).astype(np.int64)
    rows = np.repeat(np.arange(len(counts)), counts)
    share = (np.arange(len(rows)) - np.repeat(np.cumsum(counts) - counts, counts)) / counts[rows]
    points = _pointsat_placing(spans, rows, share)
    return _outermost(points) if convex else points


def _outermost(points: Floats) -> Floats:
    """Return the points near the drawing's convex hull, its corners among them: no others touch a convex outline."""
    angle = 2.0 * np.pi * np.arange(_DIRECTIONS) / _DIRECTIONS
    reaches = points @ np.stack([np.cos(angle), np.sin(angle)])
    # between two directions a corner may lie back by 1 - cos(half a step) of the reach: an eighth of the band
    band = 4.0 * (2.0 * np.pi / _DIRECTIONS) ** 2 / 4.0 * _reach(points)
    outer: Floats = points[(reaches >= reaches.max(axis=0) - band).any(axis=1)]
    return outer


def _pointsat_placing(spans: Spans, rows: Ints, share: Floats) -> Floats:
    """Return points at shares of the lengths of segments: a chord at half the angle from the tangent."""
    angle = 2.0 * np.arctan(spans.bulge[rows]) * share
    chord = np.hypot(spans.x1 - spans.x0, spans.y1 - spans.y0)[rows]
    full = 2.0 * np.arctan(spans.bulge[rows])
    far = np.where(full == 0.0, share, np.sin(angle) / np.where(full == 0.0, 1.0, np.sin(full))) * chord
    c, n = np.cos(angle), np.sin(angle)
    ux, uy = spans.tx0[rows], spans.ty0[rows]
    return np.column_stack([spans.x0[rows] + far * (ux * c - uy * n), spans.y0[rows] + far * (uy * c + ux * n)])


# ------------------------------------------------------------------ pushing
def settled(task: Task, rough: Placing) -> Placing | None:
    """Return the placing pushed with fine points until its exact distance to the boundary is the margin."""
    fine = task.points(_FINE)
    at, inner = rough, task
    for _ in range(_CORRECTIONS):
        near = inner.slack.at(fine * at.factor + at[1:]) < _NEAR * at.factor * _reach(fine)
        again = push(inner, fine[near], at) if near.any() else at
        if again is None:
            return None
        at = again
        short = task.slack.clear_mm - boundary_distance(at_placing(task.shape, at), task.slack.room).distance_mm
        if short <= 0.0:
            return at
        clear = inner.slack.clear_mm + 1.01 * short + MODEL.same_mm / 100.0
        inner = replace(task, slack=replace(task.slack, clear_mm=clear))
    return None


def slid(task: Task, placing: Placing) -> Placing:
    """Return the placing slid, where it can slide at its size: to the middle of an outline, or of the way it can go."""
    q = task.points(COARSE)
    pressing = task.slack.pressing(q * placing.factor + placing[1:])
    touching = pressing.way[pressing.slack < _TOUCHING * placing.factor * _reach(q)]
    if not len(touching):
        return placing
    spread, axes = np.linalg.eigh(touching.T @ touching / len(touching))
    if spread[0] > _TOUCHING:
        return placing
    dx, dy = axes[:, 0].tolist()
    there, back = (_slide(task, q, placing, (way * dx, way * dy)) for way in (1.0, -1.0))
    middle = bounds(task.slack.room).centre
    to_middle = (middle.x - placing.x) * dx + (middle.y - placing.y) * dy
    far = min(max(to_middle, -back), there) if task.convex else (there - back) / 2.0
    there_now = Placing(placing.factor, placing.x + far * dx, placing.y + far * dy)
    gap = boundary_distance(at_placing(task.shape, there_now), task.slack.room).distance_mm
    return there_now if gap >= task.slack.clear_mm - MODEL.same_mm else placing


def _slide(task: Task, q: Floats, placing: Placing, way: tuple[float, float]) -> float:
    """Return how far the drawing can go one way without losing more than ``same_mm`` of its margin, mm."""
    low, high = 0.0, bounds(task.slack.room).diagonal_mm
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        at = q * placing.factor + (placing.x + middle * way[0], placing.y + middle * way[1])
        if float(task.slack.at(at).min()) >= -MODEL.same_mm / 2.0:
            low = middle
        else:
            high = middle
    return low


def _reach(q: Floats) -> float:
    return float(np.hypot(q[:, 0], q[:, 1]).max())


def push(task: Task, q: Floats, start: Placing, enough: float = _SETTLED) -> Placing | None:
    """Return the placing after linear programmes, each within a trusted distance of the one before.

    Args:
        task: what is pushed.
        q: (n, 2) points of the drawing that have to fit.
        start: where to begin; it may stick out.
        enough: a step of less than this share of the drawing is the last.

    Returns: the placing, or None if nothing of the drawing fits from there.
    """
    reach, slack = _reach(q), task.slack
    at, trust = start, 0.25 * bounds(slack.room).diagonal_mm
    least_trust = enough * trust
    pressing = slack.pressing(q * at.factor + at[1:])
    for _ in range(_PUSHES):
        step = greatest_step(pressing.slack, pressing.way, q[pressing.row], trust, reach, centred=task.centred)
        tried = Placing(max(at.factor + step[0], 0.0), at.x + step[1], at.y + step[2])
        then = slack.pressing(q * tried.factor + tried[1:])
        if _merit(tried, then, reach) > _merit(at, pressing, reach):
            moved_by = abs(step[0]) * reach + abs(step[1]) + abs(step[2])
            at, pressing, trust = tried, then, trust * 1.5
            if moved_by < enough * reach * max(at.factor, _SMALLEST):
                break
        else:
            trust /= 4.0
            if trust < least_trust:
                break
    fits = float(pressing.slack.min()) > -0.01 * at.factor * reach
    return at if at.factor > 0.0 and fits else None


def _merit(p: Placing, pressing: Pressing, reach: float) -> float:
    """Return how good a placing is: its size, less far more than what it sticks out."""
    return p.factor * reach + 8.0 * min(0.0, float(pressing.slack.min()))
