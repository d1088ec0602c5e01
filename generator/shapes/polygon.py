"""A polygon through points, its corners sharp, rounded or chamfered."""

from __future__ import annotations

from typing import ClassVar

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point
from generator.outline.region import Region
from generator.shapes.corners import cornered
from generator.shapes.shape import Context, Shape


@frozen_record(kw_only=True)
class Polygon:
    """A polygon by its corners, in order, either way round."""

    AT_MOST_ONE: ClassVar = (("radius", "radii"), ("radius", "chamfers"))

    points: tuple[tuple[float, float], ...] = f.list_of(
        f.point("A corner.", example=[0, 0]),
        "The corners in order, either way round; the last is joined to the first.",
        fewest=3,
        most=2000,
        example=[[0, 0], [60, 0], [60, 20], [20, 40]],
    )
    radius: float = f.length("Radius of every corner.", default=0.0, at_least=0, at_most=2000, example=4)
    radii: tuple[float, ...] = f.list_of(
        f.length("Radius of one corner; 0 leaves it sharp.", at_least=0, at_most=2000, example=4),
        "Radius of each corner in the order of the points, instead of one for all.",
        default=(),
        most=2000,
        example=[4, 4, 0, 8],
    )
    chamfers: tuple[float, ...] = f.list_of(
        f.length("Chamfer of one corner; 0 for none.", at_least=0, at_most=2000, example=3),
        "How far each corner is cut off along its two edges, in the order of the points.",
        default=(),
        most=2000,
        example=[3, 0, 0, 3],
    )


def draw(params: Polygon, context: Context) -> Region:
    """Return the polygon.

    Raises: GeometryError: the lists differ in length, or a corner does not fit.
    """
    n = len(params.points)
    for name in ("radii", "chamfers"):
        there = len(getattr(params, name))
        if there not in (0, n):
            raise GeometryError(f"{there} {name} for {n} points: give one for each point, 0 for a sharp corner")
    radii = params.radii or (params.radius if not params.chamfers else 0.0,) * n
    points = tuple(Point(*p) for p in params.points)
    return Region.of([cornered(points, radii=radii, chamfers=params.chamfers or (0.0,) * n)])


SHAPE = Shape("polygon", Polygon, draw, "A polygon through given corners, each sharp, rounded or chamfered.")
