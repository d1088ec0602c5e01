"""What a caliper reading says of the unknowns: each reading becomes a function of the primitives that it touches."""

from __future__ import annotations

from collections.abc import Callable
from math import acos, atan2, cos, hypot, pi, sin
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.trace.primitives import CIRCLE, LINE, Primitive, meeting
from generator.trace.unknowns import Measured, Model

Floats = NDArray[np.float64]

SEATING_RAD: Final = 0.07
"""How far the jaws may turn from the stated direction until they seat (4 degrees)."""
FLAT_RAD: Final = 0.01
"""A flat that is this square to the jaws is touched as a whole."""
TOUCH_MM: Final = 0.05
"""What comes this near to a jaw is touched; two such points far apart make it seat upon both."""
HIDDEN_MM: Final = 0.001
"""A corner reaches this much less than it does, so that the round beside it is touched and not the end of it."""
APART_MM: Final = 3.0


class Joint(NamedTuple):
    """Where two neighbours of a loop meet: their numbers, a point near it (mm), whether they touch tangentially."""

    before: int
    after: int
    near: tuple[float, float]
    touching: bool


class Contact(NamedTuple):
    """What a jaw touches: an edge (number of the primitive), or the corner of a joint."""

    edge: int
    joint: Joint | None


def diameter(model: Model, circle: int, value: float, sigma: float) -> Measured:
    """Return the reading of a circle's diameter."""
    at = model.places()[circle] + 2
    return Measured((at,), lambda x: 2.0 * float(x[at]), value, sigma)


def radius(model: Model, arc: int, value: float, sigma: float) -> Measured:
    """Return the reading of an arc's radius."""
    at = model.places()[arc] + 2
    return Measured((at,), lambda x: float(x[at]), value, sigma)


def centre_distance(model: Model, one: int, other: int, value: float, sigma: float) -> Measured:
    """Return the reading of the distance of two centres."""
    a, b = model.places()[one], model.places()[other]
    return Measured((a, a + 1, b, b + 1), lambda x: hypot(float(x[a] - x[b]), float(x[a + 1] - x[b + 1])), value, sigma)


def over_holes(model: Model, one: int, other: int, far: bool, value: float, sigma: float) -> Measured:
    """Return the reading from edge to edge of two holes: over both (far edges) or between them (near edges)."""
    a, b = model.places()[one], model.places()[other]
    sign = 1.0 if far else -1.0

    def over(x: Floats) -> float:
        return hypot(float(x[a] - x[b]), float(x[a + 1] - x[b + 1])) + sign * float(x[a + 2] + x[b + 2])

    return Measured((a, a + 1, a + 2, b, b + 1, b + 2), over, value, sigma)


def outside_width(
    model: Model, joints: tuple[Joint, ...], x: Floats, direction: float, value: float, sigma: float
) -> Measured:
    """Return the reading of the width over the outline where parallel jaws seat next to a direction.

    The jaws seat where the width is stationary: along the normal of a flat, of a line that touches two corners or
    bosses, or along the line of the two points that they touch.

    Args:
        model: the primitives.
        joints: all joints of the outline, in order; none for an outline that is one circle.
        x: present values of the unknowns.
        direction: of the measurement, rad, in the part's plane.
        value: what was read, mm.
        sigma: its standard deviation, mm.

    Raises: GeometryError: there is no outline.
    """
    if not joints:
        return _over_circle(model, value, sigma)
    outline = _Outline(model.with_values(x), joints)
    seated = _seated(outline, direction)
    one = [_support(model, c) for c in _contacts(outline, seated)]
    other = [_support(model, c) for c in _contacts(outline, seated + pi)]
    concerned = tuple(sorted({at for s in (*one, *other) for at in s.of}))

    def width(y: Floats) -> float:
        here, there = [s.at(y) for s in one], [s.at(y) for s in other]
        angle = _flat(here, seated)
        if angle is None:
            back = _flat(there, seated + pi)
            angle = back - pi if back is not None else _through_centres(here[0], there[0], seated)
        return _reach(here, angle) + _reach(there, angle + pi)

    return Measured(concerned, width, value, sigma)


def _over_circle(model: Model, value: float, sigma: float) -> Measured:
    for i, p in enumerate(model.primitives):
        if p.loop == 0 and p.kind == CIRCLE:
            return diameter(model, i, value, sigma)
    raise GeometryError("there is no outline to measure over")


class _Outline:
    """An outline as jaws meet it: its corners and its convex arcs."""

    def __init__(self, primitives: tuple[Primitive, ...], joints: tuple[Joint, ...]) -> None:
        self.primitives, self.joints = primitives, joints
        self.corners = [meeting(primitives[j.before], primitives[j.after], j.near, j.touching) for j in joints]
        self._at = np.array(self.corners)
        round_ones = [i for i, j in enumerate(joints) if (p := primitives[j.after]).kind != LINE and p.side > 0]
        self._arcs = np.array([primitives[joints[i].after].values for i in round_ones]).reshape(-1, 3)
        start = self._at[round_ones] - self._arcs[:, :2]
        end = np.roll(self._at, -1, axis=0)[round_ones] - self._arcs[:, :2]
        self._begin = np.arctan2(start[:, 1], start[:, 0])
        self._sweep = (np.arctan2(end[:, 1], end[:, 0]) - self._begin) % (2.0 * pi)
        self._rank = {i: k for k, i in enumerate(round_ones)}

    def reach(self, angles: Floats) -> Floats:
        """Return how far the outline reaches in directions (rad), mm."""
        way = np.stack([np.cos(angles), np.sin(angles)])
        far = (self._at @ way).max(axis=0)
        over = np.where(self._faced(angles), self._arcs[:, :2] @ way + self._arcs[:, 2:], -np.inf)
        reached: Floats = np.maximum(far, over.max(axis=0, initial=-np.inf))
        return reached

    def width(self, angles: Floats) -> Floats:
        """Return the width over the outline in directions (rad), mm."""
        widths: Floats = self.reach(angles) + self.reach(angles + pi)
        return widths

    def faces(self, i: int, angle: float) -> bool:
        """Tell whether what follows joint ``i`` is a convex arc that has the direction within its sweep."""
        return i in self._rank and bool(self._faced(np.array([angle]))[self._rank[i], 0])

    def _faced(self, angles: Floats) -> NDArray[np.bool_]:
        """Tell which convex arcs (rows), all counter-clockwise, have which directions within their sweep."""
        return np.asarray((angles - self._begin[:, None]) % (2.0 * pi) <= self._sweep[:, None])


def _seated(outline: _Outline, direction: float) -> float:
    """Return the direction next to the stated one in which the width over the outline is stationary."""
    turns = np.linspace(-SEATING_RAD, SEATING_RAD, 141)
    widths = outline.width(direction + turns)
    inner = widths[1:-1]
    low = (inner <= widths[:-2]) & (inner <= widths[2:])
    high = (inner >= widths[:-2]) & (inner >= widths[2:])
    at = 1 + np.flatnonzero(low | high)
    if not len(at):
        return direction
    k = int(at[int(np.argmin(np.abs(turns[at])))])
    if np.ptp(widths[k - 1 : k + 2]) < 1e-9:  # as wide in all directions
        return direction + float(turns[k])
    sign = 1.0 if low[k - 1] else -1.0
    a, b = float(turns[k - 1]), float(turns[k + 1])
    for _ in range(6):  # finer and finer: the width may have an edge there, so that no slope leads to it
        finer = np.linspace(a, b, 33)
        k = int(np.clip(np.argmin(sign * outline.width(direction + finer)), 1, 31))
        a, b = float(finer[k - 1]), float(finer[k + 1])
    return direction + 0.5 * (a + b)


def _contacts(outline: _Outline, angle: float) -> list[Contact]:
    """Return what a jaw touches that comes from a direction: a flat, or one or two points far from each other."""
    c, s = cos(angle), sin(angle)
    top = float(outline.reach(np.array([angle]))[0])
    touched: list[tuple[float, float, Contact]] = []
    for i, (j, corner) in enumerate(zip(outline.joints, outline.corners, strict=True)):
        p = outline.primitives[j.after]
        if p.kind == LINE and cos(p.values[0] - angle) > cos(FLAT_RAD) and p.values[1] > top - TOUCH_MM:
            return [Contact(j.after, None)]
        if outline.faces(i, angle):
            reach = c * p.values[0] + s * p.values[1] + p.values[2]
            touched.append((-s * p.values[0] + c * p.values[1], -reach, Contact(j.after, None)))
        reach = c * corner[0] + s * corner[1] - HIDDEN_MM
        touched.append((-s * corner[0] + c * corner[1], -reach, Contact(j.after, j)))
    touched = sorted((t for t in touched if -t[1] > top - TOUCH_MM), key=lambda t: t[0])
    if touched[-1][0] - touched[0][0] > APART_MM:
        return [touched[0][2], touched[-1][2]]
    return [min(touched, key=lambda t: t[1])[2]]


class _Touch(NamedTuple):
    """A point or round that a jaw touches (centre, mm, and radius), or a flat (angle and distance)."""

    x: float
    y: float
    radius: float
    flat: tuple[float, float] | None


class _Support(NamedTuple):
    of: tuple[int, ...]
    at: Callable[[Floats], _Touch]


def _support(model: Model, contact: Contact) -> _Support:
    """Return what a contact depends on and where it is."""
    places = model.places()
    if contact.joint is not None:
        j = contact.joint
        pair = (j.before, j.after)
        kinds = tuple(model.primitives[i] for i in pair)
        begins = tuple(places[i] for i in pair)
        concerned = tuple(b + k for b, p in zip(begins, kinds, strict=True) for k in range(p.size))

        def corner(x: Floats) -> _Touch:
            p, q = (
                Primitive(k.kind, k.side, tuple(float(v) for v in x[b : b + k.size]), k.loop)
                for k, b in zip(kinds, begins, strict=True)
            )
            u, v = meeting(p, q, j.near, j.touching)
            return _Touch(u, v, 0.0, None)

        return _Support(concerned, corner)
    at = places[contact.edge]
    if model.primitives[contact.edge].kind == LINE:
        return _Support((at, at + 1), lambda x: _Touch(0.0, 0.0, 0.0, (float(x[at]), float(x[at + 1]))))
    return _Support((at, at + 1, at + 2), lambda x: _Touch(float(x[at]), float(x[at + 1]), float(x[at + 2]), None))


def _flat(touched: list[_Touch], near: float) -> float | None:
    """Return the direction of the normal of the flat, or of the line that touches two rounds; None for one point."""
    if touched[0].flat is not None:
        return touched[0].flat[0]
    if len(touched) < 2:
        return None
    a, b = touched
    dx, dy = a.x - b.x, a.y - b.y
    turn = acos(max(-1.0, min(1.0, (b.radius - a.radius) / hypot(dx, dy))))
    middle = atan2(dy, dx)
    return max((middle + turn, middle - turn), key=lambda angle: cos(angle - near))


def _through_centres(here: _Touch, there: _Touch, near: float) -> float:
    """Return the direction of the line through both centres, that way round which is next to a direction (rad).

    Centres of flat rounds lie crossed, each on the far side of the other's; where they nearly coincide, as those of a
    disc, no line goes through them.
    """
    dx, dy = here.x - there.x, here.y - there.y
    if hypot(dx, dy) < TOUCH_MM:
        return near
    sign = 1.0 if cos(near) * dx + sin(near) * dy >= 0.0 else -1.0
    return atan2(sign * dy, sign * dx)


def _reach(touched: list[_Touch], angle: float) -> float:
    """Return how far the touched points reach in a direction; two share it."""
    if touched[0].flat is not None:
        return touched[0].flat[1]
    reaches = [cos(angle) * t.x + sin(angle) * t.y + t.radius for t in touched]
    return sum(reaches) / len(reaches)
