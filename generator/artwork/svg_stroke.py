"""Strokes widened to areas: what a straight pen of a given width sweeps that is led square to a run.

The area is put together from *ribbons* (one smooth stretch of the run, widened), *wedges* (the outsides of corners) and
*caps* (what is added at loose ends). They overlap and share edges, and all go round the same way, so that whatever is
enclosed at all belongs to the stroke (W3C, Scalable Vector Graphics 2, section 13.5, shape of a stroke).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import atan2, cos, hypot, pi, sin, sqrt, tan
from typing import Final

from generator.artwork.svg_curves import Run
from generator.artwork.svg_dash import dashed
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Point, Segment, Vertex
from generator.outline.create import circle
from generator.outline.measure import signed_area

BUTT, ROUND, SQUARE = "butt", "round", "square"
MITER, BEVEL = "miter", "bevel"

_OFF_MM: Final = 1e-4
"""A corner so flat that its outside reaches no further than this is no corner (a tenth of the model's tolerance)."""
_FLATTEST_RAD: Final = 0.1
_REVERSAL_RAD: Final = 1e-9
_NOTHING_MM: Final = 1e-9


@frozen_record
class Pen:
    """How a run is widened.

    Attributes:
        width: of the stroke, mm.
        cap: ``butt``, ``round`` or ``square``.
        join: ``miter``, ``round`` or ``bevel``.
        limit: greatest length of a mitred corner, as a multiple of the width.
        dashes: lengths drawn and left out in turns, mm; empty for a line without gaps.
        shift: how far into the dashes the run begins, mm.
        level: direction of the x axis, along which the square of a lone dot lies.
    """

    width: float
    cap: str = BUTT
    join: str = MITER
    limit: float = 4.0
    dashes: tuple[float, ...] = ()
    shift: float = 0.0
    level: Point = Point(1.0, 0.0)

    @property
    def half(self) -> float:
        """Return half the width, mm."""
        return self.width / 2.0


def stroked(runs: Sequence[Run], pen: Pen) -> list[Contour]:
    """Return contours, all counter-clockwise, that together enclose the stroke of the runs."""
    out: list[Contour] = []
    for run in runs:
        if run.is_a_point:
            out += _dot(run.end, pen, pen.level)
        elif pen.dashes:
            pieces, dots = dashed(run, pen.dashes, pen.shift)
            out += [c for piece in pieces for c in _widened(piece, pen)]
            out += [c for point, way in dots for c in _dot(point, pen, way)]
        else:
            out += _widened(run, pen)
    return out


def _dot(at: Point, pen: Pen, way: Point) -> list[Contour]:
    h = pen.half
    if pen.cap == ROUND:
        return [circle(at, h)]
    if pen.cap == SQUARE:
        n = _right(way)
        return [_turned([(at, s * h, way, t * h, n, 0.0) for s, t in ((-1, -1), (1, -1), (1, 1), (-1, 1))])]
    return []


def _turned(corners: Sequence[tuple[Point, float, Point, float, Point, float]]) -> Contour:
    """Return the contour through ``point + along · way + beside · normal`` with bulges, counter-clockwise."""
    vertices = tuple(
        Vertex(p.x + along * t.x + beside * n.x, p.y + along * t.y + beside * n.y, bulge)
        for p, along, t, beside, n, bulge in corners
    )
    return _ccw(vertices)


def _ccw(vertices: Sequence[Vertex]) -> Contour:
    contour = Contour(tuple(vertices))
    return contour if signed_area(contour) >= 0.0 else contour.reversed()


# ------------------------------------------------------------------ one run
@frozen_record
class _Bit:
    """A segment with its directions of travel at both ends."""

    segment: Segment
    begins: Point
    ends: Point


def _widened(run: Run, pen: Pen) -> list[Contour]:
    bits = [_bit(s) for s in _segments(run)]
    corners = [_is_corner(a, b, pen.half) for a, b in pairwise(bits)]
    last = run.closed and _is_corner(bits[-1], bits[0], pen.half)
    out: list[Contour] = []
    if run.closed and not last and not any(corners) and not any(_is_tight(b, pen.half) for b in bits):
        return _all_round(bits, pen.half)
    for group in _smooth(bits, corners, pen.half):
        out += _ribbon(group, pen.half)
    joints = [*pairwise(bits), *([(bits[-1], bits[0])] if run.closed else [])]
    for (a, b), corner in zip(joints, [*corners, last], strict=False):
        if corner or _is_tight(a, pen.half) or _is_tight(b, pen.half):
            out += _wedge(a, b, pen)
    if not run.closed:
        back = Point(-bits[0].begins.x, -bits[0].begins.y)
        out += _cap(bits[0].segment.start, back, pen) + _cap(bits[-1].segment.end, bits[-1].ends, pen)
    return out


def _segments(run: Run) -> Iterator[Segment]:
    ends = [Point(v.x, v.y) for v in run.vertices[1:]]
    ends.append(Point(run.vertices[0].x, run.vertices[0].y) if run.closed else run.end)
    for v, e in zip(run.vertices, ends, strict=True):
        yield Segment(Point(v.x, v.y), e, v.bulge)


def _bit(segment: Segment) -> _Bit:
    """Return a segment with its directions: the chord turned back by half the sweep, and on by it."""
    a = atan2(segment.end.y - segment.start.y, segment.end.x - segment.start.x)
    half = segment.sweep / 2.0
    return _Bit(segment, Point(cos(a - half), sin(a - half)), Point(cos(a + half), sin(a + half)))


def _right(way: Point) -> Point:
    return Point(way.y, -way.x)


def _turn(a: _Bit, b: _Bit) -> float:
    """Return the angle between two bits, positive to the left, in (-π, π]."""
    t, u = a.ends, b.begins
    return atan2(t.x * u.y - t.y * u.x, t.x * u.x + t.y * u.y)


def _is_corner(a: _Bit, b: _Bit, half: float) -> bool:
    turn = abs(_turn(a, b))
    return turn > _FLATTEST_RAD or half * turn * turn / 8.0 > _OFF_MM


def _is_tight(bit: _Bit, half: float) -> bool:
    """Return whether an arc is so tight that its inner side would lie beyond its centre."""
    return bit.segment.is_arc and bit.segment.radius_mm < half * (1.0 + 1e-6)


def _smooth(bits: list[_Bit], corners: list[bool], half: float) -> Iterator[list[_Bit]]:
    """Yield runs of bits without corners; an arc that is too tight stands alone."""
    group = [bits[0]]
    for bit, corner in zip(bits[1:], corners, strict=True):
        if corner or _is_tight(bit, half) or _is_tight(group[-1], half):
            yield group
            group = []
        group.append(bit)
    yield group


def _beside(bit: _Bit, half: float) -> tuple[Point, Point]:
    """Return both ends of a bit moved to its right by ``half`` (to its left for a negative one)."""
    n, m = _right(bit.begins), _right(bit.ends)
    s, e = bit.segment.start, bit.segment.end
    return Point(s.x + half * n.x, s.y + half * n.y), Point(e.x + half * m.x, e.y + half * m.y)


def _all_round(bits: list[_Bit], half: float) -> list[Contour]:
    """Return both sides of a closed run without corners, the area between them to the left of each."""
    out = []
    for side in (half, -half):
        vertices: list[Vertex] = []
        for bit in bits:
            start, end = _beside(bit, side)
            vertices += [Vertex(*start, bit.segment.bulge), Vertex(*end)]
        contour = Contour(tuple(_with_length(vertices)))
        out.append(contour if side > 0.0 else contour.reversed())
    return out


def _with_length(vertices: list[Vertex]) -> list[Vertex]:
    return [
        v
        for v, w in zip(vertices, [*vertices[1:], vertices[0]], strict=True)
        if hypot(v.x - w.x, v.y - w.y) > _NOTHING_MM
    ]


def _ribbon(bits: list[_Bit], half: float) -> list[Contour]:
    """Return a smooth stretch widened to both sides."""
    if _is_tight(bits[0], half):
        return _pies(bits[0], half)
    there: list[Vertex] = []
    back: list[Vertex] = []
    for bit in bits:
        start, end = _beside(bit, half)
        there += [Vertex(*start, bit.segment.bulge), Vertex(*end)]
        start, end = _beside(bit, -half)
        back += [Vertex(*start), Vertex(*end, -bit.segment.bulge)]
    return [Contour(tuple(_with_length([*there, *back[::-1]])))]


def _pies(bit: _Bit, half: float) -> list[Contour]:
    """Return what the pen sweeps on both sides of the centre of an arc that is tighter than half its width."""
    centre, bulge = bit.segment.centre, bit.segment.bulge
    outer = half if bulge > 0.0 else -half
    out = []
    for side in (outer, -outer):
        start, end = _beside(bit, side)
        if hypot(start.x - centre.x, start.y - centre.y) > _NOTHING_MM:
            out.append(_ccw([Vertex(*centre), Vertex(*start, bulge), Vertex(*end)]))
    return out


# ------------------------------------------------------------------ corners and ends
def _wedge(a: _Bit, b: _Bit, pen: Pen) -> list[Contour]:
    """Return the outside of a corner."""
    turn, h, p = _turn(a, b), pen.half, a.segment.end
    side = h if turn > 0.0 else -h
    n, m = _right(a.ends), _right(b.begins)
    start, end = Vertex(p.x + side * n.x, p.y + side * n.y), Vertex(p.x + side * m.x, p.y + side * m.y)
    if abs(turn) * h <= _NOTHING_MM:
        return []
    if pen.join == ROUND:
        return [_ccw([Vertex(*p), start._replace(bulge=tan(turn / 4.0)), end])]
    if pi - abs(turn) <= _REVERSAL_RAD:
        return []
    middle = cos(turn / 2.0)
    if pen.join == MITER and pen.limit * middle >= 1.0:
        size = sqrt((n.x + m.x) ** 2 + (n.y + m.y) ** 2) * middle
        tip = Vertex(p.x + side * (n.x + m.x) / size, p.y + side * (n.y + m.y) / size)
        return [_ccw([Vertex(*p), start, tip, end])]
    return [_ccw([Vertex(*p), start, end])]


def _cap(at: Point, way: Point, pen: Pen) -> list[Contour]:
    """Return what is added at a loose end; ``way`` leads out of the run."""
    h, n = pen.half, _right(way)
    if pen.cap == ROUND:
        return [_turned([(at, 0.0, way, h, n, 1.0), (at, 0.0, way, -h, n, 0.0)])]
    if pen.cap == SQUARE:
        return [_turned([(at, s * h, way, t * h, n, 0.0) for s, t in ((0, 1), (1, 1), (1, -1), (0, -1))])]
    return []
