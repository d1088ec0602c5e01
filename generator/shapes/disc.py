"""A disc, with flats if it has any: the D shape, the two-flat shape."""

from __future__ import annotations

from math import cos, hypot, sin
from typing import ClassVar

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline import combine, create
from generator.outline.contour import Contour, Point
from generator.outline.region import Region
from generator.shapes.shape import Context, Shape, the_one_of


@frozen_record(kw_only=True)
class Flat:
    """A straight cut across a disc."""

    towards: float = f.angle(
        "Direction from the centre towards the flat, counter-clockwise from the x axis.", example=-90
    )
    distance: float = f.length(
        "Distance of the flat from the centre; negative when the flat lies beyond the centre.",
        at_least=-2000,
        at_most=2000,
        example=18,
    )


@frozen_record(kw_only=True)
class Disc:
    """A disc; give `radius` or `diameter`."""

    EXACTLY_ONE: ClassVar = (("radius", "diameter"),)

    radius: float | None = f.length("Radius of the disc.", default=None, above=0, at_most=2000, example=30)
    diameter: float | None = f.length(
        "Diameter of the disc, instead of its radius.", default=None, above=0, at_most=4000, example=60
    )
    centre: tuple[float, float] = f.point("Centre of the disc.", default=(0.0, 0.0), example=[0, 0])
    flats: tuple[Flat, ...] = f.list_of(
        f.record(Flat, "A straight cut across the disc.", example={"towards": -90, "distance": 18}),
        "Straight cuts across the disc: one for a D, two for a double D.",
        default=(),
        most=100,
        example=[{"towards": -90, "distance": 18}],
    )


def draw(params: Disc, context: Context) -> Region:
    """Return the disc less what lies beyond its flats.

    Raises: GeometryError: the size is missing or given twice, or a flat takes nothing or everything.
    """
    given = the_one_of(params, "radius", "diameter")
    radius = params.radius if params.radius is not None else (params.diameter or 0.0) / 2.0
    disc = Region.of([create.circle(params.centre, radius)])
    if not params.flats:
        return disc
    return combine.difference(disc, *(Region.of([_beyond(params, f, radius, given)]) for f in params.flats))


def _beyond(params: Disc, flat: Flat, radius: float, given: str) -> Contour:
    """Return a rectangle that holds everything of the disc beyond ``flat``."""
    if abs(flat.distance) >= radius:
        raise GeometryError(
            f"a flat {flat.distance:g} from the centre does not cut the disc: "
            f"less than {radius:g} (half its diameter) would, or a larger {given}"
        )
    ux, uy = cos(flat.towards), sin(flat.towards)
    ux, uy = ux / hypot(ux, uy), uy / hypot(ux, uy)
    cx, cy = params.centre
    far, wide = 2.0 * radius, 2.0 * radius

    def at(along: float, across: float) -> Point:
        return Point(cx + along * ux - across * uy, cy + along * uy + across * ux)

    d = flat.distance
    return create.polygon([at(d, -wide), at(far, -wide), at(far, wide), at(d, wide)])


SHAPE = Shape("disc", Disc, draw, "A disc, with straight flats if it has any (D shape).")
