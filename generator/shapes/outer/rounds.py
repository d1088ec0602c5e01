"""Convex outlines as the arcs at their corners: a *round* is such an arc, a *side* the straight line to the next one.

Every convex outline without sharp corners is a ring of rounds, all counter-clockwise. Growing it is adding to the
radii; a side bent inwards is an arc that touches the rounds at its ends.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import atan2, cos, hypot, pi, sin
from typing import NamedTuple

from generator.base.errors import GeometryError
from generator.outline.carrier import Circle, tangents
from generator.outline.contour import Contour, Point, Segment, Vertex
from generator.outline.create import circle
from generator.outline.hull import hull
from generator.outline.predicates import corner_angles
from generator.outline.tangent import Hand, hollow_arc, swept_arc
from generator.shapes.outer.keep import Keep

_FLAT_RAD = 1e-9
_SAME_MM = 1e-9
_TURN = 2.0 * pi


class Round(NamedTuple):
    """An arc, counter-clockwise: outward direction at its start and sweep in radians, mm."""

    centre: Point
    radius: float
    first: float
    sweep: float

    def at(self, angle: float, radius: float | None = None) -> Point:
        """Return the point in an outward direction."""
        r = self.radius if radius is None else radius
        return Point(self.centre.x + r * cos(angle), self.centre.y + r * sin(angle))

    @property
    def start(self) -> Point:
        """Return where the arc starts."""
        return self.at(self.first)

    @property
    def end(self) -> Point:
        """Return where the arc ends."""
        return self.at(self.first + self.sweep)


Rounds = tuple[Round, ...]


def band_round(keep: Keep) -> Rounds:
    """Return the band stretched tightly round pocket and seats; it may have rounds of radius 0."""
    contour = hull([keep.inner])
    found: list[Round] = []
    for segment, turn in zip(contour.segments(), corner_angles(contour), strict=True):
        first = _outward(segment)
        if turn > _FLAT_RAD:
            found.append(Round(segment.start, 0.0, first - float(turn), float(turn)))
        if segment.is_arc:
            found.append(Round(segment.centre, segment.radius_mm, first, segment.sweep))
    return _merged(found)


def _outward(segment: Segment) -> float:
    u = tangents(segment)[0]
    return atan2(-u.x, u.y)


def _merged(rounds: list[Round]) -> Rounds:
    """Return the ring with neighbours on one circle made one."""
    out: list[Round] = []
    for r in rounds:
        if out and _are_one(out[-1], r):
            out[-1] = out[-1]._replace(sweep=out[-1].sweep + r.sweep)
        else:
            out.append(r)
    if len(out) > 1 and _are_one(out[-1], out[0]):
        last = out.pop()
        out[0] = last._replace(sweep=last.sweep + out[0].sweep)
    return tuple(out)


def _are_one(a: Round, b: Round) -> bool:
    near = hypot(a.centre.x - b.centre.x, a.centre.y - b.centre.y) <= _SAME_MM
    return near and abs(a.radius - b.radius) <= _SAME_MM


def grown(rounds: Rounds, by_mm: float) -> Rounds:
    """Return the outline at a distance outside."""
    return tuple(r._replace(radius=r.radius + by_mm) for r in rounds)


def rounds_of_points(points: Sequence[Point], radius_mm: float) -> Rounds:
    """Return a convex polygon (counter-clockwise; one or two points will do) grown by a radius."""
    n = len(points)
    if n == 1:
        return (Round(points[0], radius_mm, 0.0, _TURN),)
    normals = [atan2(-(points[(i + 1) % n].x - points[i].x), points[(i + 1) % n].y - points[i].y) for i in range(n)]
    return tuple(Round(points[i], radius_mm, normals[i - 1], (normals[i] - normals[i - 1]) % _TURN) for i in range(n))


def side_lengths(rounds: Rounds) -> list[float]:
    """Return the length of the straight side after each round, mm."""
    n = len(rounds)
    ends = [(rounds[i].end, rounds[(i + 1) % n].start) for i in range(n)] if n > 1 else []
    return [hypot(b.x - a.x, b.y - a.y) for a, b in ends] or [0.0]


def outline_of(rounds: Rounds, hollow: Iterable[tuple[int, float]] = ()) -> Contour:
    """Return the outline, with the sides after some rounds bent inwards.

    Args:
        rounds: the ring.
        hollow: number of a round and the radius of the side after it, mm.

    Raises: GeometryError: a radius is too small to reach from round to round.
    """
    n = len(rounds)
    if n == 1:
        return circle(rounds[0].centre, rounds[0].radius)
    bent = {}
    for i, radius in hollow:
        a, b = rounds[i], rounds[(i + 1) % n]
        try:
            bent[i] = hollow_arc(Circle(a.centre, a.radius), Circle(b.centre, b.radius), radius, Hand.RIGHT)
        except GeometryError:
            raise GeometryError(f"hollow sides of radius {radius:.4g} mm do not reach from corner to corner") from None
    vertices: list[Vertex] = []
    for i, r in enumerate(rounds):
        before, after = bent.get((i - 1) % n), bent.get(i)
        start, end = before.end if before else r.start, after.start if after else r.end
        vertices += _arc(r, start, end, bent_at_start=before is not None, bent_at_end=after is not None)
        if after:
            vertices += after.path
        elif hypot(rounds[(i + 1) % n].start.x - end.x, rounds[(i + 1) % n].start.y - end.y) > _SAME_MM:
            vertices.append(Vertex(*end))
    return Contour(tuple(vertices))


def _arc(r: Round, start: Point, end: Point, *, bent_at_start: bool, bent_at_end: bool) -> tuple[Vertex, ...]:
    """Return a round from start to end: a side bent inwards touches it farther on than the straight side would."""
    if r.radius <= _SAME_MM:
        return ()
    more = (_angle(r, start, r.start) if bent_at_start else 0.0) + (_angle(r, r.end, end) if bent_at_end else 0.0)
    if r.sweep + more >= _TURN - _FLAT_RAD:
        raise GeometryError("the hollow sides run into each other behind a corner")
    return swept_arc(start, end, r.sweep + more)


def _angle(r: Round, a: Point, b: Point) -> float:
    """Return the angle from a to b about the round's centre, counter-clockwise."""
    ax, ay, bx, by = a.x - r.centre.x, a.y - r.centre.y, b.x - r.centre.x, b.y - r.centre.y
    return atan2(ax * by - ay * bx, ax * bx + ay * by) % _TURN


def half_planes(normals: Sequence[float], reaches: Sequence[float]) -> list[Point]:
    """Return the polygon of the points that reach no farther than ``reaches`` (mm) in the directions ``normals``.

    Raises: GeometryError: nothing is left.
    """
    far = 4.0 * max(1.0, *(abs(r) for r in reaches)) / sin(pi / max(len(normals), 3))
    points = [Point(-far, -far), Point(far, -far), Point(far, far), Point(-far, far)]
    for angle, reach in zip(normals, reaches, strict=True):
        points = _clipped(points, Point(cos(angle), sin(angle)), reach)
    apart = [p for i, p in enumerate(points) if hypot(p.x - points[i - 1].x, p.y - points[i - 1].y) > 1e-6]
    if not points:
        raise GeometryError("corners of this radius leave nothing of its sides")
    return apart or points[:1]


def _clipped(points: list[Point], u: Point, reach: float) -> list[Point]:
    out: list[Point] = []
    for i, q in enumerate(points):
        p = points[i - 1]
        a, b = p.x * u.x + p.y * u.y - reach, q.x * u.x + q.y * u.y - reach
        if (a < 0.0) != (b < 0.0):
            t = a / (a - b)
            out.append(Point(p.x + t * (q.x - p.x), p.y + t * (q.y - p.y)))
        if b < 0.0:
            out.append(q)
    return out


def reach_of(rounds: Rounds, angle: float) -> float:
    """Return how far a ring of rounds reaches in a direction, from the origin, mm."""
    u = Point(cos(angle), sin(angle))
    return max(r.centre.x * u.x + r.centre.y * u.y + r.radius for r in rounds if _faces(r, angle))


def _faces(r: Round, angle: float) -> bool:
    return (angle - r.first + 1e-9) % _TURN <= r.sweep + 2e-9
