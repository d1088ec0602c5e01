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
from generator.outline.region import Region
from generator.outline.tangent import swept_arc
from generator.shapes.outer.around import on_arc, points_along

SAG_MM = 1e-3
"""Points on the body are tested so close together that arcs bulge no more than this between them."""


class _Flank(NamedTuple):
    """An arc from the body to the tip: which segment it touches and where, its centre, where it meets the tip."""

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
    for right in _flanks(body, tip, signed_mm, direction, -1.0):
        for left in _flanks(body, tip, signed_mm, direction, 1.0):
            if _pinched(tip, signed_mm, direction, right, left):
                continue
            if signed_mm > 0.0 and not _wrapped(body, tip, signed_mm, direction, right, left):
                continue
            contour = _assembled(body, tip, signed_mm, right, left)
            if explain_contour(contour) is None:
                return contour
    return None


def _flanks(body: Contour, tip: Circle, s: float, direction: Point, side: float) -> list[_Flank]:
    """Return the arcs on the left (``side`` 1) or right (-1) of the direction, first the one that leaves earliest."""
    reach = Circle(tip.centre, abs(s - tip.radius_mm))
    found: list[_Flank] = []
    for i, segment in enumerate(body.segments()):
        shifted = _shifted(segment, s)
        for centre in meet(shifted, reach) if shifted is not None else []:
            foot = _foot(segment, centre, s)
            if foot is not None and _side(direction, tip.centre, _middle(centre, foot, tip, s)) * side > 0.0:
                found.append(_Flank(i, foot, centre, _touch(tip, centre, s)))
    return sorted(found, key=lambda k: k.foot.x * direction.x + k.foot.y * direction.y)


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


def _wrapped(body: Contour, tip: Circle, s: float, direction: Point, right: _Flank, left: _Flank) -> bool:
    """Return whether bulging sides pass outside of everything on the body between the points where they leave it."""
    slack = 1e-9 * s
    between = Contour((*_along_body(body, right, left), Vertex(*left.foot)))
    for p in points_along(Region((between,)), SAG_MM):
        flank = left if _side(direction, tip.centre, Point(p[0], p[1])) > 0.0 else right
        if hypot(p[0] - flank.centre.x, p[1] - flank.centre.y) > s + slack:
            return False
    return True


def _assembled(body: Contour, tip: Circle, s: float, right: _Flank, left: _Flank) -> Contour:
    """Return the contour: from the left foot round the body to the right foot, out to the tip and back."""
    vertices = _along_body(body, left, right)
    vertices += _arc(right.foot, right.meets, right.centre, s)
    vertices += _arc(right.meets, left.meets, tip.centre, tip.radius_mm)
    vertices += _arc(left.meets, left.foot, left.centre, s)
    return Contour(tuple(vertices))


def _along_body(body: Contour, first: _Flank, last: _Flank) -> list[Vertex]:
    """Return the starts of the body's segments from one foot counter-clockwise to the other."""
    segments = list(body.segments())
    vertices: list[Vertex] = []
    here, i = first.foot, first.segment
    for _ in range(len(segments) + 1):
        if i == last.segment and not (vertices == [] and _comes_before(segments[i], last.foot, here)):
            return vertices + list(_part(segments[i], here, last.foot))
        vertices += _part(segments[i], here, segments[i].end)
        here, i = segments[i].end, (i + 1) % len(segments)
    return vertices


def _comes_before(segment: Segment, a: Point, b: Point) -> bool:
    """Return whether a comes before b along the segment."""
    ax, ay = a.x - segment.start.x, a.y - segment.start.y
    bx, by = b.x - segment.start.x, b.y - segment.start.y
    return hypot(ax, ay) < hypot(bx, by)


def _part(segment: Segment, a: Point, b: Point) -> tuple[Vertex, ...]:
    if a == b:
        return ()
    if not segment.is_arc:
        return (Vertex(*a),)
    return _arc(a, b, segment.centre, segment.radius_mm)


def _arc(a: Point, b: Point, centre: Point, signed_mm: float) -> tuple[Vertex, ...]:
    """Return the arc from a to b about ``centre``, counter-clockwise for a positive radius."""
    start, end = atan2(a.y - centre.y, a.x - centre.x), atan2(b.y - centre.y, b.x - centre.x)
    sweep = (end - start) % (2.0 * pi) if signed_mm > 0.0 else -((start - end) % (2.0 * pi))
    return swept_arc(a, b, sweep)
