"""How a contour shrinks or grows along a tapered wall: which pieces vanish on the way, where neighbours meet.

Every run of the lower contour is a *front* that moves sideways at the same pace. Corners that open gain a front of
their own (an arc about the corner, the foot of a cone). Between neighbouring fronts runs a *joint*; a front whose two
joints meet has vanished, and its neighbours meet from there on. Distances are mm, ``t`` is how far the fronts have
moved. Only neighbours are looked at: a contour that would touch itself elsewhere gives another upper contour than
the one asked for, which is refused.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from math import atan2, hypot, pi

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.carrier import Carrier, Circle, Line, meet
from generator.outline.contour import Point
from generator.part.runs import TURN, Loop, Plane, Run
from generator.part.shift import shift_between

PARALLEL = 1e-6
"""Fronts whose directions differ by less (radians) touch smoothly."""

STRAIGHT_MM = 5e-8
"""A joint that bows by less is a straight line: half of what the kernel can tell apart."""

ALONG_MM = 1e-3
"""Where two fronts almost touch, their joint may be found this far off along them."""

ASIDE_MM = 5e-6
"""How far an upper corner may lie off the fronts that it joins."""

SAME_TIME = 1e-9
"""Fronts vanish together if that happens within this much of t, mm."""


@dataclass(eq=False)
class Front:
    """A moving run.

    Attributes:
        side: +1 if it moves to the left of travel, -1 to the right.
        start: its first corner at t = 0.
        heading: direction of a line, None for an arc.
        circle: circle of an arc at t = 0; radius 0 for one that a corner gains.
        way: +1 counter-clockwise, -1 clockwise.
        sweep: sweep in the direction of travel at t = 0, positive.
        lower: number of its run in the lower loop, -1 if gained.
        upper: number of its run in the upper loop, -1 if vanished.
        vanished_at_centre: True if its arc shrank to a point.
        left, right: joints along its start and its end, going up.
    """

    side: float
    start: Point
    heading: Point | None = None
    circle: Circle | None = None
    way: float = 1.0
    sweep: float = 0.0
    lower: int = -1
    upper: int = -1
    vanished_at_centre: bool = False
    left: list[Joint] = field(default_factory=list)
    right: list[Joint] = field(default_factory=list)

    @property
    def growth(self) -> float:
        """Return by how much the radius changes with t: +1 or -1."""
        return -self.side * self.way

    def carrier(self, t: float) -> Carrier:
        """Return its line or circle after moving by t; a radius below 0 becomes 0."""
        if self.circle is not None:
            return Circle(self.circle.centre, max(self.circle.radius_mm + self.growth * t, 0.0))
        assert self.heading is not None
        ux, uy = self.heading
        return Line(Point(self.start.x - self.side * t * uy, self.start.y + self.side * t * ux), self.heading)

    def heading_at(self, p: Point) -> Point:
        """Return the direction of travel at a point of it."""
        if self.circle is None:
            assert self.heading is not None
            return self.heading
        dx, dy = p.x - self.circle.centre.x, p.y - self.circle.centre.y
        d = hypot(dx, dy)
        return Point(-self.way * dy / d, self.way * dx / d)


@dataclass(eq=False)
class Joint:
    """Where two neighbouring fronts meet, from one node up to another.

    Attributes:
        before, after: the fronts, in order of travel.
        corner, t: node at which it begins.
        drift: how it moves with t if that is a straight line along a smooth joint, else None.
        choice: which of two crossings it is.
        end_corner, end_t: node at which it ends.
        off_mm: how far its corners lie off its fronts, at most.
        bow_mm: how far its fronts leave the straight line between its nodes, at most.
    """

    before: Front
    after: Front
    corner: int
    t: float
    at: Point
    drift: Point | None = None
    choice: int = 0
    end_corner: int = -1
    end_t: float = -1.0
    off_mm: float = 0.0

    bow_mm: float = 0.0

    @property
    def is_straight(self) -> bool:
        """Return True if its way up is a straight line: a smooth joint, two planes, or as good as that."""
        return self.bow_mm <= STRAIGHT_MM

    def position(self, t: float) -> Point | None:
        """Return where it is after the fronts moved by t; None if they do not meet there."""
        if self.drift is not None:
            return Point(self.at.x + (t - self.t) * self.drift.x, self.at.y + (t - self.t) * self.drift.y)
        points = meet(self.before.carrier(t), self.after.carrier(t))
        return points[min(self.choice, len(points) - 1)] if points else None


@frozen_record
class Taper:
    """A tapered wall, solved: its fronts and joints, and how far they move.

    ``distance_mm`` is positive; the fronts move to the left of travel if ``side`` is +1.
    """

    fronts: tuple[Front, ...]
    distance_mm: float
    side: float


def solve_taper(lower: Loop, upper: Loop, plane: Plane) -> Taper:
    """Return the fronts and joints between a loop and the same loop offset.

    Raises:
        GeometryError: the upper loop is not the lower one offset, or it touches itself on the way.
    """
    distance, side = shift_between(lower, upper, plane)
    fronts = _fronts(lower, side, distance, plane)
    joints = _joints(fronts, plane)
    survivors = _advance(fronts, joints, distance, plane)
    _match(survivors, upper, distance, plane)
    for joint in {j for f in fronts for j in f.right}:
        _measure(joint, plane)
    return Taper(tuple(fronts), distance, side)


def _fronts(lower: Loop, side: float, distance: float, plane: Plane) -> list[Front]:
    fronts: list[Front] = []
    for i, run in enumerate(lower):
        front = _front(run, i, side, plane)
        into = plane.heading(lower.runs[i - 1], 1.0)
        out = plane.heading(run, 0.0)
        turn = atan2(into.x * out.y - into.y * out.x, into.x * out.x + into.y * out.y)
        corner = plane.corners[run.start]
        if -side * turn > 0.0 and _opens(corner, into, out, side * distance, plane):
            fronts.append(Front(side, corner, None, Circle(corner, 0.0), -side, abs(turn)))
        fronts.append(front)
    return fronts


def _opens(corner: Point, into: Point, out: Point, shift: float, plane: Plane) -> bool:
    """Return True if a corner's two ways to the left by ``shift`` end at different corners."""
    ends = {plane.corners.number(corner.x - shift * u.y, corner.y + shift * u.x) for u in (into, out)}
    return len(ends) > 1


def _front(run: Run, number: int, side: float, plane: Plane) -> Front:
    start = plane.corners[run.start]
    if run.circle is None:
        return Front(side, start, plane.heading(run, 0.0), lower=number)
    way = 1.0 if run.sweep > 0 else -1.0
    return Front(side, start, None, run.circle, way, abs(run.sweep), number)


def _joints(fronts: list[Front], plane: Plane) -> list[Joint]:
    """Return the joint at the end of each front."""
    joints = []
    for i, before in enumerate(fronts):
        after = fronts[(i + 1) % len(fronts)]
        at = after.start
        joints.append(_joint(before, after, plane.corners.number(at.x, at.y), 0.0, at))
    return joints


def _joint(before: Front, after: Front, corner: int, t: float, at: Point) -> Joint:
    joint = Joint(before, after, corner, t, at)
    heading = _common_heading(before, after, at)
    if heading is not None:
        joint.drift = Point(-before.side * heading.y, before.side * heading.x)
    else:
        points = meet(before.carrier(t), after.carrier(t))
        if points:
            joint.choice = min(range(len(points)), key=lambda k: hypot(points[k].x - at.x, points[k].y - at.y))
    return joint


def _common_heading(before: Front, after: Front, at: Point) -> Point | None:
    """Return the direction that both share at a smooth joint (gained arcs are smooth), None at a corner."""
    for one, other in ((before, after), (after, before)):
        if one.circle is not None and one.circle.radius_mm == 0.0 and one.circle.centre == at:
            return other.heading_at(at)
    u, v = before.heading_at(at), after.heading_at(at)
    if abs(u.x * v.y - u.y * v.x) <= PARALLEL and u.x * v.x + u.y * v.y > 0.0:
        return u
    return None


# ------------------------------------------------------------------ moving
def _advance(fronts: list[Front], joints: list[Joint], distance: float, plane: Plane) -> list[Front]:
    """Move the fronts by the distance; close joints on the way. Return the surviving fronts in order."""
    alive = list(fronts)
    right = dict(zip(alive, joints, strict=True))
    left = {j.after: j for j in joints}
    ends = {f: _end_of(f, left[f], right[f], 0.0, distance, plane) for f in alive}
    now = 0.0
    while True:
        ending = [(t, i) for i, f in enumerate(alive) if (t := ends[f]) is not None]
        if not ending:
            break
        t, i = min(ending)
        t = now = now if t - now <= SAME_TIME else t
        gone = alive[i]
        if len(alive) < 3:
            raise _closed(left[gone].at)
        before, after = alive[i - 1], alive[(i + 1) % len(alive)]
        at = _place(gone, left[gone], right[gone], t)
        _close(left[gone], at, t, plane)
        _close(right[gone], at, t, plane)
        joint = _joint(before, after, left[gone].end_corner, t, at)
        right[before] = left[after] = joint
        alive.remove(gone)
        for f in (before, after):
            ends[f] = _end_of(f, left[f], right[f], t, distance, plane)
    for f in alive:
        end = right[f].position(distance)
        if end is None:
            raise _closed(right[f].at)
        _close(right[f], end, distance, plane)
    return alive


def _closed(at: Point) -> GeometryError:
    return GeometryError("a tapered wall closes up before its full height", point_mm=at)


def _close(joint: Joint, at: Point, t: float, plane: Plane) -> None:
    joint.end_corner, joint.end_t = plane.corners.number(at.x, at.y), t
    joint.before.right.append(joint)
    joint.after.left.append(joint)


def _place(gone: Front, left: Joint, right: Joint, t: float) -> Point:
    if gone.vanished_at_centre:
        assert gone.circle is not None
        return gone.circle.centre
    a, b = left.position(t), right.position(t)
    if a is None or b is None:
        raise _closed(left.at)
    return Point((a.x + b.x) / 2.0, (a.y + b.y) / 2.0)


def _end_of(front: Front, left: Joint, right: Joint, now: float, distance: float, plane: Plane) -> float | None:
    """Return the t at which the front vanishes, None if it survives."""
    near = plane.corners.same_mm
    front.vanished_at_centre = False
    shrinks = front.circle is not None and front.growth < 0.0
    centre = front.circle.radius_mm if shrinks and front.circle is not None else float("inf")
    if centre <= distance + near and left.drift is not None and right.drift is not None:
        front.vanished_at_centre = True
        return distance if distance - centre <= near else centre
    until = min(distance, centre)
    lost = _extent(front, left, right, until) is None
    if lost:  # a neighbour will be gone before that; look no further than the fronts meet
        until = _last(lambda t: _extent(front, left, right, t) is not None, now, until)
    length = _extent(front, left, right, until)
    if length is None or length > near:
        return None
    t = _last(lambda t: (_extent(front, left, right, t) or 0.0) > 0.0, now, until)
    return distance if distance - t <= near else t


def _last(holds: Callable[[float], bool], low: float, high: float) -> float:
    """Return the last t between ``low`` and ``high`` up to which a condition holds."""
    if holds(high):
        return high
    for _ in range(80):
        middle = (low + high) / 2.0
        if middle in (low, high):
            break
        if holds(middle):
            low = middle
        else:
            high = middle
    return low


def _extent(front: Front, left: Joint, right: Joint, t: float) -> float | None:
    """Return the front's signed length at t, negative when its ends have passed each other; None without ends."""
    a, b = left.position(t), right.position(t)
    if a is None or b is None:
        return None
    if front.circle is None:
        assert front.heading is not None
        return (b.x - a.x) * front.heading.x + (b.y - a.y) * front.heading.y
    (cx, cy), r = front.circle
    radius = r + front.growth * t
    if r == 0.0 and t == 0.0:
        return 0.0
    swept = front.way * (atan2(b.y - cy, b.x - cx) - atan2(a.y - cy, a.x - cx))
    swept = front.sweep + (swept - front.sweep + pi) % TURN - pi
    return max(radius, 0.0) * swept


def _match(survivors: list[Front], upper: Loop, distance: float, plane: Plane) -> None:
    """Give every surviving front its run of the upper loop, and every joint its upper corner.

    Raises:
        GeometryError: the upper loop is another one.
    """
    n = len(upper)
    if len(survivors) != n:
        what = f"ends with {len(survivors)} pieces and not the {n} of its upper contour"
        raise _unlike(distance, what, _farthest(survivors, upper, plane))
    corners = plane.corners
    starts = [corners[f.left[-1].end_corner] for f in survivors]
    first = min(range(n), key=lambda k: apart(starts[0], corners[upper.runs[k].start]))
    for i, front in enumerate(survivors):
        number = (first + i) % n
        run = upper.runs[number]
        joint = front.left[-1]
        corner = corners[run.start]
        aside = max(_aside(joint.before, corner, distance), _aside(front, corner, distance))
        if apart(starts[i], corner) > ALONG_MM or aside > ASIDE_MM or (run.circle is None) != (front.circle is None):
            raise _unlike(distance, "does not end at its upper contour", corner)
        joint.end_corner = run.start
        front.upper = number


def _farthest(survivors: list[Front], upper: Loop, plane: Plane) -> Point:
    """Return the end of a front that lies farthest from every corner of the upper loop."""
    known = [plane.corners[run.start] for run in upper]
    ends = [plane.corners[f.left[-1].end_corner] for f in survivors]
    return max(ends, key=lambda p: min(apart(p, q) for q in known))


def _unlike(distance: float, what: str, at: Point | None) -> GeometryError:
    return GeometryError(f"a tapered wall that moves by {distance:g} mm {what}", point_mm=at)


def apart(a: Point, b: Point) -> float:
    """Return the distance of two points, mm."""
    return hypot(a.x - b.x, a.y - b.y)


def _aside(front: Front, p: Point, t: float) -> float:
    """Return how far a point lies off a front that has moved by t, mm."""
    carrier = front.carrier(t)
    if isinstance(carrier, Circle):
        return abs(apart(p, carrier.centre) - carrier.radius_mm)
    (ax, ay), u = carrier
    return abs((p.x - ax) * u.y - (p.y - ay) * u.x)


def _measure(joint: Joint, plane: Plane) -> None:
    """Note how far a joint's corners lie off its fronts, and how far its fronts leave the straight line."""
    a, b = plane.corners[joint.corner], plane.corners[joint.end_corner]
    fronts = (joint.before, joint.after)
    joint.off_mm = max(_aside(f, p, t) for f in fronts for p, t in ((a, joint.t), (b, joint.end_t)))
    joint.bow_mm = 0.0
    for share in (0.25, 0.5, 0.75):
        p = Point(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y))
        bow = max(_aside(f, p, joint.t + share * (joint.end_t - joint.t)) for f in fronts)
        joint.bow_mm = max(joint.bow_mm, bow - joint.off_mm)
