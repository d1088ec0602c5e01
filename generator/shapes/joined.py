"""Circles joined in order: bosses concentric with bolt holes, and what runs from each to the next.

The outline is travelled counter-clockwise. A boss (material inside) is passed counter-clockwise, a hollow (material
outside) clockwise; between two of them runs the tangent line, or an arc tangent to both. A circle of radius 0 is a
sharp corner, so straight edges between corners are tangent lines as well.

In terms of signed radii (positive: passed counter-clockwise) every joint is one formula. An arc of signed radius s is
tangent to a circle of signed radius r, travelled the same way where they touch, when the centres are |s - r| apart.
"""

from __future__ import annotations

from dataclasses import replace
from math import atan2, hypot, pi, sqrt
from typing import ClassVar, NamedTuple

from generator.base import fields as f
from generator.base.errors import ContourError, GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.predicates import explain_contour
from generator.outline.region import Region
from generator.outline.tangent import swept_arc
from generator.shapes.shape import Context, Shape, the_one_of, up

TANGENT = "tangent"
BOSS = "boss"
LARGEST_MM = 20_000.0
"""Radii beyond this are as good as straight."""
HOLLOW = "hollow"


@frozen_record(kw_only=True)
class ArcJoint:
    """An arc tangent to both circles; give `hollow` or `bulging`."""

    EXACTLY_ONE: ClassVar = (("hollow", "bulging"),)

    hollow: float | None = f.length(
        "Radius of an arc that curves inwards, tangent to both circles (a waist).",
        default=None,
        above=0,
        at_most=20_000,
        example=60,
    )
    bulging: float | None = f.length(
        "Radius of an arc that curves outwards and wraps both circles (a belly).",
        default=None,
        above=0,
        at_most=20_000,
        example=80,
    )


@frozen_record(kw_only=True)
class JoinedCircle:
    """One circle of the chain, and how it is joined to the next."""

    at: tuple[float, float] = f.point("Centre of the circle.", example=[32, 0])
    radius: float = f.length("Radius of the circle; 0 for a sharp corner.", at_least=0, at_most=2000, example=13)
    is_a: str = f.word(
        "A `boss` has the material inside its circle; the outline passes a `hollow` on its other side, so that the "
        "circle is a round bay in the outline.",
        (BOSS, HOLLOW),
        default=BOSS,
        example=BOSS,
    )
    next: ArcJoint | str = f.record(
        ArcJoint,
        "How the outline runs on to the next circle: along the `tangent` line, or along an arc tangent to both.",
        default=TANGENT,
        words=(TANGENT,),
        example={"hollow": 60},
    )


@frozen_record(kw_only=True)
class Joined:
    """Circles in counter-clockwise order, each joined to the next and the last to the first."""

    circles: tuple[JoinedCircle, ...] = f.list_of(
        f.record(JoinedCircle, "A circle and how it is joined to the next."),
        "The circles in counter-clockwise order round the outline; one that is passed twice stands twice.",
        fewest=2,
        most=500,
        example=[{"at": [-32, 0], "radius": 13}, {"at": [32, 0], "radius": 13, "next": {"hollow": 60}}],
    )


class _Pulley(NamedTuple):
    """A circle with its number and signed radius (positive when passed counter-clockwise)."""

    number: int
    centre: Point
    signed_mm: float

    def __str__(self) -> str:
        kind = "corner" if not self.signed_mm else "circle"
        return f"{kind} {self.number} at ({self.centre.x:g}, {self.centre.y:g})"


class _TooSmallError(GeometryError):
    """An arc's radius is too small to touch both circles."""

    def __init__(self, message: str, a: _Pulley, least_mm: float) -> None:
        super().__init__(message, segment=a.number - 1, point_mm=a.centre)
        self.joint = a.number - 1
        self.least_mm = least_mm


class _Joint(NamedTuple):
    """Where the outline leaves one circle and meets the next, and the arc in between (sweep 0: a line)."""

    leaves: Point
    meets: Point
    sweep: float


def draw(params: Joined, context: Context) -> Region:
    """Return the outline of the joined circles.

    Raises: GeometryError: a joint cannot be made; names the circles and the smallest radius or distance that can.
    """
    try:
        contour = _contour(params)
    except _TooSmallError as error:
        least = _least_sound(params, error.joint, error.least_mm)
        raise GeometryError(
            f"{error}: at least {up(least or error.least_mm)}", segment=error.joint, point_mm=error.point_mm
        ) from error
    problem = explain_contour(contour)
    if problem is not None:
        raise ContourError(
            f"the outline is not sound: {problem.message}{_hint(params)}",
            segment=problem.segment,
            point_mm=problem.point,
        )
    return Region.of([contour])


def _contour(params: Joined) -> Contour:
    """Return the outline, sound or not.

    Raises: GeometryError: a joint cannot be made.
    """
    pulleys = [_pulley(i + 1, c) for i, c in enumerate(params.circles)]
    n = len(pulleys)
    joints = [_joint(pulleys[i], pulleys[(i + 1) % n], params.circles[i].next) for i in range(n)]
    vertices: list[Vertex] = []
    for i, pulley in enumerate(pulleys):
        vertices += _round(pulley, joints[i - 1].meets, joints[i].leaves)
        vertices += _along(joints[i])
    return Contour(tuple(vertices))


# ------------------------------------------------------------------ what would do
def _hint(params: Joined) -> str:
    """Return which larger radius would keep a hollow arc clear of the rest; else a general word."""
    for i, circle in enumerate(params.circles):
        if isinstance(circle.next, ArcJoint) and circle.next.hollow is not None:
            least = _least_sound(params, i, circle.next.hollow)
            if least is not None:
                return f"; the hollow after circle {i + 1} cuts too deep: hollow at least {up(least)}"
    return (
        "; give the circles in counter-clockwise order, and leave out one that does not reach the line between its "
        "neighbours"
    )


def _least_sound(params: Joined, joint: int, low: float) -> float | None:
    """Return the least radius from ``low`` for one arc joint with which the outline is sound; None if none is."""
    if _is_sound(params, joint, low):
        return low
    high = 2.0 * low + 1.0
    while not _is_sound(params, joint, high):
        low, high = high, 2.0 * high
        if high > LARGEST_MM:
            return None
    while high - low > 1e-4 * high:
        middle = (low + high) / 2.0
        low, high = (low, middle) if _is_sound(params, joint, middle) else (middle, high)
    return high


def _is_sound(params: Joined, joint: int, radius: float) -> bool:
    """Return whether the outline is sound with another radius for one arc joint."""
    circle = params.circles[joint]
    assert isinstance(circle.next, ArcJoint)
    word = "hollow" if circle.next.hollow is not None else "bulging"
    circles = list(params.circles)
    circles[joint] = replace(circle, next=replace(circle.next, **{word: radius}))
    try:
        return explain_contour(_contour(replace(params, circles=tuple(circles)))) is None
    except GeometryError:
        return False


def _pulley(number: int, circle: JoinedCircle) -> _Pulley:
    if circle.is_a == HOLLOW and not circle.radius:
        raise GeometryError(f"circle {number} is a hollow of radius 0: give it a radius, or leave `is_a` out")
    return _Pulley(number, Point(*circle.at), -circle.radius if circle.is_a == HOLLOW else circle.radius)


def _joint(a: _Pulley, b: _Pulley, how: ArcJoint | str) -> _Joint:
    d = hypot(b.centre.x - a.centre.x, b.centre.y - a.centre.y)
    if d == 0.0:
        raise GeometryError(f"{a} and {b} have the same centre: nothing can join them", point_mm=a.centre)
    if isinstance(how, str):
        return _line(a, b, d)
    word = the_one_of(how, "hollow", "bulging")
    return _arc(a, b, d, -(how.hollow or 0.0) if word == "hollow" else (how.bulging or 0.0), word)


def _line(a: _Pulley, b: _Pulley, d: float) -> _Joint:
    """Return the tangent line; the signed radii decide between the outer and the crossing one."""
    k = (a.signed_mm - b.signed_mm) / d
    if abs(k) > 1.0:
        why = "one lies inside the other" if a.signed_mm * b.signed_mm >= 0.0 else "they overlap"
        raise GeometryError(
            f"no line is tangent to {a} and {b}: {why}; their centres are {d:g} apart, "
            f"at least {abs(a.signed_mm - b.signed_mm):g} is needed",
            segment=a.number - 1,
            point_mm=a.centre,
        )
    ux, uy = (b.centre.x - a.centre.x) / d, (b.centre.y - a.centre.y) / d
    across = sqrt((1.0 - k) * (1.0 + k))
    # unit normal to the right of travel, from the centres to the line
    nx, ny = k * ux + across * uy, k * uy - across * ux
    leaves, meets = _out(a, nx, ny), _out(b, nx, ny)
    return _Joint(leaves, meets, 0.0)


def _out(p: _Pulley, nx: float, ny: float) -> Point:
    return Point(p.centre.x + p.signed_mm * nx, p.centre.y + p.signed_mm * ny)


def _arc(a: _Pulley, b: _Pulley, d: float, s: float, word: str) -> _Joint:
    """Return the arc of signed radius ``s`` tangent to both; its centre is right of the way for a hollow, else left."""
    _refuse_small(a, b, d, s, word)
    to_a, to_b = abs(s - a.signed_mm), abs(s - b.signed_mm)
    if abs(to_a - to_b) > d:
        raise GeometryError(
            f"no {word} arc is tangent to {a} and {b}: one lies inside the other; their centres are {d:g} apart, "
            f"more than {abs(to_a - to_b):g} is needed",
            segment=a.number - 1,
            point_mm=a.centre,
        )
    ux, uy = (b.centre.x - a.centre.x) / d, (b.centre.y - a.centre.y) / d
    along = (d + (to_a - to_b) * (to_a + to_b) / d) / 2.0
    product = (to_a + to_b + d) * (to_a + to_b - d) * (d + to_a - to_b) * (d - to_a + to_b)
    left = (1.0 if s > 0.0 else -1.0) * sqrt(max(product, 0.0)) / (2.0 * d)
    centre = Point(a.centre.x + along * ux - left * uy, a.centre.y + along * uy + left * ux)
    leaves, meets = _touch(a, centre, s), _touch(b, centre, s)
    start = atan2(leaves.y - centre.y, leaves.x - centre.x)
    end = atan2(meets.y - centre.y, meets.x - centre.x)
    sweep = (end - start) % (2.0 * pi) if s > 0.0 else -((start - end) % (2.0 * pi))
    return _Joint(leaves, meets, sweep)


def _refuse_small(a: _Pulley, b: _Pulley, d: float, s: float, word: str) -> None:
    """Raise unless the arc's circle reaches both circles and goes round the ones that it must go round."""
    # |s - ra| + |s - rb| >= d, with |s - r| = |s| ± r for a radius that is large enough to wrap what it must wrap
    sign = 1.0 if s > 0.0 else -1.0
    wrapped = max(sign * a.signed_mm, sign * b.signed_mm, 0.0)
    least = max((d + sign * (a.signed_mm + b.signed_mm)) / 2.0, wrapped)
    if abs(s) < least * (1.0 - 1e-12):
        raise _TooSmallError(f"{word} radius {abs(s):g} is too small to join {a} and {b}", a, least)


def _touch(p: _Pulley, centre: Point, s: float) -> Point:
    """Return where the arc about ``centre`` touches the circle: on the circle, on the line of the centres."""
    dx, dy = p.centre.x - centre.x, p.centre.y - centre.y
    d = hypot(dx, dy)
    if d == 0.0:
        raise GeometryError(f"the arc has the centre of {p}: another radius is needed", point_mm=p.centre)
    # the outward normal is the same on both when they are travelled the same way
    side = 1.0 if s - p.signed_mm > 0.0 else -1.0
    k = p.signed_mm * side / d
    return Point(p.centre.x + k * dx, p.centre.y + k * dy)


def _round(p: _Pulley, meets: Point, leaves: Point) -> tuple[Vertex, ...]:
    """Return the arc on the circle between its two joints, or the corner itself."""
    if not p.signed_mm:
        return ()
    ax, ay, bx, by = meets.x - p.centre.x, meets.y - p.centre.y, leaves.x - p.centre.x, leaves.y - p.centre.y
    turn = atan2(ax * by - ay * bx, ax * bx + ay * by)
    if hypot(leaves.x - meets.x, leaves.y - meets.y) <= 1e-12 * abs(p.signed_mm):
        return ()  # the joints run straight through
    sweep = turn % (2.0 * pi) if p.signed_mm > 0.0 else -(-turn % (2.0 * pi))
    return swept_arc(meets, leaves, sweep)


def _along(joint: _Joint) -> tuple[Vertex, ...]:
    if joint.leaves == joint.meets:
        return ()
    return swept_arc(joint.leaves, joint.meets, joint.sweep)


SHAPE = Shape(
    "joined",
    Joined,
    draw,
    "Circles in counter-clockwise order, joined by tangent lines, hollow or bulging arcs.",
)
