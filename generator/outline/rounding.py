"""Round the corners of a contour with exact tangent arcs, whatever meets there: lines or arcs.

Terminology. The *turn* of a corner is the angle by which the direction of travel jumps. A *fillet* is the arc that
replaces the corner; its centre is where the two carriers, shifted by the radius to the side of the turn, meet. Its
*trims* are the lengths that it takes from the segment before and the segment after.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, copysign, hypot, isfinite, pi, tan
from typing import NamedTuple

from generator.base.errors import ContourError, GeometryError
from generator.base.units import MODEL, Tolerance
from generator.outline.carrier import Carrier, Circle, Line, bends, carrier_of, meet, tangents
from generator.outline.contour import Contour, Point, Segment, Vertex
from generator.outline.tangent import swept_arc

__all__ = ["can_be_rounded", "rounded"]

_SMOOTH_RAD = 1e-9
"""A joint that turns by less is no corner."""


class _Fillet(NamedTuple):
    path: tuple[Vertex, ...]
    end: Point
    trim_before: float
    trim_after: float


class _Corner(NamedTuple):
    number: int
    before: Segment
    after: Segment
    turn: float


def rounded(
    contour: Contour,
    radius_mm: float | Sequence[float],
    *,
    convex: bool = True,
    concave: bool = True,
    tol: Tolerance = MODEL,
) -> Contour:
    """Return the contour with its corners rounded by arcs tangent to what meets there.

    Args:
        contour: closed and not crossing itself.
        radius_mm: one for all corners, or one for each vertex (0 leaves a corner sharp).
        convex: round the corners that stick out of the material (left turns).
        concave: round the corners that go into the material (right turns).
        tol: a radius of no more than ``tol.same_mm`` leaves the corner as it is; segments that shrink to less
            than a thousandth of it vanish.

    Raises:
        GeometryError: a radius is negative or not finite, or their number is not the number of vertices.
        ContourError: a radius does not fit; names the corner and the largest radius that does.
    """
    radii = _radii(contour, radius_mm)
    if not any(radii):
        return contour
    corners = _corners(contour)
    wanted = {c.number: radii[c.number] for c in corners if (convex if c.turn > 0.0 else concave)}
    least_mm = tol.same_mm / 1000.0
    fillets, culprit = _fit(contour, corners, wanted, 1.0, least_mm)
    if culprit >= 0:
        _refuse(contour, corners, wanted, culprit, least_mm)
    return _assemble(contour, fillets, least_mm)


def can_be_rounded(contour: Contour, radius_mm: float, *, tol: Tolerance = MODEL) -> bool:
    """Return True if ``rounded`` would round every corner by the radius; quick either way.

    Raises:
        GeometryError: the radius is negative or not finite.
        ContourError: a segment has no length.
    """
    radii = _radii(contour, radius_mm)
    corners = _corners(contour)
    return _fit(contour, corners, dict(enumerate(radii)), 1.0, tol.same_mm / 1000.0)[1] < 0


def _radii(contour: Contour, radius_mm: float | Sequence[float]) -> list[float]:
    radii = [float(r) for r in radius_mm] if isinstance(radius_mm, Sequence) else [float(radius_mm)] * len(contour)
    if len(radii) != len(contour):
        raise GeometryError(f"{len(radii)} corner radii for {len(contour)} corners")
    for i, r in enumerate(radii):
        if not isfinite(r) or r < 0.0:
            raise GeometryError(f"corner radius must be 0 or a positive number of mm, not {r:g}", segment=i)
    return radii


def _corners(contour: Contour) -> list[_Corner]:
    segments = list(contour.segments())
    found = []
    for i, after in enumerate(segments):
        before = segments[i - 1]
        if before.chord_mm == 0.0 or after.chord_mm == 0.0:
            raise ContourError("a segment has no length", segment=i, point_mm=after.start)
        u, v = tangents(before)[1], tangents(after)[0]
        turn = atan2(u.x * v.y - u.y * v.x, u.x * v.x + u.y * v.y)
        if abs(turn) > _SMOOTH_RAD:
            found.append(_Corner(i, before, after, turn))
    return found


def _fit(
    contour: Contour, corners: list[_Corner], wanted: dict[int, float], share: float, least_mm: float
) -> tuple[dict[int, _Fillet], int]:
    """Return the fillets for ``share`` times the wanted radii, and the corner that does not fit or -1."""
    fillets: dict[int, _Fillet] = {}
    for corner in corners:
        radius = wanted.get(corner.number, 0.0) * share
        if radius > 1000.0 * least_mm:
            fillet = _fillet(corner, radius, least_mm)
            if fillet is None:
                return fillets, corner.number
            fillets[corner.number] = fillet
    for i, segment in enumerate(contour.segments()):
        j = (i + 1) % len(contour)
        start, end = _trim_after(fillets, i), _trim_before(fillets, j)
        if start + end > _length(segment) + least_mm:
            return fillets, i if start >= end else j
    return fillets, -1


def _trim_after(fillets: dict[int, _Fillet], i: int) -> float:
    return fillets[i].trim_after if i in fillets else 0.0


def _trim_before(fillets: dict[int, _Fillet], i: int) -> float:
    return fillets[i].trim_before if i in fillets else 0.0


def _length(segment: Segment) -> float:
    return segment.radius_mm * abs(segment.sweep) if bends(segment) else segment.chord_mm


def _refuse(contour: Contour, corners: list[_Corner], wanted: dict[int, float], culprit: int, least_mm: float) -> None:
    low, high = 0.0, 1.0
    for _ in range(48):
        middle = (low + high) / 2.0
        if _fit(contour, corners, wanted, middle, least_mm)[1] < 0:
            low = middle
        else:
            high = middle
    v = contour.vertices[culprit]
    radius = wanted[culprit]
    raise ContourError(
        f"corner {culprit} at ({v.x:.6g}, {v.y:.6g}): radius {radius:g} does not fit; at most {low * radius:.6g}",
        segment=culprit,
        point_mm=(v.x, v.y),
    )


# ------------------------------------------------------------------ one corner
def _shifted(segment: Segment, distance_mm: float) -> Carrier | None:
    """Return the segment's carrier moved to the left; None when a circle shrinks to nothing."""
    carrier = carrier_of(segment)
    if isinstance(carrier, Line):
        (px, py), (ux, uy) = carrier
        return Line(Point(px - distance_mm * uy, py + distance_mm * ux), carrier.direction)
    radius = carrier.radius_mm - copysign(distance_mm, segment.bulge * distance_mm)
    return Circle(carrier.centre, radius) if radius > 0.0 else None


def _foot(segment: Segment, p: Point) -> Point:
    """Return the point of the segment's carrier nearest to p."""
    carrier = carrier_of(segment)
    if isinstance(carrier, Line):
        (px, py), (ux, uy) = carrier
        t = (p.x - px) * ux + (p.y - py) * uy
        return Point(px + t * ux, py + t * uy)
    (cx, cy), r = carrier
    d = hypot(p.x - cx, p.y - cy)
    return Point(cx + (p.x - cx) / d * r, cy + (p.y - cy) / d * r)


def _along(segment: Segment, p: Point, least_mm: float) -> float:
    """Return the length of the segment from its start to its point p; negative when p lies before it."""
    if not bends(segment):
        ux, uy = tangents(segment)[0]
        return (p.x - segment.start.x) * ux + (p.y - segment.start.y) * uy
    angle = _swing(segment.centre, segment.start, p, segment.bulge)
    slack = least_mm / segment.radius_mm
    return segment.radius_mm * (angle - 2.0 * pi if angle > 2.0 * pi - slack else angle)


def _swing(centre: Point, start: Point, end: Point, sign: float) -> float:
    """Return the angle in [0, 2π) from start to end as seen from the centre, in the direction of the sign."""
    ax, ay, bx, by = start.x - centre.x, start.y - centre.y, end.x - centre.x, end.y - centre.y
    angle = copysign(1.0, sign) * atan2(ax * by - ay * bx, ax * bx + ay * by)
    return angle if angle >= 0.0 else angle + 2.0 * pi


def _fillet(corner: _Corner, radius_mm: float, least_mm: float) -> _Fillet | None:
    """Return the fillet of a corner, or None when its radius leads past the ends of the segments."""
    left = copysign(radius_mm, corner.turn)
    a, b = _shifted(corner.before, left), _shifted(corner.after, left)
    if a is None or b is None:
        return None
    fits = []
    for centre in meet(a, b):
        start, end = _foot(corner.before, centre), _foot(corner.after, centre)
        trim_before = _length(corner.before) - _along(corner.before, start, least_mm)
        trim_after = _along(corner.after, end, least_mm)
        if min(trim_before, trim_after) < -least_mm:
            continue
        if trim_before > _length(corner.before) + least_mm or trim_after > _length(corner.after) + least_mm:
            continue
        sweep = copysign(_swing(centre, start, end, corner.turn), corner.turn)
        fits.append(_Fillet(swept_arc(start, end, sweep), end, trim_before, trim_after))
    return min(fits, key=lambda f: f.trim_before + f.trim_after, default=None)


# ------------------------------------------------------------------ putting the pieces together
def _assemble(contour: Contour, fillets: dict[int, _Fillet], least_mm: float) -> Contour:
    out: list[Vertex] = []
    for i, segment in enumerate(contour.segments()):
        j = (i + 1) % len(contour)
        if i in fillets:
            out += fillets[i].path
        taken = _trim_after(fillets, i) + _trim_before(fillets, j)
        if _length(segment) - taken <= least_mm:
            continue  # both fillets meet in one point
        start = fillets[i].end if i in fillets else segment.start
        out.append(Vertex(start.x, start.y, _remaining_bulge(segment, taken)))
    return Contour(tuple(out))


def _remaining_bulge(segment: Segment, taken_mm: float) -> float:
    if taken_mm == 0.0 or not bends(segment):
        return 0.0 if taken_mm else segment.bulge
    sweep = abs(segment.sweep) - taken_mm / segment.radius_mm
    return copysign(tan(sweep / 4.0), segment.bulge)
