"""A regular polygon: hexagon, octagon, triangle."""

from __future__ import annotations

from math import cos, pi
from typing import ClassVar

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline import create
from generator.outline.region import Region
from generator.shapes.corners import round_every_corner
from generator.shapes.shape import Context, Shape, the_one_of


@frozen_record(kw_only=True)
class RegularPolygon:
    """A regular polygon; give `across_flats` or `across_corners`."""

    EXACTLY_ONE: ClassVar = (("across_flats", "across_corners"),)

    sides: int = f.count("Number of sides.", at_least=3, at_most=360, example=6)
    across_flats: float | None = f.length(
        "Diameter of the inscribed circle: twice the distance from the centre to a side; the spanner size when the "
        "number of sides is even.",
        default=None,
        above=0,
        at_most=4000,
        example=30,
    )
    across_corners: float | None = f.length(
        "Diameter of the circle through the corners.", default=None, above=0, at_most=4000, example=34.64
    )
    centre: tuple[float, float] = f.point("Centre of the polygon.", default=(0.0, 0.0), example=[0, 0])
    first: float = f.angle(
        "Direction of the first corner from the centre, counter-clockwise from the x axis.",
        default=0.0,
        example=30,
    )
    radius: float = f.length("Radius of every corner.", default=0.0, at_least=0, at_most=2000, example=3)


def draw(params: RegularPolygon, context: Context) -> Region:
    """Return the polygon.

    Raises: GeometryError: the size is missing or given twice, or the corner radius does not fit.
    """
    the_one_of(params, "across_flats", "across_corners")
    flats = params.across_flats
    if flats is None:
        flats = (params.across_corners or 0.0) * cos(pi / params.sides)
    sharp = create.regular_polygon(params.centre, params.sides, flats, turn_rad=params.first)
    return Region.of([round_every_corner(sharp, params.radius)])


SHAPE = Shape("regular_polygon", RegularPolygon, draw, "A regular polygon such as a hexagon.")
