"""Where two segments meet: apart, in points, or along a shared stretch. Three answers, three types."""

from __future__ import annotations

from math import atan2, copysign, cos, hypot, pi, sin
from typing import TypeAlias

from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL, Tolerance
from generator.outline.carrier import Circle, Line, bends, carrier_of, meet, tangents
from generator.outline.contour import Point, Segment

__all__ = [
    "Apart",
    "Contact",
    "Meeting",
    "Meetings",
    "Overlap",
    "direction_at",
    "meet_segments",
    "nearest_share",
    "point_at",
]

_PARALLEL = 1e-9


@frozen_record
class Apart:
    """The segments do not meet."""


@frozen_record
class Contact:
    """One point of meeting.

    Attributes:
        point: where, mm; an end of a segment to its last digit when it lies there.
        on_a: share of segment a's length from its start, 0 to 1.
        on_b: the same on segment b.
        tangent: True when both run the same or the opposite way there.
    """

    point: Point
    on_a: float
    on_b: float
    tangent: bool


@frozen_record
class Meetings:
    """The segments meet in one or two points, in order along segment a."""

    contacts: tuple[Contact, ...]


@frozen_record
class Overlap:
    """The segments share a stretch, between two contacts in order along segment a."""

    first: Contact
    last: Contact


Meeting: TypeAlias = Apart | Meetings | Overlap


def point_at(segment: Segment, share: float) -> Point:
    """Return the point at a share of the segment's length (0 start, 1 end)."""
    (x0, y0), (x1, y1) = segment.start, segment.end
    if share in (0.0, 1.0):
        return segment.end if share else segment.start
    if not bends(segment):
        return Point(x0 + share * (x1 - x0), y0 + share * (y1 - y0))
    return _swing_out(segment, share)


def _swing_out(segment: Segment, share: float) -> Point:
    """Return a point of an arc by the chord to it, which is exact for arcs that are almost straight."""
    half = segment.sweep / 2.0
    (ux, uy), _ = tangents(segment)
    reach = segment.chord_mm * sin(half * share) / sin(half)
    c, s = cos(half * share), sin(half * share)
    return Point(segment.start.x + reach * (ux * c - uy * s), segment.start.y + reach * (uy * c + ux * s))


def direction_at(segment: Segment, share: float) -> Point:
    """Return the unit direction of travel at a share of the segment's length."""
    (ux, uy), _ = tangents(segment)
    c, s = cos(segment.sweep * share), sin(segment.sweep * share)
    return Point(ux * c - uy * s, uy * c + ux * s)


def nearest_share(segment: Segment, p: Point) -> tuple[float, float]:
    """Return the share of the length at which the segment is nearest to p, and the distance in mm."""
    length = segment.chord_mm
    if length == 0.0:
        return 0.0, hypot(p.x - segment.start.x, p.y - segment.start.y)
    if not bends(segment):
        ux, uy = (segment.end.x - segment.start.x) / length, (segment.end.y - segment.start.y) / length
        share = ((p.x - segment.start.x) * ux + (p.y - segment.start.y) * uy) / length
    else:
        share = _share_of_sweep(segment, p)
    share = min(1.0, max(0.0, share))
    q = point_at(segment, share)
    return share, hypot(p.x - q.x, p.y - q.y)


def _share_of_sweep(segment: Segment, p: Point) -> float:
    (cx, cy), (sx, sy) = segment.centre, segment.start
    ax, ay, vx, vy = sx - cx, sy - cy, p.x - sx, p.y - sy
    angle = copysign(1.0, segment.bulge) * atan2(ax * vy - ay * vx, ax * (ax + vx) + ay * (ay + vy))
    sweep = abs(segment.sweep)
    if angle < (sweep - 2.0 * pi) / 2.0:  # nearer to the end, going on, than to the start, going back
        angle += 2.0 * pi
    return angle / sweep


def meet_segments(a: Segment, b: Segment, *, tol: Tolerance = MODEL) -> Meeting:
    """Return how two segments meet; points within ``tol.same_mm`` of both count, and of each other are one.

    Crossings come in closed form from the carriers. Where the carriers only just miss each other (touching
    within the tolerance) the foot of their common normal is the contact.
    """
    ends = _contacts(a, b, [a.start, a.end, b.start, b.end], tol)
    shared = _shared_stretch(a, b, ends, tol)
    if shared is not None:
        return shared
    if a.chord_mm == 0.0 or b.chord_mm == 0.0:
        return Meetings(tuple(ends)) if ends else Apart()
    carrier_a, carrier_b = carrier_of(a), carrier_of(b)
    crossings = _contacts(a, b, meet(carrier_a, carrier_b), tol)
    if not crossings and not ends:
        crossings = _contacts(a, b, _close_approach(carrier_a, carrier_b), tol)
    contacts = _distinct([*ends, *crossings], tol)
    return Meetings(tuple(contacts)) if contacts else Apart()


def _contacts(a: Segment, b: Segment, points: list[Point], tol: Tolerance) -> list[Contact]:
    found = []
    for p in points:
        on_a, off_a = nearest_share(a, p)
        on_b, off_b = nearest_share(b, p)
        if off_a <= tol.same_mm and off_b <= tol.same_mm:
            found.append(_contact(a, b, p, on_a, on_b, tol))
    return _distinct(found, tol)


def _contact(a: Segment, b: Segment, p: Point, on_a: float, on_b: float, tol: Tolerance) -> Contact:
    for share, end in ((0.0, b.start), (1.0, b.end)):
        if hypot(p.x - end.x, p.y - end.y) <= tol.same_mm:
            on_b, p = share, end
    for share, end in ((0.0, a.start), (1.0, a.end)):
        if hypot(p.x - end.x, p.y - end.y) <= tol.same_mm:
            on_a, p = share, end
    if a.chord_mm == 0.0 or b.chord_mm == 0.0:
        return Contact(p, on_a, on_b, tangent=True)
    u, v = direction_at(a, on_a), direction_at(b, on_b)
    return Contact(p, on_a, on_b, tangent=abs(u.x * v.y - u.y * v.x) <= _PARALLEL)


def _distinct(contacts: list[Contact], tol: Tolerance) -> list[Contact]:
    out: list[Contact] = []
    for c in sorted(contacts, key=lambda c: c.on_a):
        if all(hypot(c.point.x - o.point.x, c.point.y - o.point.y) > tol.same_mm for o in out):
            out.append(c)
    return out


def _shared_stretch(a: Segment, b: Segment, ends: list[Contact], tol: Tolerance) -> Overlap | None:
    """Return the shared stretch when the way between two contacts stays on both segments."""
    if len(ends) < 2:
        return None
    first, last = ends[0], ends[-1]
    for share in (0.25, 0.5, 0.75):
        p = point_at(a, first.on_a + share * (last.on_a - first.on_a))
        if nearest_share(b, p)[1] > tol.same_mm:
            return None
    return Overlap(first, last)


def _close_approach(a: Line | Circle, b: Line | Circle) -> list[Point]:
    """Return the point between the carriers on their common normal."""
    if isinstance(a, Line):
        return [] if isinstance(b, Line) else _line_to_circle(a, b)
    if isinstance(b, Line):
        return _line_to_circle(b, a)
    dx, dy = b.centre.x - a.centre.x, b.centre.y - a.centre.y
    d = hypot(dx, dy)
    if d == 0.0:
        return []
    ux, uy = dx / d, dy / d
    r, s = a.radius_mm, b.radius_mm
    reach = (r + d - s) / 2.0 if d > max(r, s) else ((r + d + s) / 2.0 if r > s else -(r - d + s) / 2.0)
    return [Point(a.centre.x + reach * ux, a.centre.y + reach * uy)]


def _line_to_circle(line: Line, circle: Circle) -> list[Point]:
    (px, py), (ux, uy) = line
    off = (circle.centre.x - px) * uy - (circle.centre.y - py) * ux
    return [Point(circle.centre.x - off * uy, circle.centre.y + off * ux)]
