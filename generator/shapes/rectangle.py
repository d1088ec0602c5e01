"""An upright rectangle, its corners sharp, rounded or chamfered."""

from __future__ import annotations

from typing import ClassVar

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point
from generator.outline.region import Region
from generator.shapes.corners import cornered
from generator.shapes.shape import Context, Shape, given, the_one_of


@frozen_record(kw_only=True)
class Rectangle:
    """An upright rectangle; give `size` (about `centre`), or two opposite `corners`."""

    EXACTLY_ONE: ClassVar = (("size", "corners"),)
    AT_MOST_ONE: ClassVar = (("radius", "radii", "chamfer"),)

    size: tuple[float, float] | None = f.point("Width and height.", default=None, example=[80, 46])
    centre: tuple[float, float] = f.point("Centre of the rectangle.", default=(0.0, 0.0), example=[0, 0])
    corners: tuple[tuple[float, float], ...] = f.list_of(
        f.point("A corner.", example=[0, 0]),
        "Two opposite corners, instead of size and centre.",
        default=(),
        fewest=2,
        most=2,
        example=[[0, 0], [80, 46]],
    )
    radius: float = f.length("Radius of all four corners.", default=0.0, at_least=0, at_most=2000, example=8)
    radii: tuple[float, ...] = f.list_of(
        f.length("Radius of one corner; 0 leaves it sharp.", at_least=0, at_most=2000, example=8),
        "Radius of each corner, instead of one for all: lower left, lower right, upper right, upper left.",
        default=(),
        fewest=4,
        most=4,
        example=[0, 0, 8, 8],
    )
    chamfer: float = f.length(
        "Cuts all four corners off at 45 degrees by this much along each edge, instead of rounding them.",
        default=0.0,
        at_least=0,
        at_most=2000,
        example=5,
    )


def draw(params: Rectangle, context: Context) -> Region:
    """Return the rectangle.

    Raises: GeometryError: the size is missing, given twice or empty, or the corners do not fit.
    """
    low, high = _extent(params)
    points = (low, Point(high.x, low.y), high, Point(low.x, high.y))
    corner_words = [n for n in ("radius", "radii", "chamfer") if getattr(params, n) not in (0.0, ())]
    if len(corner_words) > 1:
        raise GeometryError(f"`{'` and `'.join(corner_words)}` both shape the corners: give only one")
    radii = params.radii or (params.radius,) * 4
    return Region.of([cornered(points, radii=radii, chamfers=(params.chamfer,) * 4)])


def _extent(params: Rectangle) -> tuple[Point, Point]:
    if the_one_of(params, "size", "corners") == "corners":
        if given(params, ("size",)):
            raise GeometryError("give `size` or `corners`, not both")
        (ax, ay), (bx, by) = params.corners
        low, high = Point(min(ax, bx), min(ay, by)), Point(max(ax, bx), max(ay, by))
    else:
        assert params.size is not None
        (cx, cy), (w, h) = params.centre, params.size
        low, high = Point(cx - w / 2.0, cy - h / 2.0), Point(cx + w / 2.0, cy + h / 2.0)
    if not (high.x > low.x and high.y > low.y):
        raise GeometryError(
            f"a rectangle of {high.x - low.x:g} by {high.y - low.y:g} has no area: both must be more than 0"
        )
    return low, high


SHAPE = Shape("rectangle", Rectangle, draw, "An upright rectangle; corners sharp, rounded or chamfered.")
