"""What a straight line crosses of a region: where it goes in and out, exact for lines and arcs."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from generator.base.units import MODEL
from generator.outline.carrier import ALMOST_STRAIGHT
from generator.outline.contour import Point
from generator.outline.region import Region
from generator.outline.remembered import remembered
from generator.outline.spans import Floats, Ints, Spans, spans_of

__all__ = ["Chord", "Line", "chords", "chords_of_lines", "inner_point"]

Line = tuple[tuple[float, float], tuple[float, float]]
"""A point and a unit direction."""

_TRIES = 8
_FEW = 200
"""So many segments are all looked at."""
_AT_ONCE = 100_000
"""So many pairs of a line and a segment are looked at together."""


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
    return chords_of_lines(region, [(point, direction)])[0]


def chords_of_lines(region: Region | Spans, lines: Sequence[Line]) -> list[tuple[Chord, ...]]:
    """Return the same of many lines, a point and a unit direction each."""
    spans = region if isinstance(region, Spans) else spans_of(region)
    if not len(spans):
        return [()] * len(lines)
    if len(spans) > _FEW:
        return [_chords(_near_line(spans, *line), [line])[0] for line in lines]
    at_once = max(1, _AT_ONCE // len(spans))
    return [found for k in range(0, len(lines), at_once) for found in _chords(spans, lines[k : k + at_once])]


def _chords(spans: Spans, lines: Sequence[Line]) -> list[tuple[Chord, ...]]:
    where, line, contour = _crossings(spans, np.array(lines, dtype=np.float64))
    order = np.lexsort((where, line))
    s, c = where[order].tolist(), contour[order].tolist()
    first = np.searchsorted(line[order], np.arange(len(lines) + 1)).tolist()
    return [_paired(s[a:b], c[a:b]) for a, b in pairwise(first)]


def _paired(s: list[float], c: list[int]) -> tuple[Chord, ...]:
    """Return the chords between every two crossings in order."""
    found = (Chord(s[k], s[k + 1], c[k], c[k + 1]) for k in range(0, len(s) - 1, 2))
    return tuple(chord for chord in found if chord.end > chord.start)


def _near_line(f: Spans, point: tuple[float, float], direction: tuple[float, float]) -> Spans:
    """Return the segments of those runs whose boxes the line may cross."""
    (px, py), (ux, uy) = point, direction
    low, high = f.runs.boxes[:, :2], f.runs.boxes[:, 2:]
    middle, half = (low + high) / 2.0, (high - low) / 2.0
    off = np.abs((middle[:, 1] - py) * ux - (middle[:, 0] - px) * uy)
    hit = off <= half[:, 0] * abs(uy) + half[:, 1] * abs(ux) + MODEL.model_mm
    return f.take(np.flatnonzero(np.repeat(hit, f.runs.many)))


def _crossings(f: Spans, lines: Floats) -> tuple[Floats, Ints, Ints]:
    """Return where lines (n, 2, 2) cross the boundary, along them, and the numbers of the lines and of the contours.

    Everything is looked at with the line as x axis, arcs in halves that only rise or only fall. A half whose ends lie
    on different sides crosses once: rounding cannot make it something else.
    """
    (px, py), (ux, uy) = lines[:, 0].T[:, :, None], lines[:, 1].T[:, :, None]
    x0, y0 = (f.x0 - px) * ux + (f.y0 - py) * uy, (f.y0 - py) * ux - (f.x0 - px) * uy
    x1, y1 = (f.x1 - px) * ux + (f.y1 - py) * uy, (f.y1 - py) * ux - (f.x1 - px) * uy
    bent = np.abs(f.bulge) >= ALMOST_STRAIGHT
    row, k = np.nonzero(~bent & ((y0 > 0.0) != (y1 > 0.0)))
    a, b = y0[row, k], y1[row, k]
    share = a / (a - b)
    out, line, number = [x0[row, k] + share * (x1[row, k] - x0[row, k])], [row], [f.contour[k]]
    arcs = np.flatnonzero(bent)
    ax, ay, bx, by, bulge = x0[:, arcs], y0[:, arcs], x1[:, arcs], y1[:, arcs], f.bulge[arcs]
    off, radius = (1.0 - bulge * bulge) / (4.0 * bulge), np.abs(1.0 / f.curvature[arcs])
    cx, cy = (ax + bx) / 2.0 - off * (by - ay), (ay + by) / 2.0 + off * (bx - ax)
    rise0 = f.ty0[arcs] * ux - f.tx0[arcs] * uy
    rise1 = f.ty1[arcs] * ux - f.tx1[arcs] * uy
    # an arc that first rises is highest over its centre, and one that turns left rises where it is beyond its centre
    extreme = np.where(rise0 * rise1 < 0.0, cy + np.where(rise0 > 0.0, radius, -radius), by)
    for low, high in ((ay, extreme), (extreme, by)):
        row, k = np.nonzero((low > 0.0) != (high > 0.0))
        y, r = cy[row, k], radius[k]
        reach = np.sqrt(np.maximum((r - y) * (r + y), 0.0))
        out.append(cx[row, k] + np.copysign(reach, bulge[k] * (high[row, k] - low[row, k])))
        line.append(row)
        number.append(f.contour[arcs[k]])
    return np.concatenate(out), np.concatenate(line), np.concatenate(number)


@remembered
def inner_point(region: Region) -> Point | None:
    """Return a point well inside a region: the middle of the longest of some level chords; None for an empty one."""
    spans = spans_of(region)
    if not len(spans):
        return None
    low, high = spans.boxes[:, 1].min(), spans.boxes[:, 3].max()
    levels = [float(low + (high - low) * (k / _TRIES + 0.0137 / _TRIES)) for k in range(1, _TRIES)]
    best: tuple[float, Point] | None = None
    for y, found in zip(levels, chords_of_lines(spans, [((0.0, y), (1.0, 0.0)) for y in levels]), strict=True):
        for chord in found:
            if best is None or chord.length_mm > best[0]:
                best = (chord.length_mm, Point(chord.middle, y))
    return best[1] if best else None
