"""Places where a bridge could cross a cut: from one piece of the material straight to the next."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from itertools import pairwise
from math import cos, hypot, pi, sin

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.outline.chords import Chord, Line, chords_of_lines
from generator.outline.contour import Contour, Point
from generator.outline.distance import boundary_points, points_distance
from generator.outline.intersect import direction_at, point_at
from generator.outline.measure import bounds, centroid, second_moments
from generator.outline.narrow import necks
from generator.outline.nearness import boundary_points as vertices_and_middles
from generator.outline.region import Region
from generator.outline.spans import Spans, spans_of
from generator.outline.transform import Axis, mirrored
from generator.part.islands import Pieces, outer_contour

__all__ = ["Crossing", "Sheet", "axes_of", "crossings_of", "image"]

LOOKS = 64
"""Directions round an island that are tried (our own choice)."""
SAME_MM = 1e-3
"""A cut that its mirror image misses by less is symmetric."""
FEW = 12
"""Of so many vertices one is asked first whether an axis can be one."""
ISOTROPIC = 1e-6
"""Relative difference of the main second moments below which a shape has no main axes."""


@frozen_record
class Crossing:
    """A straight way over a cut.

    Attributes:
        start, end: on the two pieces, mm.
        pieces: their numbers.
        depths: how thick the pieces are behind the ends, along the way, mm.
    """

    start: Point
    end: Point
    pieces: tuple[int, int]
    depths: tuple[float, float]

    @cached_property
    def length_mm(self) -> float:
        """Return how long it is, mm."""
        return hypot(self.end.x - self.start.x, self.end.y - self.start.y)

    @cached_property
    def middle(self) -> Point:
        """Return its middle."""
        return Point((self.start.x + self.end.x) / 2.0, (self.start.y + self.end.y) / 2.0)

    @cached_property
    def direction(self) -> Point:
        """Return the unit vector from start to end."""
        d = self.length_mm
        return Point((self.end.x - self.start.x) / d, (self.end.y - self.start.y) / d)


class Sheet:
    """The pieces of a sheet that something was cut through, ready to be crossed by lines."""

    def __init__(self, left: Pieces) -> None:
        self.left = left
        self.spans: Spans = spans_of(left.material)
        owner = {c: k for k, piece in enumerate(left.pieces) for c in piece}
        self._owner = [owner[c] for c in left.material]

    def crossings(self, lines: Sequence[Line]) -> list[tuple[Crossing, ...]]:
        """Return for every line, a point and a direction, the ways along it from one piece to a different one."""
        found = chords_of_lines(self.spans, lines)
        return [tuple(self._ways(line, on)) for line, on in zip(lines, found, strict=True)]

    def _ways(self, line: Line, on: Sequence[Chord]) -> Iterator[Crossing]:
        """Yield the ways between the chords of a line, in order."""
        (px, py), (ux, uy) = line
        for one, two in pairwise(on):
            pieces = (self._piece(one), self._piece(two))
            if pieces[0] != pieces[1] and two.start - one.end > SAME_MM:
                start, end = (Point(px + s * ux, py + s * uy) for s in (one.end, two.start))
                yield Crossing(start, end, pieces, (one.length_mm, two.length_mm))

    def across(self, way: Crossing, asides_mm: Sequence[float]) -> list[Crossing | None]:
        """Return the ways beside ``way``, so far to its left, between the same pieces; None where there is none."""
        (ux, uy), (mx, my) = way.direction, way.middle
        places = [(mx - aside * uy, my + aside * ux) for aside in asides_mm]
        found = self.crossings([(at, (ux, uy)) for at in places])
        return [_round(at, (ux, uy), way, others) for at, others in zip(places, found, strict=True)]

    def _piece(self, chord: Chord) -> int:
        return self._owner[chord.start_contour]


def _round(
    at: tuple[float, float], direction: tuple[float, float], way: Crossing, others: Iterable[Crossing]
) -> Crossing | None:
    """Return the first way on either side of a point that joins the same pieces as ``way``; None if there is none."""
    ux, uy = direction
    for other in others:
        a = (other.start.x - at[0]) * ux + (other.start.y - at[1]) * uy
        b = (other.end.x - at[0]) * ux + (other.end.y - at[1]) * uy
        if a < 0.0 < b and other.pieces == way.pieces:
            return other
    return None


def crossings_of(sheet: Sheet, cut: Region, islands: Iterable[int], axes: Iterable[Axis]) -> list[Crossing]:
    """Return the ways worth looking at from the islands over one piece of the cut, each once.

    Along the mirror axes, along level and upright lines through the middle of every island, through every neck of the
    cut, and square from points all round every island.
    """
    numbers = set(islands)
    lines: list[Line] = [(a.point, Point(cos(a.angle_rad), sin(a.angle_rad))) for a in axes]
    for k in sorted(numbers):
        outline = outer_contour(sheet.left.pieces[k])
        middle = bounds(Region((outline,))).centre
        lines += [(middle, Point(0.0, 1.0)), (middle, Point(1.0, 0.0)), *_normals(outline)]
    for neck in necks(cut):
        d = neck.width_mm
        lines.append((neck.at, Point((neck.on_b.x - neck.on_a.x) / d, (neck.on_b.y - neck.on_a.y) / d)))
    found: dict[tuple[float, ...], Crossing] = {}
    for ways in sheet.crossings(lines):
        for way in ways:
            if numbers.intersection(way.pieces):
                found.setdefault(_key(way), way)
    return list(found.values())


def _normals(outline: Contour) -> Iterator[tuple[Point, Point]]:
    """Yield points along an outline with the directions square to it."""
    segments = list(outline.segments())
    lengths = [s.chord_mm if not s.is_arc else s.radius_mm * abs(s.sweep) for s in segments]
    step = sum(lengths) / LOOKS
    along, at = step / 2.0, 0.0
    for segment, length in zip(segments, lengths, strict=True):
        while length > 0.0 and along < at + length:
            share = (along - at) / length
            tangent = direction_at(segment, share)
            yield point_at(segment, share), Point(tangent.y, -tangent.x)
            along += step
        at += length


def _key(way: Crossing) -> tuple[float, ...]:
    """Return what two ways have in common that are the same, whichever way they are gone."""
    ends = sorted((round(p.x, 5) + 0.0, round(p.y, 5) + 0.0) for p in (way.start, way.end))
    return (*ends[0], *ends[1])


# ------------------------------------------------------------------ symmetry
def axes_of(cut: Region) -> tuple[Axis, ...]:
    """Return up to two mirror axes of a piece of the cut, square to each other; upright and level ones come first."""
    middle = centroid(cut)
    upright, level = Axis(middle, pi / 2.0), Axis(middle, 0.0)
    plain = tuple(a for a in (upright, level) if _is_axis(cut, a))
    if plain:
        return plain
    m = second_moments(cut)
    if hypot(m.ixx - m.iyy, 2.0 * m.ixy) <= ISOTROPIC * m.polar:
        return ()
    turn = float(np.arctan2(2.0 * m.ixy, m.iyy - m.ixx)) / 2.0  # the long way comes first
    return tuple(a for a in (Axis(middle, turn), Axis(middle, turn + pi / 2.0)) if _is_axis(cut, a))


def _is_axis(cut: Region, axis: Axis) -> bool:
    if _is_plainly_none(cut, axis):
        return False
    points = vertices_and_middles(mirrored(cut, axis).contours)
    if float(points_distance(cut, points).max()) > SAME_MM:
        return False
    step = bounds(cut).diagonal_mm / 50.0
    return float(points_distance(cut, boundary_points(mirrored(cut, axis), step)).max()) <= SAME_MM


def _is_plainly_none(cut: Region, axis: Axis) -> bool:
    """Return True if the images of a few vertices already miss the cut by more, beyond all rounding."""
    some = np.concatenate([c.array[::FEW, :2] for c in cut])
    c, s = cos(2.0 * axis.angle_rad), sin(2.0 * axis.angle_rad)
    images = axis.point + (some - axis.point) @ np.array([[c, s], [s, -c]])
    return float(points_distance(cut, images).max()) > 1.01 * SAME_MM


def image(p: Point, axis: Axis) -> Point:
    """Return the mirror image of a point."""
    (ax, ay), angle = axis
    c, s = cos(2.0 * angle), sin(2.0 * angle)
    x, y = p.x - ax, p.y - ay
    return Point(ax + c * x + s * y, ay + s * x - c * y)
