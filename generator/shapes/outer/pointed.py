"""An outer shape with a point: a direction, a reach, and sides that run tangent from the body to the tip."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin
from typing import ClassVar

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.outline.carrier import Circle
from generator.outline.contour import Contour, Point
from generator.outline.create import circle
from generator.outline.hull import hull
from generator.outline.measure import bounds
from generator.outline.offset import offset_region
from generator.outline.region import Region
from generator.shapes.outer.around import farthest, support, to_enclose
from generator.shapes.outer.flanks import flanked, least_radius
from generator.shapes.shape import OUTER, Context, Shape, the_one_of, up

STRAIGHT = "straight"
FITTED, ROUND = "fitted", "round"


@dataclass(frozen=True, kw_only=True)
class Sides:
    """Sides that are arcs; give `hollow` or `bulging`."""

    EXACTLY_ONE: ClassVar = (("hollow", "bulging"),)

    hollow: float | None = f.length(
        "Radius of sides that curve inwards from the body to the tip.",
        default=None,
        above=0,
        at_most=20_000,
        example=60,
    )
    bulging: float | None = f.length(
        "Radius of sides that curve outwards from the body to the tip.",
        default=None,
        above=0,
        at_most=20_000,
        example=90,
    )


@dataclass(frozen=True, kw_only=True)
class Pointed:
    """A body round the original, and a point that reaches out of it."""

    direction: float = f.angle("Where the point points, counter-clockwise from the x axis.", example=90)
    reach: float = f.length("From the centre to the very tip.", above=0, at_most=2000, example=60)
    margin: float = f.length(
        "Least wall round the bottom pocket, and round every bolt seat.", above=0, at_most=500, example=6
    )
    tip_radius: float = f.length("Radius of the tip.", default=2.0, above=0, at_most=500, example=3)
    sides: Sides | str = f.record(
        Sides,
        "How the sides run from the body to the tip: `straight`, or along an arc of a radius.",
        default=STRAIGHT,
        words=(STRAIGHT,),
        example={"hollow": 60},
    )
    body: str = f.word(
        "`fitted`: the body follows a band stretched round the original; `round`: it is a disc about the centre.",
        (FITTED, ROUND),
        default=FITTED,
        example=ROUND,
    )
    centre: tuple[float, float] | None = f.point(
        "Where the reach is counted from, and the middle of a round body; without it, the middle of the box round the "
        "bottom pocket.",
        default=None,
        example=[0, 0],
    )


def draw(params: Pointed, context: Context) -> Region:
    """Return the body with its point, all joints tangent. It holds the body, so the least wall holds.

    Raises: GeometryError: the reach or a radius is too small; says the smallest that will do.
    """
    inner = to_enclose(context)
    centre = Point(*params.centre) if params.centre is not None else bounds(inner).centre
    body = _body(params, inner, centre)
    ux, uy = cos(params.direction), sin(params.direction)
    beyond = support(body, Point(ux, uy)) - (centre.x * ux + centre.y * uy)
    if params.reach <= beyond:
        raise GeometryError(
            f"reach {params.reach:g} leaves no point: with a margin of {params.margin:g} the body itself reaches "
            f"{beyond:.6g} in that direction; reach: at least {up(beyond + 1e-3)} mm"
        )
    r = params.tip_radius
    tip = Circle(Point(centre.x + (params.reach - r) * ux, centre.y + (params.reach - r) * uy), r)
    if isinstance(params.sides, str):
        return Region.of([hull([body, tip])])
    return Region.of([_curved(params.sides, body, tip, Point(ux, uy))])


def _body(params: Pointed, inner: Region, centre: Point) -> Contour:
    if params.body == ROUND:
        return circle(centre, farthest(inner, centre) + params.margin)
    return offset_region(Region.of([hull([inner])]), params.margin).contours[0]


def _curved(sides: Sides, body: Contour, tip: Circle, direction: Point) -> Contour:
    """Return body and tip joined by arcs on both sides."""
    word = the_one_of(sides, "hollow", "bulging")
    radius = sides.hollow or sides.bulging or 0.0
    signed = -1.0 if word == "hollow" else 1.0
    contour = flanked(body, tip, signed * radius, direction)
    if contour is None:
        least = least_radius(body, tip, signed, radius, direction)
        remedy = f"{word}: at least {up(least)} mm" if least else "use `sides: straight`"
        raise GeometryError(f"sides of {word} radius {radius:g} do not run from body to tip as they should; {remedy}")
    return contour


SHAPE = Shape(
    "pointed",
    Pointed,
    draw,
    "A body round the original with a point that has a direction and reach.",
    family=OUTER,
)
