"""From straight and round pieces of a loop to one contour: corners where they meet at an angle, tangents elsewhere."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, ceil, cos, hypot, pi, sin, sqrt, tan
from typing import Final, NamedTuple

import numpy as np

from generator.artwork.picture_pieces import Piece, Sums
from generator.base.frozen_record import frozen_record
from generator.outline.carrier import Circle, Line, meet
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.create import circle
from generator.outline.spans import Floats

CORNER_REACH: Final = 3.0
"""A corner is put back at most this far from where the points end, in pixels, beside what was left out."""
SHARE: Final = 0.35
"""A smooth joint takes at most this share of a piece."""
SAME_TURN_RAD: Final = 1e-9
"""Chord and tangents of one arc agree within this."""
WIDEST_RAD: Final = 1.75
"""Arcs that sweep more are divided, so that each part is far from a half circle."""
_REFINE: Final = 6


@frozen_record
class Carried:
    """A piece with the line or circle that fits its points best; ``sign`` is +1 for counter-clockwise arcs."""

    of: Piece
    points: Floats
    line: Line | None
    circle: Circle | None
    sign: float

    def foot(self, p: Point) -> Point:
        """Return the nearest point on the line or circle."""
        if self.line is not None:
            (ox, oy), (ux, uy) = self.line
            t = (p.x - ox) * ux + (p.y - oy) * uy
            return Point(ox + t * ux, oy + t * uy)
        (cx, cy), r = self.around()
        d = hypot(p.x - cx, p.y - cy) or 1.0
        return Point(cx + (p.x - cx) / d * r, cy + (p.y - cy) / d * r)

    def direction(self, p: Point) -> Point:
        """Return the direction of travel at a point of it."""
        if self.line is not None:
            return self.line.direction
        (cx, cy), _ = self.around()
        d = hypot(p.x - cx, p.y - cy) or 1.0
        return Point(-self.sign * (p.y - cy) / d, self.sign * (p.x - cx) / d)

    def around(self) -> Circle:
        """Return the circle of an arc."""
        assert self.circle is not None
        return self.circle

    def swept(self) -> float:
        """Return the angle that the points sweep round the centre, in the direction of travel."""
        v = self.points - np.array(self.around().centre)
        turns = v[:-1, 0] * v[1:, 1] - v[:-1, 1] * v[1:, 0]
        return float(np.arctan2(turns, (v[:-1] * v[1:]).sum(axis=1)).sum())


class Joint(NamedTuple):
    """Where two pieces meet: the point, and the direction if they meet without a corner."""

    at: Point
    direction: Point | None


@frozen_record
class Chain:
    """The pieces of a loop, and how each meets the next one."""

    pieces: tuple[Carried, ...]
    joints: tuple[Joint, ...]


Way = tuple[Piece, Joint, Joint]
"""What the way along a piece follows from: the piece, the joint before and the joint after it."""
Ways = dict[Way, "list[Vertex] | None"]
"""What ``way`` returned before: most pieces stay as they are from one try to the next."""


def chained(carried: list[Carried], corner_rad: Floats, known: list[Joint | None]) -> Chain:
    """Return how the pieces meet.

    Args:
        carried: pieces in order.
        corner_rad: for each, if it and the next one turn by more where they meet, they make a corner.
        known: joints found before, None where there is none.
    """
    limits, after = corner_rad.tolist(), carried[1:] + carried[:1]
    joints = [old or _joint(a, b, limit) for old, a, b, limit in zip(known, carried, after, limits, strict=True)]
    if len(carried) > 2:
        _even_fillets(carried, joints, known)
    return Chain(tuple(carried), tuple(joints))


def drawn(chain: Chain, known: Ways) -> Contour | None:
    """Return the closed contour of the chain; None when its pieces cannot be joined. Adds to ``known``."""
    if len(chain.pieces) == 1:
        only = chain.pieces[0]
        if only.circle is None:
            return None
        whole = circle(only.circle.centre, only.circle.radius_mm)
        return whole if only.sign > 0.0 else whole.reversed()
    vertices: list[Vertex] = []
    for k, piece in enumerate(chain.pieces):
        key = (piece.of, chain.joints[k - 1], chain.joints[k])
        if key not in known:
            known[key] = way(piece, chain.joints[k - 1], chain.joints[k])
        part = known[key]
        if part is None:
            return None
        vertices += part
    return Contour(tuple(vertices)) if len(vertices) > 1 else None


# ------------------------------------------------------------------ what carries a piece
def carry(points: Floats, piece: Piece) -> Carried:
    """Return a piece of a loop with the line or circle that its points lie on best."""
    rows = np.arange(piece.first, piece.last + 1) % len(points)
    p = points[rows]
    if piece.exact:
        ends = points[[piece.first % len(points), (piece.last + 1) % len(points)]]
        return Carried(piece, p, _best_line(ends), None, 1.0)
    if not piece.is_arc:
        return Carried(piece, p, _best_line(p), None, 1.0)
    fit = Sums(p).fit(np.array([0]), np.array([len(p) - 1]))
    centre, radius = _best_circle(p, float(fit.cx[0]), float(fit.cy[0]), float(fit.radius[0]))
    v = p - np.array(centre)
    turns = v[:-1, 0] * v[1:, 1] - v[:-1, 1] * v[1:, 0]
    return Carried(piece, p, None, Circle(centre, radius), 1.0 if turns.sum() >= 0.0 else -1.0)


def _best_line(p: Floats) -> Line:
    middle = p.mean(axis=0)
    v = p - middle
    angle = atan2(2.0 * float(v[:, 0] @ v[:, 1]), float(v[:, 0] @ v[:, 0] - v[:, 1] @ v[:, 1])) / 2.0
    ux, uy = cos(angle), sin(angle)
    along = p[-1] - p[0]
    if along[0] * ux + along[1] * uy < 0.0:
        ux, uy = -ux, -uy
    return Line(Point(float(middle[0]), float(middle[1])), Point(ux, uy))


def _best_circle(p: Floats, cx: float, cy: float, radius: float) -> tuple[Point, float]:
    """Return the circle of least squared distances: Gauss-Newton from a first one, kept where it gets better."""
    best = (cx, cy, radius)
    least = _off(p, *best)
    for _ in range(_REFINE):
        vx, vy = p[:, 0] - best[0], p[:, 1] - best[1]
        d = np.hypot(vx, vy)
        if not (d > 0.0).all():
            break
        jacobian = np.column_stack([-vx / d, -vy / d, -np.ones_like(d)])
        step = np.linalg.lstsq(jacobian, best[2] - d, rcond=None)[0]
        trial = (best[0] + float(step[0]), best[1] + float(step[1]), best[2] + float(step[2]))
        off = _off(p, *trial)
        if not off < least or trial[2] <= 0.0:
            break
        best, least = trial, off
    return Point(best[0], best[1]), best[2]


def _off(p: Floats, cx: float, cy: float, radius: float) -> float:
    return float(((np.hypot(p[:, 0] - cx, p[:, 1] - cy) - radius) ** 2).sum())


# ------------------------------------------------------------------ where pieces meet
def _joint(a: Carried, b: Carried, corner_rad: float) -> Joint:
    middle = Point(*((a.points[-1] + b.points[0]) / 2.0).tolist())
    pa, pb = a.foot(middle), b.foot(middle)
    ua, ub = a.direction(pa), b.direction(pb)
    turn = abs(atan2(ua.x * ub.y - ua.y * ub.x, ua.x * ub.x + ua.y * ub.y))
    if turn > corner_rad or (a.line and b.line):
        reach = CORNER_REACH + hypot(*(b.points[0] - a.points[-1]))
        found = [p for p in _meetings(a, b) if hypot(p.x - middle.x, p.y - middle.y) < reach]
        nearest = min(found, key=lambda p: hypot(p.x - middle.x, p.y - middle.y), default=None)
        return Joint(nearest or Point((pa.x + pb.x) / 2.0, (pa.y + pb.y) / 2.0), None)
    if a.line or b.line:
        straight, other = (a, b) if a.line else (b, a)
        assert other.circle is not None
        at = straight.foot(other.circle.centre)
        if hypot(at.x - middle.x, at.y - middle.y) > _reach(a, b):
            at = straight.foot(middle)
        return Joint(at, straight.direction(at))
    return _smooth(a, b, middle)


def _smooth(a: Carried, b: Carried, middle: Point) -> Joint:
    """Return where two arcs meet without a corner: where their circles touch, if that is near.

    The longer one knows its direction better (by the square of its length), and is followed; the shorter one gives way.
    """
    (ca, _), (cb, _) = a.around(), b.around()
    apart = hypot(cb.x - ca.x, cb.y - ca.y)
    at = middle
    if apart > 0.0:
        ux, uy = (cb.x - ca.x) / apart, (cb.y - ca.y) / apart
        # both circles cross the line through their centres; they touch where the crossings come together
        ends = [Point(ca.x + s * a.around().radius_mm * ux, ca.y + s * a.around().radius_mm * uy) for s in (1.0, -1.0)]
        touch = min(ends, key=lambda p: hypot(p.x - middle.x, p.y - middle.y))
        at = touch if hypot(touch.x - middle.x, touch.y - middle.y) < _reach(a, b) else middle
    wa, wb = len(a.points) ** 2, len(b.points) ** 2
    longer = a if wa >= wb else b
    ua, ub = a.direction(at), b.direction(at)
    return Joint(longer.foot(at), _between(Point(wa * ua.x, wa * ua.y), Point(wb * ub.x, wb * ub.y)))


def _reach(a: Carried, b: Carried) -> float:
    """Return how far a smooth joint may lie from where the points part: not so far that a piece runs backwards."""
    return max(1.0, SHARE * min(hypot(*(c.points[-1] - c.points[0])) for c in (a, b)))


def _meetings(a: Carried, b: Carried) -> list[Point]:
    first, second = a.line or a.circle, b.line or b.circle
    assert first is not None
    assert second is not None
    return list(meet(first, second))


def _between(u: Point, v: Point) -> Point:
    x, y = u.x + v.x, u.y + v.y
    d = hypot(x, y) or 1.0
    return Point(x / d, y / d)


def _even_fillets(carried: list[Carried], joints: list[Joint], known: list[Joint | None]) -> None:
    """Let arcs between two straight lines that they touch leave both at the same distance from where these would meet.

    Only then one arc touches both. The joints are changed in place.
    """
    for k, arc in enumerate(carried):
        a, b = carried[k - 1], carried[(k + 1) % len(carried)]
        if arc.circle is None or a.line is None or b.line is None or known[k - 1] or known[k]:
            continue
        if joints[k - 1].direction is None or joints[k].direction is None:
            continue
        u, v = a.line.direction, b.line.direction
        cross = u.x * v.y - u.y * v.x
        if abs(cross) < 0.05 or cross * arc.sign < 0.0:
            continue
        apex = _meetings(a, b)[0]
        p, q = joints[k - 1].at, joints[k].at
        before, after = (apex.x - p.x) * u.x + (apex.y - p.y) * u.y, (q.x - apex.x) * v.x + (q.y - apex.y) * v.y
        t = (before + after) / 2.0
        if min(before, after, t) > 0.0:
            joints[k - 1] = Joint(Point(apex.x - t * u.x, apex.y - t * u.y), u)
            joints[k] = Joint(Point(apex.x + t * v.x, apex.y + t * v.y), v)


# ------------------------------------------------------------------ from joint to joint
def way(piece: Carried, start: Joint, end: Joint) -> list[Vertex] | None:
    """Return the starts of the segments from one joint to the next; None when there is no such way."""
    if hypot(end.at.x - start.at.x, end.at.y - start.at.y) < 1e-6:
        return []
    if piece.circle is None:
        return [Vertex(*start.at)]
    (cx, cy), _ = piece.circle
    first, last = atan2(start.at.y - cy, start.at.x - cx), atan2(end.at.y - cy, end.at.x - cx)
    sweep = last - first + 2.0 * pi * round((piece.swept() - last + first) / (2.0 * pi))
    if sweep * piece.sign <= 0.0:
        return None
    parts = max(1, ceil(abs(sweep) / WIDEST_RAD))
    knots = [_Knot(start.at, start.direction or piece.direction(start.at))]
    for k in range(1, parts):
        at = piece.foot(Point(cx + cos(first + sweep * k / parts), cy + sin(first + sweep * k / parts)))
        knots.append(_Knot(at, piece.direction(at)))
    knots.append(_Knot(end.at, end.direction or piece.direction(end.at)))
    out: list[Vertex] = []
    for a, b in pairwise(knots):
        part = _arcs(a, b)
        if part is None:
            return None
        out += part
    return out


class _Knot(NamedTuple):
    at: Point
    direction: Point


def _arcs(a: _Knot, b: _Knot) -> list[Vertex] | None:
    """Return one arc if it fits both directions, else two that meet without a corner; None when there are none."""
    chord = Point(b.at.x - a.at.x, b.at.y - a.at.y)
    leaving = _angle(a.direction, chord)
    arriving = _angle(chord, b.direction)
    if abs(leaving - arriving) < SAME_TURN_RAD:
        bulge = tan((leaving + arriving) / 4.0)
        return [Vertex(a.at.x, a.at.y, bulge)] if abs(bulge) <= 1.0 else None
    return _two_arcs(a, b)


def _two_arcs(a: _Knot, b: _Knot) -> list[Vertex] | None:
    """Return two arcs whose tangents from both ends to where those of the joint meet them are equally long.

    With that length d the joint lies in the middle of the points d along and d before the ends, and these are 2d apart:
    a quadratic equation for d. Source: K. Bolton, Biarc curves, Computer-Aided Design 7 (2), 1975.
    """
    vx, vy = b.at.x - a.at.x, b.at.y - a.at.y
    (ax, ay), (bx, by) = a.direction, b.direction
    square, along, open_by = vx * vx + vy * vy, vx * (ax + bx) + vy * (ay + by), 2.0 * (1.0 - ax * bx - ay * by)
    d = square / (along + sqrt(along * along + open_by * square) or 1.0)
    joint = Point((a.at.x + b.at.x + d * (ax - bx)) / 2.0, (a.at.y + b.at.y + d * (ay - by)) / 2.0)
    first = tan(_angle(a.direction, Point(joint.x - a.at.x, joint.y - a.at.y)) / 2.0)
    second = tan(_angle(Point(b.at.x - joint.x, b.at.y - joint.y), b.direction) / 2.0)
    if max(abs(first), abs(second)) > 1.0:
        return None
    return [Vertex(a.at.x, a.at.y, first), Vertex(joint.x, joint.y, second)]


def _angle(u: Point, v: Point) -> float:
    return atan2(u.x * v.y - u.y * v.x, u.x * v.x + u.y * v.y)
