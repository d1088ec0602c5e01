"""Paths of lines and arcs, told step by step: shared by every shape that follows a line of its own.

Each step says where it goes (`to`, `by`, `x`, `y`, or a `direction` and `length`) and, for an arc, how it gets there
(`through` a point, by `radius` and `side`, `around` a centre, or `tangent` to what came before).
"""

from __future__ import annotations

from dataclasses import replace
from math import atan2, cos, hypot, pi, sin
from typing import ClassVar

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline import tangent
from generator.outline.carrier import tangents
from generator.outline.contour import Point, Segment, Vertex
from generator.shapes.shape import given

LEFT, RIGHT, SHORT, LONG = "left", "right", "short", "long"
NOWHERE_MM = 1e-9
"""A step shorter than this goes nowhere."""


@frozen_record(kw_only=True)
class Step:
    """One line or arc of a path."""

    AT_MOST_ONE: ClassVar = (("to", "by"), ("through", "radius"), ("round", "chamfer"))

    to: tuple[float, float] | None = f.point("Where the step ends.", default=None, example=[40, 0])
    by: tuple[float, float] | None = f.point(
        "Where the step ends, counted from where it begins.", default=None, example=[0, 12]
    )
    x: float | None = f.length(
        "Straight across to this x, keeping y.", default=None, at_least=-5000, at_most=5000, example=40
    )
    y: float | None = f.length(
        "Straight up or down to this y, keeping x.", default=None, at_least=-5000, at_most=5000, example=12
    )
    length: float | None = f.length(
        "Length of a straight step, in `direction`, or straight on without one.",
        default=None,
        above=0,
        at_most=5000,
        example=25,
    )
    direction: float | None = f.angle(
        "Direction of a step with a `length`, counter-clockwise from the x axis.", default=None, example=30
    )
    through: tuple[float, float] | None = f.point(
        "A point in the middle of the arc that leads `to` the end.", default=None, example=[50, 6]
    )
    radius: float | None = f.length(
        "Radius of the arc: with an end and a `side`, or with a `turn`, tangent to what came before.",
        default=None,
        above=0,
        at_most=20_000,
        example=12,
    )
    side: str = f.word(
        "Which way an arc of given `radius` or centre turns as one travels along it.",
        (LEFT, RIGHT),
        default="",
        example=LEFT,
    )
    way: str = f.word(
        "The `short` or the `long` way round, of the two arcs of given `radius` and `side`.",
        (SHORT, LONG),
        default=SHORT,
        example=LONG,
    )
    around: tuple[float, float] | None = f.point(
        "Centre of an arc that turns by `turn`, or runs `to` a point on the same circle on a given `side`.",
        default=None,
        example=[40, 10],
    )
    turn: float | None = f.angle(
        "By how much an arc turns, positive to the left: `around` a centre, or with a `radius`, tangent to what came "
        "before.",
        default=None,
        above=-360,
        below=360,
        example=90,
    )
    tangent: bool = f.flag("An arc that is tangent to what came before.", default=False, example=True)
    round: float = f.length(
        "Radius of the corner at the end of this step.", default=0.0, at_least=0, at_most=2000, example=3
    )
    chamfer: float = f.length(
        "Cuts the corner at the end of this step off, by this much along both edges.",
        default=0.0,
        at_least=0,
        at_most=2000,
        example=2,
    )


EXAMPLE_STEPS = [{"to": [40, 0]}, {"to": [40, 20], "through": [50, 10]}, {"to": [0, 20], "round": 4}]


@frozen_record
class Corner:
    """What is done to the corner where a step ends: a radius or a chamfer, mm; 0 for nothing."""

    radius_mm: float = 0.0
    chamfer_mm: float = 0.0


@frozen_record
class Walk:
    """How far a path has come.

    Attributes:
        vertices: starts of the segments so far.
        corners: what is done at the start of each of them.
        at: where the path is now.
        heading_rad: the direction it arrived in; None before the first step.
        corner: what is done at ``at``.
    """

    at: Point
    vertices: tuple[Vertex, ...] = ()
    corners: tuple[Corner, ...] = ()
    heading_rad: float | None = None
    corner: Corner = Corner()


def walk(start: tuple[float, float], steps: tuple[Step, ...], *, corner: Corner | None = None) -> Walk:
    """Return the path from ``start`` through all ``steps``.

    Args:
        start: mm.
        steps: in order.
        corner: what is done to the corner at ``start`` once the path is closed.
    Raises: GeometryError: a step says too little, too much, or something that cannot be; names the step.
    """
    state = Walk(at=Point(*start), corner=corner or Corner())
    for number, step in enumerate(steps, 1):
        try:
            state = take(state, step)
        except GeometryError as error:
            raise GeometryError(
                f"step {number}: {error}", segment=number - 1, point_mm=error.point_mm or state.at
            ) from error
    return state


def take(state: Walk, step: Step) -> Walk:
    """Return the walk after one more step.

    Raises: GeometryError: the step says too little, too much, or something that cannot be.
    """
    if step.round and step.chamfer:
        raise GeometryError("the corner has `round` and `chamfer`: give only one")
    path, end = _path(state, step)
    return extended(state, path, end, Corner(step.round, step.chamfer))


def extended(state: Walk, path: tuple[Vertex, ...], end: Point, corner: Corner) -> Walk:
    """Return the walk after travelling ``path`` to ``end``."""
    last = Segment(Point(path[-1].x, path[-1].y), end, path[-1].bulge)
    ux, uy = tangents(last)[1]
    return replace(
        state,
        at=end,
        vertices=state.vertices + path,
        corners=(*state.corners, state.corner, *(Corner() for _ in path[1:])),
        heading_rad=atan2(uy, ux),
        corner=corner,
    )


def _path(state: Walk, step: Step) -> tuple[tuple[Vertex, ...], Point]:
    """Return the vertices of one step and where it ends."""
    if step.around is not None:
        return _around(state, step)
    if step.turn is not None:
        _only(step, "turn", "radius")
        return _turned(state, step)
    end = _end(state, step)
    if hypot(end.x - state.at.x, end.y - state.at.y) < NOWHERE_MM:
        raise GeometryError(f"it ends where it begins, at ({end.x:g}, {end.y:g}): leave it out or move its end")
    ways = [n for n in ("through", "radius") if getattr(step, n) is not None] + ["tangent"] * step.tangent
    if len(ways) > 1:
        raise GeometryError(f"`{'` and `'.join(ways)}` both say how the arc runs: give only one")
    if step.side and step.radius is None:
        raise GeometryError("`side` belongs to an arc with a `radius` or a centre to run `around`: give one")
    if not ways:
        return (Vertex(*state.at),), end
    return _arc(state, step, end, ways[0]), end


def _arc(state: Walk, step: Step, end: Point, how: str) -> tuple[Vertex, ...]:
    if how == "through":
        assert step.through is not None
        return tangent.arc_through(state.at, Point(*step.through), end)
    if how == "tangent":
        return tangent.arc_from_direction(state.at, _heading(state, "`tangent`"), end)
    if not step.side:
        raise GeometryError("an arc of given `radius` needs `side`: `left` or `right`")
    assert step.radius is not None
    return tangent.arc_by_radius(state.at, end, step.radius, ccw=step.side == LEFT, large=step.way == LONG)


def _end(state: Walk, step: Step) -> Point:
    """Return where a step with an end of its own ends."""
    ways = given(step, ("to", "by", "length"))
    axes = given(step, ("x", "y"))
    if len(ways) + bool(axes) != 1 or (step.direction is not None and step.length is None):
        names = ways + axes + (["direction"] if step.direction is not None else [])
        told = f"`{'` and `'.join(names)}` together do not say where it ends" if names else "nothing says where it ends"
        raise GeometryError(f"{told}: give `to`, `by`, `x`, `y`, or `length` (with a `direction` or straight on)")
    if step.to is not None:
        return Point(*step.to)
    if step.by is not None:
        return Point(state.at.x + step.by[0], state.at.y + step.by[1])
    if axes:
        return Point(state.at.x if step.x is None else step.x, state.at.y if step.y is None else step.y)
    assert step.length is not None
    heading = step.direction if step.direction is not None else _heading(state, "`length` without `direction`")
    return Point(state.at.x + step.length * _cos(heading), state.at.y + step.length * _sin(heading))


def _heading(state: Walk, what: str) -> float:
    if state.heading_rad is None:
        raise GeometryError(f"{what} needs something that came before it: the first step cannot have it")
    return state.heading_rad


def _cos(angle: float) -> float:
    """Return the cosine, exactly 0 and ±1 where it is so: a vertical line stays vertical."""
    c = cos(angle)
    return float(round(c)) if abs(c - round(c)) < 1e-15 else c


def _sin(angle: float) -> float:
    return _cos(angle - pi / 2.0) if abs(sin(angle)) < 1e-15 or abs(abs(sin(angle)) - 1.0) < 1e-15 else sin(angle)


def _around(state: Walk, step: Step) -> tuple[tuple[Vertex, ...], Point]:
    """Return the arc about a given centre, by its turn or to its end."""
    assert step.around is not None
    centre = Point(*step.around)
    radius = hypot(state.at.x - centre.x, state.at.y - centre.y)
    if radius < NOWHERE_MM:
        raise GeometryError(f"the centre ({centre.x:g}, {centre.y:g}) is where the arc begins: it has no radius")
    if step.turn:
        _only(step, "around", "turn")
        return _swept(state, centre, step.turn)
    _only(step, "around", "to", "by", "side")
    if not step.side or not given(step, ("to", "by")):
        raise GeometryError("`around` needs `turn` (degrees, positive to the left), or `to` and `side`")
    end = _end(state, step)
    off = hypot(end.x - centre.x, end.y - centre.y) - radius
    if abs(off) > MODEL.model_mm:
        raise GeometryError(
            f"the arc begins {radius:.6g} from its centre but its end ({end.x:g}, {end.y:g}) lies {radius + off:.6g} "
            "from it: move the centre or the end",
            point_mm=end,
        )
    first = atan2(state.at.y - centre.y, state.at.x - centre.x)
    last = atan2(end.y - centre.y, end.x - centre.x)
    sweep = (last - first) % (2.0 * pi) if step.side == LEFT else -((first - last) % (2.0 * pi))
    return tangent.swept_arc(state.at, end, sweep), end


def _turned(state: Walk, step: Step) -> tuple[tuple[Vertex, ...], Point]:
    """Return the arc of given radius that goes on tangent to what came before and turns by an angle."""
    if step.radius is None or not step.turn:
        raise GeometryError("`turn` needs a `radius` (tangent to what came before) or a centre to turn `around`")
    heading = _heading(state, "`turn` with `radius`")
    side = step.radius if step.turn > 0.0 else -step.radius
    centre = Point(state.at.x - side * _sin(heading), state.at.y + side * _cos(heading))
    return _swept(state, centre, step.turn)


def _swept(state: Walk, centre: Point, sweep: float) -> tuple[tuple[Vertex, ...], Point]:
    c, s = _cos(sweep), _sin(sweep)
    dx, dy = state.at.x - centre.x, state.at.y - centre.y
    end = Point(centre.x + c * dx - s * dy, centre.y + s * dx + c * dy)
    return tangent.swept_arc(state.at, end, sweep), end


def _only(step: Step, *names: str) -> None:
    """Refuse keys that would say something else than ``names`` do."""
    told = ("to", "by", "x", "y", "length", "direction", "through", "radius", "side", "around", "turn")
    others = [n for n in given(step, told) if n not in names] + ["tangent"] * step.tangent
    if others:
        raise GeometryError(
            f"`{'`, `'.join(others)}` does not go with `{'` and `'.join(names)}`, which already say the whole arc"
        )
