"""An outer shape that is a rectangle with a quarter round cut out of every corner."""

from __future__ import annotations

from math import atan2, cos, pi, sin, sqrt, tan

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.region import Region
from generator.shapes.outer.keep import Keep, box_middle, keep_round, margin_field
from generator.shapes.outer.sizes import Sizes, fitted
from generator.shapes.outer.smallest import smallest
from generator.shapes.shape import OUTER, Context, Shape

SHARE = 5.0
"""The notches' radius is this part of the shorter side of the box round the original, where it is not given."""


@frozen_record(kw_only=True)
class Notched:
    """A rectangle with concave corners, as on old labels."""

    margin: float = margin_field()
    direction: float = f.angle("Direction of its width.", default=0.0, example=0)
    width: float | None = f.length(
        "Along the direction; without it, as small as the margin allows.",
        default=None,
        above=0,
        at_most=4000,
        example=120,
    )
    height: float | None = f.length(
        "Across; without it, as small as the margin allows.", default=None, above=0, at_most=4000, example=80
    )
    notch_radius: float | None = f.length(
        "Radius of the quarter rounds; without it, a fifth of the shorter side of the box round the original.",
        default=None,
        above=0,
        at_most=1000,
        example=10,
    )
    corner_radius: float = f.length(
        "Radius of the eight corners at the ends of the quarter rounds.",
        default=1.5,
        above=0,
        at_most=500,
        example=2,
    )
    centre: tuple[float, float] | None = f.point(
        "Middle; without it, that of the box round pocket and seats.", default=None, example=[0, 0]
    )


def draw(params: Notched, context: Context) -> Region:
    """Return the rectangle with its corners cut out.

    Raises: GeometryError: a size is too small for the margin or a radius too large; says the smallest change.
    """
    keep = keep_round(context, params.margin, turn=params.direction, centre=params.centre, middle=box_middle)
    return fitted(
        params, keep, _outline, Sizes(("width", "height"), ("notch_radius", "corner_radius"), ("width", "height"))
    )


def _outline(params: Notched, keep: Keep) -> Contour:
    box = keep.box
    half_width = max(abs(box.xmin), abs(box.xmax)) + keep.margin
    half_height = max(abs(box.ymin), abs(box.ymax)) + keep.margin
    notch = params.notch_radius
    if notch is None:
        notch = min(box.width_mm, box.height_mm) / SHARE

    def grown(by: float) -> Contour:
        a = params.width / 2.0 if params.width is not None else half_width + by
        b = params.height / 2.0 if params.height is not None else half_height + by
        return _notched(a, b, notch, params.corner_radius)

    fixed = params.width is not None and params.height is not None
    return grown(0.0 if fixed else smallest(grown, keep, 0.0))


def _notched(a: float, b: float, notch: float, corner: float) -> Contour:
    """Return the rectangle of half sizes a and b about the origin.

    A corner's circle touches the side from within and the notch's circle from without; the notch's centre is the
    rectangle's corner, so the side ends √(notch² + 2 · notch · corner) short of it.
    """
    short = sqrt(notch * notch + 2.0 * notch * corner)
    turn = atan2(corner, short)  # of the notch's radius at its end against the side
    if short >= min(a, b) or turn >= pi / 4.0:
        raise GeometryError(
            f"notches of radius {notch:.4g} mm with corners of radius {corner:.4g} mm leave nothing of a side of "
            f"{2.0 * min(a, b):.4g} mm"
        )
    along, across = notch * cos(turn), notch * sin(turn)
    rounding, bite = tan((pi / 2.0 - turn) / 4.0), -tan((pi / 2.0 - 2.0 * turn) / 4.0)
    vertices: list[Vertex] = []
    for x, y, flip in ((a, -b, False), (a, b, True), (-a, b, False), (-a, -b, True)):
        sx, sy = (1.0 if x > 0.0 else -1.0), (1.0 if y > 0.0 else -1.0)
        points = [
            Point(x - sx * short, y),
            Point(x - sx * along, y - sy * across),
            Point(x - sx * across, y - sy * along),
            Point(x, y - sy * short),
        ]
        bulges = (rounding, bite, rounding, 0.0)
        vertices += [Vertex(p.x, p.y, bulge) for p, bulge in zip(points[::-1] if flip else points, bulges, strict=True)]
    return Contour(tuple(vertices))


SHAPE = Shape("notched", Notched, draw, "A rectangle with a quarter round cut out of every corner.", family=OUTER)
