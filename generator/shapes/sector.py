"""A sector of a disc or of a ring: the pie piece, the quadrant plate, the segment flange."""

from __future__ import annotations

from math import cos, pi, sin

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.region import Region
from generator.outline.rounding import rounded
from generator.outline.tangent import swept_arc
from generator.shapes.shape import Context, Shape


@frozen_record(kw_only=True)
class Sector:
    """What lies between two directions and two radii about a centre."""

    outer: float = f.length("Outer radius.", above=0, at_most=2000, example=50)
    inner: float = f.length("Inner radius; 0 for a pie piece.", default=0.0, at_least=0, at_most=2000, example=30)
    start: float = f.angle("Direction of the first edge, counter-clockwise from the x axis.", example=45)
    end: float = f.angle(
        "Direction of the second edge; the sector runs counter-clockwise from start to end.", example=135
    )
    centre: tuple[float, float] = f.point("Centre of the arcs.", default=(0.0, 0.0), example=[0, 0])
    radius: float = f.length("Radius of every corner.", default=0.0, at_least=0, at_most=2000, example=3)


def draw(params: Sector, context: Context) -> Region:
    """Return the sector.

    Raises: GeometryError: it has no area, or the corner radius does not fit.
    """
    sweep = (params.end - params.start) % (2.0 * pi)
    if not sweep:
        raise GeometryError("start and end are the same direction: use `ring` or `disc` for a full turn")
    if params.inner >= params.outer:
        raise GeometryError(f"inner radius {params.inner:g} must be less than the outer radius {params.outer:g}")

    def at(r: float, angle: float) -> Point:
        return Point(params.centre[0] + r * cos(angle), params.centre[1] + r * sin(angle))

    a, b = params.start, params.start + sweep
    edge = swept_arc(at(params.outer, a), at(params.outer, b), sweep)
    last = at(params.outer, b)
    back = at(params.inner, b)
    inside = swept_arc(back, at(params.inner, a), -sweep) if params.inner else ()
    ends = [at(params.inner, a)] if params.inner else [back]
    corners = Contour((*edge, Vertex(*last), *inside, *(Vertex(*p) for p in ends)))
    return Region.of([rounded(corners, params.radius)])


SHAPE = Shape("sector", Sector, draw, "A sector of a disc or of a ring.")
