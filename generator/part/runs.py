"""Runs: the edges of a solid in the plane, before there is a solid.

A contour's segments are joined into *runs*: the longest stretches on one line or one circle, so that a wall becomes
one face however often its contour was split on the way. A whole circle is one run that starts and ends at angle 0.
Corners of all contours of a part are kept in one table, so that equal corners have equal numbers: everything above
compares whole numbers and no lengths.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from math import atan2, cos, fmod, hypot, inf, pi, sin
from typing import TypeAlias

from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL, Tolerance
from generator.outline.carrier import Circle
from generator.outline.contour import Contour, Point

MERGE_MM = 1e-8
"""Segments lie on one carrier if they leave it by less than this: rounding of a split, not a fit."""

FLAT_MM = 1e-9
WIDE_MM = 1e3
"""An arc of larger radius that rises by less is a line: its circle would be rounding noise."""

TURN = 2.0 * pi

RunKey: TypeAlias = tuple[int, int, int]
"""Start, end and middle of a run by number; the middle of a line is -1, of a clockwise whole circle negative."""


class Corners:
    """Points of the plane by number; a point nearer than ``same_mm`` to a known one gets its number."""

    def __init__(self, same_mm: float = MODEL.same_mm) -> None:
        self.same_mm = same_mm
        self.points: list[Point] = []
        self._cells: dict[tuple[int, int], list[int]] = {}
        self._known: dict[tuple[float, float], int] = {}

    def __getitem__(self, number: int) -> Point:
        return self.points[number]

    def number(self, x: float, y: float) -> int:
        """Return the number of the corner at ``(x, y)`` mm, a new one if there is none yet."""
        known = self._known.get((x, y))
        if known is None:
            known = self._known[x, y] = self._found_or_new(x, y)
        return known

    def _found_or_new(self, x: float, y: float) -> int:
        cell = 2.0 * self.same_mm
        column, row = round(x / cell), round(y / cell)
        near = self._near(column, row, x, y)
        if near is not None:
            return near
        self.points.append(Point(x, y))
        self._cells.setdefault((column, row), []).append(len(self.points) - 1)
        return len(self.points) - 1

    def _near(self, column: int, row: int, x: float, y: float) -> int | None:
        for i in (column, column - 1, column + 1):
            for j in (row, row - 1, row + 1):
                for n in self._cells.get((i, j), ()):
                    p = self.points[n]
                    if hypot(p.x - x, p.y - y) <= self.same_mm:
                        return n
        return None


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of one line or one circle.

    Attributes:
        start, end: numbers of its corners.
        circle: the circle that it lies on, None for a line.
        angle: angle of its start about the centre, radians.
        sweep: signed sweep, radians, positive counter-clockwise; ±2π for a whole circle; 0 for a line.
        middle: number of its middle, -1 for a line.
    """

    start: int
    end: int
    circle: Circle | None = None
    angle: float = 0.0
    sweep: float = 0.0
    middle: int = -1

    @property
    def key(self) -> RunKey:
        """Return what tells it from other runs of the part; direction counts."""
        return self.start, self.end, self.middle if self.start != self.end or self.sweep > 0.0 else -2 - self.middle

    @property
    def edge_key(self) -> RunKey:
        """Return the same for the run and its reverse."""
        return min(self.start, self.end), max(self.start, self.end), self.middle

    @property
    def is_whole_circle(self) -> bool:
        """Return True if the run is a circle that closes on itself."""
        return self.circle is not None and self.start == self.end

    def reversed(self) -> Run:
        """Return the same run travelled the other way."""
        return Run(self.end, self.start, self.circle, self.angle + self.sweep, -self.sweep, self.middle)


@frozen_record
class Loop:
    """A closed chain of runs; material lies to the left of travel. Equal loops of a part have equal keys."""

    runs: tuple[Run, ...]
    key: int

    def __iter__(self) -> Iterator[Run]:
        return iter(self.runs)

    def __len__(self) -> int:
        return len(self.runs)


@frozen_record
class Plane:
    """The tables of one part: its corners, the middles of its arcs, its loops.

    ``splits`` has, by the keys of loops, their runs as they split each other, and where.

    ``reach`` says of corners where outlines touch how far the contact reaches, ``off`` of corners that split a
    run how far they lie off it, mm.
    """

    corners: Corners
    middles: Corners
    loops: dict[tuple[RunKey, ...], int] = field(default_factory=dict)
    reach: dict[int, float] = field(default_factory=dict)
    off: dict[int, float] = field(default_factory=dict)
    splits: dict[tuple[int, ...], dict[tuple[int, int], tuple[Run, ...]]] = field(default_factory=dict)

    @classmethod
    def empty(cls, tol: Tolerance = MODEL) -> Plane:
        """Return tables without an entry."""
        return cls(Corners(tol.same_mm), Corners(tol.same_mm))

    def loop(self, runs: tuple[Run, ...]) -> Loop:
        """Return the loop of ``runs``, beginning with the run of the smallest key."""
        first = min(range(len(runs)), key=lambda i: runs[i].key)
        turned = runs[first:] + runs[:first]
        return Loop(turned, self.loops.setdefault(tuple(r.key for r in turned), len(self.loops)))

    def arc(self, start: int, end: int, circle: Circle, angle: float, sweep: float) -> Run:
        """Return the arc run; whole turns are taken off the start angle."""
        half = angle + sweep / 2.0
        middle = self.middles.number(
            circle.centre.x + circle.radius_mm * cos(half), circle.centre.y + circle.radius_mm * sin(half)
        )
        return Run(start, end, circle, angle, sweep, middle)

    def at(self, run: Run, share: float) -> Point:
        """Return the point of the run at a share (0 … 1) of its length."""
        a, b = self.corners[run.start], self.corners[run.end]
        if run.circle is None:
            return Point(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y))
        (cx, cy), r = run.circle
        angle = run.angle + share * run.sweep
        return Point(cx + r * cos(angle), cy + r * sin(angle))

    def heading(self, run: Run, share: float) -> Point:
        """Return the unit direction of travel at a share of the run's length."""
        if run.circle is None:
            a, b = self.corners[run.start], self.corners[run.end]
            d = hypot(b.x - a.x, b.y - a.y)
            return Point((b.x - a.x) / d, (b.y - a.y) / d)
        angle = run.angle + share * run.sweep
        side = 1.0 if run.sweep > 0 else -1.0
        return Point(-side * sin(angle), side * cos(angle))

    def length(self, run: Run) -> float:
        """Return the run's length, mm."""
        if run.circle is not None:
            return run.circle.radius_mm * abs(run.sweep)
        a, b = self.corners[run.start], self.corners[run.end]
        return hypot(b.x - a.x, b.y - a.y)


def loop_of(contour: Contour, plane: Plane) -> Loop | None:
    """Return the loop of a contour; None if it vanishes within the tolerance of a corner."""
    runs = _segment_runs(contour, plane)
    if len(runs) < 2:
        return None
    first = next((i for i in range(len(runs)) if _joined(runs[i - 1], runs[i], plane) is None), None)
    if first is None:
        return _whole_circle(runs[0], plane)
    chain = [runs[first]]
    for run in runs[first + 1 :] + runs[:first]:
        both = _joined(chain[-1], run, plane)
        if both is None:
            chain.append(run)
        elif both.start == both.end:
            return _whole_circle(both, plane)
        else:
            chain[-1] = both
    return plane.loop(tuple(chain)) if len(chain) > 1 else None


def _segment_runs(contour: Contour, plane: Plane) -> list[Run]:
    vertices = contour.vertices
    numbers = [plane.corners.number(v.x, v.y) for v in vertices]
    runs = []
    for i, v in enumerate(vertices):
        start, end = numbers[i], numbers[(i + 1) % len(numbers)]
        if start == end:
            continue
        runs.append(_segment_run(start, end, v.bulge, plane))
    return runs


def _segment_run(start: int, end: int, bulge: float, plane: Plane) -> Run:
    p, q = plane.corners[start], plane.corners[end]
    dx, dy = q.x - p.x, q.y - p.y
    chord = hypot(dx, dy)
    radius = chord * (1.0 + bulge * bulge) / (4.0 * abs(bulge)) if bulge else inf
    rise = abs(bulge) * chord / 2.0
    if radius == inf or (rise <= FLAT_MM and radius > WIDE_MM):
        return Run(start, end)
    k = (1.0 - bulge * bulge) / (4.0 * bulge)
    centre = Point((p.x + q.x) / 2.0 - k * dy, (p.y + q.y) / 2.0 + k * dx)
    sweep = 4.0 * atan2(bulge, 1.0)
    return plane.arc(start, end, Circle(centre, radius), atan2(p.y - centre.y, p.x - centre.x), sweep)


def _joined(first: Run, second: Run, plane: Plane) -> Run | None:
    """Return the two runs as one if they lie on one carrier and travel on, else None."""
    if first.circle is None or second.circle is None:
        if first.circle is not second.circle:
            return None
        return _joined_lines(first, second, plane)
    if first.sweep * second.sweep < 0.0 or not _same_circle(first, second, plane):
        return None
    big = first if abs(first.sweep) >= abs(second.sweep) else second
    assert big.circle is not None
    sweep = first.sweep + second.sweep
    if abs(sweep) > TURN * (1.0 + 1e-9):
        return None
    start = plane.corners[first.start]
    angle = atan2(start.y - big.circle.centre.y, start.x - big.circle.centre.x)
    return plane.arc(first.start, second.end, big.circle, angle, sweep)


def _joined_lines(first: Run, second: Run, plane: Plane) -> Run | None:
    a, m, b = plane.corners[first.start], plane.corners[second.start], plane.corners[second.end]
    dx, dy = b.x - a.x, b.y - a.y
    d = hypot(dx, dy)
    if d == 0.0 or (m.x - a.x) * dx + (m.y - a.y) * dy <= 0.0 or (b.x - m.x) * dx + (b.y - m.y) * dy <= 0.0:
        return None
    off = abs((m.x - a.x) * dy - (m.y - a.y) * dx) / d
    return Run(first.start, second.end) if off <= MERGE_MM else None


def _same_circle(first: Run, second: Run, plane: Plane) -> bool:
    assert first.circle is not None
    assert second.circle is not None
    if abs(first.circle.radius_mm - second.circle.radius_mm) > 1e-3 * first.circle.radius_mm:
        return False
    here = ((first, second.circle), (second, first.circle))
    return all(
        abs(hypot(p.x - circle.centre.x, p.y - circle.centre.y) - circle.radius_mm) <= MERGE_MM
        for run, circle in here
        for p in (plane.at(run, 0.0), plane.at(run, 0.5), plane.at(run, 1.0))
    )


def _whole_circle(run: Run, plane: Plane) -> Loop | None:
    if run.circle is None:
        return None
    (cx, cy), r = run.circle
    corner = plane.corners.number(cx + r, cy)
    way = TURN if run.sweep > 0 else -TURN
    return plane.loop((plane.arc(corner, corner, run.circle, 0.0, way),))


def turned_into(angle: float, low: float) -> float:
    """Return the angle plus whole turns so that it lies in ``[low, low + 2π)``; rounding below ``low`` is ``low``."""
    rest = fmod(angle - low, TURN)
    if rest < 0.0:
        rest = rest + TURN if rest < -1e-13 else 0.0
    return low + rest


def runs_area(runs: Iterable[Run], plane: Plane) -> float:
    """Return the signed area inside a closed chain of runs, mm²; counter-clockwise is positive."""
    total = 0.0
    origin: Point | None = None
    for run in runs:
        a, b = plane.corners[run.start], plane.corners[run.end]
        origin = origin or a
        total += ((a.x - origin.x) * (b.y - a.y) - (a.y - origin.y) * (b.x - a.x)) / 2.0
        if run.circle is not None:
            total += run.circle.radius_mm**2 * (run.sweep - sin(run.sweep)) / 2.0
    return total
