"""An outer shape with a point: a direction, a reach, and sides that run tangent from the body to the tip."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import cos, sin
from typing import ClassVar

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.carrier import Circle
from generator.outline.contour import Contour, Point
from generator.outline.create import circle
from generator.outline.hull import hull
from generator.outline.measure import bounds
from generator.outline.offset import offset_region
from generator.outline.predicates import explain_contour
from generator.outline.region import Region
from generator.shapes.outer.around import farthest, support, to_enclose
from generator.shapes.outer.flanks import flanked
from generator.shapes.outer.keep import margin_field
from generator.shapes.outer.remedies import Verdict
from generator.shapes.outer.sizes import Sizes, refused
from generator.shapes.shape import OUTER, Context, Shape, the_one_of

STRAIGHT = "straight"
FITTED, ROUND = "fitted", "round"
CURVES = ("hollow", "bulging")


@frozen_record(kw_only=True)
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


@frozen_record(kw_only=True)
class Pointed:
    """A body round the original, and a point that reaches out of it."""

    direction: float = f.angle("Where the point points, counter-clockwise from the x axis.", example=90)
    reach: float = f.length("From the centre to the very tip.", above=0, at_most=2000, example=60)
    margin: float = margin_field()
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

    Raises: GeometryError: the reach or a radius is too small; says the smallest changes that do, each tried.
    """
    inner = to_enclose(context)
    band = Region.of([hull([inner])])
    centre = Point(*params.centre) if params.centre is not None else bounds(inner).centre
    word = the_one_of(params.sides, *CURVES) if isinstance(params.sides, Sides) else ""

    @cache
    def body(margin: float) -> Contour:
        if params.body == ROUND:
            return circle(centre, farthest(inner, centre) + margin)
        return offset_region(band, margin).contours[0]

    def works(record: Pointed) -> Verdict:
        try:
            drawn = explain_contour(_outline(record, body(record.margin), centre)) is None
        except GeometryError:
            drawn = False
        return Verdict.of(drawn)

    try:
        return Region.of([_outline(params, body(params.margin), centre)])
    except GeometryError as error:
        side = (f"sides.{word}",) if word else ()
        sizes = Sizes(("reach", *side), ("reach", "tip_radius", *side), ("reach", *side))
        straight = "sides: straight", replace(params, sides=STRAIGHT)
        raise refused(str(error), params, works, sizes, straight if word else ("", None)) from None


def _outline(params: Pointed, body: Contour, centre: Point) -> Contour:
    """Return body and point.

    Raises: GeometryError: there is no point, or its sides do not run from body to tip.
    """
    ux, uy = cos(params.direction), sin(params.direction)
    beyond = support(body, Point(ux, uy)) - (centre.x * ux + centre.y * uy)
    behind = support(body, Point(-ux, -uy)) + (centre.x * ux + centre.y * uy)
    reach, r = params.reach, params.tip_radius
    if reach <= beyond:
        raise GeometryError(
            f"a reach of {reach:g} mm leaves no point: with a margin of {params.margin:g} mm the body itself reaches "
            f"{beyond:.6g} mm in that direction"
        )
    if 2.0 * r - reach > behind:
        raise GeometryError(f"a tip of radius {r:g} mm sticks out of the body behind")
    tip = Circle(Point(centre.x + (reach - r) * ux, centre.y + (reach - r) * uy), r)
    if isinstance(params.sides, str):
        return hull([body, tip])
    radius = params.sides.hollow or params.sides.bulging or 0.0
    contour = flanked(body, tip, -radius if params.sides.hollow else radius, Point(ux, uy))
    if contour is None:
        bent = "hollow" if params.sides.hollow else "bulging"
        raise GeometryError(f"{bent} sides of radius {radius:g} mm do not run from body to tip as they should")
    return contour


SHAPE = Shape(
    "pointed",
    Pointed,
    draw,
    "A body round the original with a point that has a direction and reach.",
    family=OUTER,
)
