"""What a straight line crosses of a region: where it goes in and out, exact for lines and arcs."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from generator.base.units import MODEL
from generator.outline.carrier import ALMOST_STRAIGHT
from generator.outline.contour import Point
from generator.outline.region import Region
from generator.outline.spans import Floats, Spans, spans_of

__all__ = ["Chord", "chords", "inner_point"]

_TRIES = 8
_FEW = 200
"""So many segments are all looked at."""


class Chord(NamedTuple):
    """A stretch of the line inside the region.

    Attributes:
        start, end: along the line from its point, mm.
        start_contour, end_contour: numbers of the contours crossed at either end.
    """

    start: float
    end: float
    start_contour: int
    end_contour: int

    @property
    def length_mm(self) -> float:
        """Return how long it is, mm."""
        return self.end - self.start

    @property
    def middle(self) -> float:
        """Return its middle along the line, mm."""
        return (self.start + self.end) / 2.0


def chords(region: Region | Spans, point: tuple[float, float], direction: tuple[float, float]) -> tuple[Chord, ...]:
    """Return the stretches inside the region of the endless line through ``point`` along the unit ``direction``.

    A line that only touches a corner or an arc is not inside there; one along a straight side counts as if it lay a
    trifle to its left.
    """
    spans = region if isinstance(region, Spans) else spans_of(region)
    if not len(spans):
        return ()
    where, contour = _crossings(_near_line(spans, point, direction), point, direction)
    order = np.argsort(where, kind="stable")
    s, c = where[order].tolist(), contour[order].tolist()
    found = (Chord(s[k], s[k + 1], c[k], c[k + 1]) for k in range(0, len(s) - 1, 2))
    return tuple(chord for chord in found if chord.end > chord.start)


def _near_line(f: Spans, point: tuple[float, float], direction: tuple[float, float]) -> Spans:
    """Return the segments of those runs whose boxes the line may cross; few segments as they are."""
    if len(f) <= _FEW:
        return f
    (px, py), (ux, uy) = point, direction
    low, high = f.runs.boxes[:, :2], f.runs.boxes[:, 2:]
    middle, half = (low + high) / 2.0, (high - low) / 2.0
    off = np.abs((middle[:, 1] - py) * ux - (middle[:, 0] - px) * uy)
    hit = off <= half[:, 0] * abs(uy) + half[:, 1] * abs(ux) + MODEL.model_mm
    return f.take(np.flatnonzero(np.repeat(hit, f.runs.many)))


def _crossings(f: Spans, point: tuple[float, float], direction: tuple[float, float]) -> tuple[Floats, Floats]:
    """Return where the line crosses the boundary, along it, and the numbers of the contours.

    Everything is looked at with the line as x axis, arcs in halves that only rise or only fall. A half whose ends lie
    on different sides crosses once: rounding cannot make it something else.
    """
    (px, py), (ux, uy) = point, direction
    x0, y0 = (f.x0 - px) * ux + (f.y0 - py) * uy, (f.y0 - py) * ux - (f.x0 - px) * uy
    x1, y1 = (f.x1 - px) * ux + (f.y1 - py) * uy, (f.y1 - py) * ux - (f.x1 - px) * uy
    bent = np.abs(f.bulge) >= ALMOST_STRAIGHT
    straight = np.flatnonzero(~bent & ((y0 > 0.0) != (y1 > 0.0)))
    share = y0[straight] / (y0[straight] - y1[straight])
    out, number = [x0[straight] + share * (x1 - x0)[straight]], [f.contour[straight]]
    arcs = np.flatnonzero(bent)
    ax, ay, bx, by, b = x0[arcs], y0[arcs], x1[arcs], y1[arcs], f.bulge[arcs]
    k, radius = (1.0 - b * b) / (4.0 * b), np.abs(1.0 / f.curvature[arcs])
    cx, cy = (ax + bx) / 2.0 - k * (by - ay), (ay + by) / 2.0 + k * (bx - ax)
    rise0 = f.ty0[arcs] * ux - f.tx0[arcs] * uy
    rise1 = f.ty1[arcs] * ux - f.tx1[arcs] * uy
    turns = rise0 * rise1 < 0.0
    # an arc that first rises is highest over its centre, and one that turns left rises where it is beyond its centre
    extreme = np.where(turns, cy + np.where(rise0 > 0.0, radius, -radius), by)
    reach = np.sqrt(np.maximum((radius - cy) * (radius + cy), 0.0))
    for low, high in ((ay, extreme), (extreme, by)):
        crosses = (low > 0.0) != (high > 0.0)
        out.append((cx + np.copysign(reach, b * (high - low)))[crosses])
        number.append(f.contour[arcs][crosses])
    return np.concatenate(out), np.concatenate(number)


def inner_point(region: Region) -> Point | None:
    """Return a point well inside a region: the middle of the longest of some level chords; None for an empty one."""
    spans = spans_of(region)
    if not len(spans):
        return None
    low, high = spans.boxes[:, 1].min(), spans.boxes[:, 3].max()
    best: tuple[float, Point] | None = None
    for k in range(1, _TRIES):
        y = float(low + (high - low) * (k / _TRIES + 0.0137 / _TRIES))
        for chord in chords(spans, (0.0, y), (1.0, 0.0)):
            if best is None or chord.length_mm > best[0]:
                best = (chord.length_mm, Point(chord.middle, y))
    return best[1] if best else None
