"""Runs cut into dashes along their length."""

from __future__ import annotations

from bisect import bisect_right
from itertools import accumulate, cycle
from math import atan, atan2, cos, sin, tan
from typing import Final

from generator.artwork.svg_curves import Run
from generator.artwork.svg_numbers import WrongError
from generator.outline.contour import Point, Segment, Vertex

MOST_DASHES: Final = 5_000
"""One run may be cut into so many dashes (chosen)."""
_NOTHING: Final = 1e-9
"""A dash that is shorter than this share of the run is a dot."""

Dots = list[tuple[Point, Point]]


def dashed(run: Run, dashes: tuple[float, ...], shift: float) -> tuple[list[Run], Dots]:
    """Return the dashes of a run, and those without length as points with the direction of the run there.

    Args:
        run: with a length.
        dashes: lengths drawn and left out in turns, mm; an odd number of them is gone through twice.
        shift: how far into the dashes the run begins.
    Raises: WrongError: too many dashes.
    """
    pattern = dashes if len(dashes) % 2 == 0 else dashes * 2
    segments = _segments(run)
    whole, round_trip = sum(_length(s) for s in segments), sum(pattern)
    if round_trip <= 0.0:
        return [run], []
    if whole / round_trip * len(pattern) > MOST_DASHES:
        raise WrongError(f"a line is cut into more than {MOST_DASHES} dashes: draw it without, or with longer ones")
    spans = _spans(pattern, shift % round_trip, whole)
    long = [(low, high) for low, high in spans if high - low > _NOTHING * whole]
    if run.closed and len(long) == 1 and long[0] == (0.0, whole):
        return [run], []
    marks = [0.0, *accumulate(_length(s) for s in segments)]
    runs = [_part(segments, marks, low, high) for low, high in long]
    if run.closed and len(long) > 1 and long[0][0] == 0.0 and long[-1][1] >= whole:
        first = runs.pop(0)  # what begins where the run ends goes on there
        runs[-1] = Run((*runs[-1].vertices, *first.vertices), first.end)
    return runs, [_at(segments, marks, low) for low, high in spans if high - low <= _NOTHING * whole]


def _spans(pattern: tuple[float, ...], shift: float, whole: float) -> list[tuple[float, float]]:
    """Return from where to where along the run is drawn."""
    out: list[tuple[float, float]] = []
    at = -shift
    for number, size in enumerate(cycle(pattern)):
        if at >= whole:
            return out
        if number % 2 == 0 and at + size >= 0.0 and (at + size > 0.0 or size == 0.0):
            out.append((max(at, 0.0), min(at + size, whole)))
        at += size
    return out


def _segments(run: Run) -> list[Segment]:
    ends = [Point(v.x, v.y) for v in run.vertices[1:]]
    ends.append(Point(run.vertices[0].x, run.vertices[0].y) if run.closed else run.end)
    return [Segment(Point(v.x, v.y), e, v.bulge) for v, e in zip(run.vertices, ends, strict=True)]


def _length(s: Segment) -> float:
    return s.radius_mm * abs(s.sweep) if s.is_arc else s.chord_mm


def _part(segments: list[Segment], marks: list[float], low: float, high: float) -> Run:
    """Return a run from one length along the segments to another; ``marks`` are where they begin and end."""
    vertices: list[Vertex] = []
    end = segments[0].start
    for k in range(max(bisect_right(marks, low) - 1, 0), len(segments)):
        s, size = segments[k], _length(segments[k])
        a, b = max(low - marks[k], 0.0), min(high - marks[k], size)
        if b <= 0.0:
            break
        if a < b:
            p, end = _point(s, a / size), _point(s, b / size)
            vertices.append(Vertex(*p, tan(atan(s.bulge) * (b - a) / size) if s.is_arc else 0.0))
    return Run(tuple(vertices), end)


def _point(s: Segment, share: float) -> Point:
    if share <= 0.0 or share >= 1.0:
        return s.start if share <= 0.0 else s.end
    if not s.is_arc:
        return Point(s.start.x + share * (s.end.x - s.start.x), s.start.y + share * (s.end.y - s.start.y))
    c = s.centre
    a, (dx, dy) = share * s.sweep, (s.start.x - c.x, s.start.y - c.y)
    return Point(c.x + dx * cos(a) - dy * sin(a), c.y + dx * sin(a) + dy * cos(a))


def _at(segments: list[Segment], marks: list[float], along: float) -> tuple[Point, Point]:
    """Return the point and direction at a length along the segments."""
    k = min(max(bisect_right(marks, along) - 1, 0), len(segments) - 1)
    s = segments[k]
    share = min(1.0, (along - marks[k]) / _length(s))
    a = atan2(s.end.y - s.start.y, s.end.x - s.start.x) + (share - 0.5) * s.sweep
    return _point(s, share), Point(cos(a), sin(a))
