"""Arcs that run from a convex body to a tip, tangent to both: the sides of a pointed shape.

A flank of signed radius s (negative: hollow) is tangent to a circle of radius r when the centres are |s - r| apart,
and to a line when its centre is |s| away from it. Its centre is therefore where the body's carriers, shifted
outwards by a hollow radius or inwards by a bulging one, meet the circle of radius |s - tip| about the tip.
"""

from __future__ import annotations

from math import atan2, hypot, pi
from typing import NamedTuple

from generator.outline.carrier import Carrier, Circle, Line, carrier_of, meet, tangents
from generator.outline.contour import Contour, Point, Segment, Vertex
from generator.outline.predicates import explain_contour
from generator.outline.tangent import swept_arc
from generator.shapes.around import on_arc

LARGEST_MM = 20_000.0
"""Radii beyond this are as good as straight."""


class _Flank(NamedTuple):
    """An arc from the body to the tip: which segment of the body it touches, where, its centre, where it meets the tip."""

    segment: int
    foot: Point
    centre: Point
    meets: Point


def flanked(body: Contour, tip: Circle, signed_mm: float, direction: Point) -> Contour | None:
    """Return body and tip joined by an arc on each side; None when the arcs do not reach or pinch the tip off.

    Args:
        body: convex, counter-clockwise, its corners rounded.
        tip: circle that sticks out of the body.
        signed_mm: radius of the arcs, negative for hollow ones.
        direction: unit vector from the body to the tip.
    """
    right = _flank(body, tip, signed_mm, direction, -1.0)
    left = _flank(body, tip, signed_mm, direction, 1.0)
    if right is None or left is None or _pinched(tip, signed_mm, direction, right, left):
        return None
    contour = _assembled(body, tip, signed_mm, right, left)
    return contour if explain_contour(contour) is None else None


def least_radius(body: Contour, tip: Circle, sign: float, too_small_mm: float, direction: Point) -> float:
    """Return the least radius beyond ``too_small_mm`` for which :func:`flanked` succeeds; 0 when there is none."""
    high = max(too_small_mm, 1.0)
    while flanked(body, tip, sign * high, direction) is None:
        high *= 2.0
        if high > LARGEST_MM:
            return 0.0
    low = max(too_small_mm, high / 2.0)
    for _ in range(40):
        middle = (low + high) / 2.0
        if flanked(body, tip, sign * middle, direction) is None:
            low = middle
        else:
            high = middle
    return high


def _flank(body: Contour, tip: Circle, s: float, direction: Point, side: float) -> _Flank | None:
    """Return the arc on the left (``side`` 1) or right (-1) of the direction; of several the one that leaves first."""
    reach = Circle(tip.centre, abs(s - tip.radius_mm))
    found: list[_Flank] = []
    for i, segment in enumerate(body.segments()):
        shifted = _shifted(segment, s)
        for centre in meet(shifted, reach) if shifted is not None else []:
            foot = _foot(segment, centre, s)
            if foot is not None and _side(direction, tip.centre, _middle(centre, foot, tip, s)) * side > 0.0:
                found.append(_Flank(i, foot, centre, _touch(tip, centre, s)))
    return min(found, key=lambda k: k.foot.x * direction.x + k.foot.y * direction.y, default=None)


def _shifted(segment: Segment, s: float) -> Carrier | None:
    """Return where the centres of arcs of signed radius ``s`` tangent to the segment's outside lie."""
    carrier = carrier_of(segment)
    if isinstance(carrier, Circle):
        gap = abs(s - carrier.radius_mm)
        return Circle(carrier.centre, gap) if s < 0.0 or s > carrier.radius_mm else None
    if s > 0.0:
        return None  # a bulging arc leaves a straight edge on its inside
    (px, py), (ux, uy) = carrier
    return Line(Point(px - s * uy, py + s * ux), carrier.direction)


def _foot(segment: Segment, centre: Point, s: float) -> Point | None:
    """Return where the arc about ``centre`` touches the segment; None when beyond its ends."""
    if not segment.is_arc:
        ux, uy = tangents(segment)[0]
        t = (centre.x - segment.start.x) * ux + (centre.y - segment.start.y) * uy
        inside = 0.0 <= t <= segment.chord_mm
        return Point(segment.start.x + t * ux, segment.start.y + t * uy) if inside else None
    c, r = segment.centre, segment.radius_mm
    foot = _touch(Circle(c, r), centre, s)
    return foot if on_arc(segment, foot) else None


def _touch(circle: Circle, centre: Point, s: float) -> Point:
    dx, dy = circle.centre.x - centre.x, circle.centre.y - centre.y
    k = circle.radius_mm * (1.0 if s > circle.radius_mm else -1.0) / hypot(dx, dy)
    return Point(circle.centre.x + k * dx, circle.centre.y + k * dy)


def _middle(centre: Point, foot: Point, tip: Circle, s: float) -> Point:
    meets = _touch(tip, centre, s)
    return Point((foot.x + meets.x) / 2.0, (foot.y + meets.y) / 2.0)


def _side(direction: Point, origin: Point, p: Point) -> float:
    return direction.x * (p.y - origin.y) - direction.y * (p.x - origin.x)


def _pinched(tip: Circle, s: float, direction: Point, right: _Flank, left: _Flank) -> bool:
    """Return whether hollow sides leave a neck behind the tip that is thinner than the tip itself."""
    behind = [
        (k.meets.x - tip.centre.x) * direction.x + (k.meets.y - tip.centre.y) * direction.y for k in (right, left)
    ]
    return s < 0.0 and min(behind) < -1e-9 * tip.radius_mm


def _assembled(body: Contour, tip: Circle, s: float, right: _Flank, left: _Flank) -> Contour:
    """Return the contour: from the left foot round the body to the right foot, out to the tip and back."""
    segments = list(body.segments())
    n = len(segments)
    vertices: list[Vertex] = []
    here, i = left.foot, left.segment
    while True:
        last = i == right.segment and not _comes_before(segments[i], right.foot, here)
        end = right.foot if last else segments[i].end
        if here != end:
            vertices += _part(segments[i], here, end)
        if last:
            break
        i, here = (i + 1) % n, segments[i].end
        if len(vertices) > 2 * n + 4:
            break
    vertices += _arc(right.foot, right.meets, right.centre, s)
    vertices += _arc(right.meets, left.meets, tip.centre, tip.radius_mm)
    vertices += _arc(left.meets, left.foot, left.centre, s)
    return Contour(tuple(vertices))


def _comes_before(segment: Segment, a: Point, b: Point) -> bool:
    """Return whether a comes before b along the segment."""
    ax, ay = a.x - segment.start.x, a.y - segment.start.y
    bx, by = b.x - segment.start.x, b.y - segment.start.y
    return hypot(ax, ay) < hypot(bx, by)


def _part(segment: Segment, a: Point, b: Point) -> tuple[Vertex, ...]:
    if not segment.is_arc:
        return (Vertex(*a),)
    return _arc(a, b, segment.centre, segment.radius_mm)


def _arc(a: Point, b: Point, centre: Point, signed_mm: float) -> tuple[Vertex, ...]:
    """Return the arc from a to b about ``centre``, counter-clockwise for a positive radius."""
    start, end = atan2(a.y - centre.y, a.x - centre.x), atan2(b.y - centre.y, b.x - centre.x)
    sweep = (end - start) % (2.0 * pi) if signed_mm > 0.0 else -((start - end) % (2.0 * pi))
    return swept_arc(a, b, sweep)
