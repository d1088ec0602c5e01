"""An outer shape like a shield: flat above, straight sides, two arcs that meet in a point."""

from __future__ import annotations

from math import atan2, pi, sqrt, tan

import numpy as np

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Vertex
from generator.outline.region import Region
from generator.outline.spans import Floats
from generator.shapes.outer.keep import Keep, box_middle, keep_round, margin_field
from generator.shapes.outer.sizes import QUARTER, SIDE_MM, WIDTHS, Sizes, fitted
from generator.shapes.outer.smallest import smallest
from generator.shapes.shape import OUTER, Context, Shape


@frozen_record(kw_only=True)
class Shield:
    """A flat top, straight sides, and arcs from the sides to the point."""

    margin: float = margin_field()
    direction: float = f.angle("Where the point points.", default=-pi / 2.0, example=-90)
    width: float | None = f.length(
        "Between the straight sides; without it, what gives the smallest area.",
        default=None,
        above=0,
        at_most=4000,
        example=110,
    )
    reach: float | None = f.length(
        "From the centre to the point before it is rounded; without it, as small as the margin allows.",
        default=None,
        above=0,
        at_most=2000,
        example=95,
    )
    fullness: float = f.number(
        "Radius of the arcs as a share of the width: 1 is an arch on two centres, 0.5 a half circle, more is more "
        "pointed.",
        default=0.9,
        above=0.5,
        at_most=3,
        example=1,
    )
    corner_radius: float | None = f.length(
        "Radius of the upper corners; without it, the margin.", default=None, above=0, at_most=500, example=6
    )
    tip_radius: float = f.length("Radius of the point.", default=3.0, above=0, at_most=500, example=2)
    centre: tuple[float, float] | None = f.point(
        "Where the reach is counted from; the sides lie evenly about it. Without it, the middle of the box round "
        "pocket and seats.",
        default=None,
        example=[0, 0],
    )


def draw(params: Shield, context: Context) -> Region:
    """Return the shield; its top lies against the margin.

    Raises: GeometryError: a size is too small for the margin or a radius too large; says the smallest change.
    """
    turn = params.direction + pi / 2.0
    keep = keep_round(context, params.margin, turn=turn, centre=params.centre, middle=box_middle)
    shrink = ("corner_radius", "tip_radius", "fullness")
    return fitted(params, keep, _outline, Sizes(("width", "reach"), shrink, ("width", "reach")))


def _outline(params: Shield, keep: Keep) -> Contour:
    top = keep.box.ymax + keep.margin
    least = max(abs(keep.box.xmin), abs(keep.box.xmax)) + keep.margin
    if params.width is not None:
        half = params.width / 2.0
    elif params.reach is not None:
        half = least
    else:
        half = _best_half(params, keep, least)
    corner = params.corner_radius if params.corner_radius is not None else keep.margin
    shoulder = min(float(_shoulders(params, keep, np.array([half]))[0]), top - corner - SIDE_MM)

    def grown(by: float) -> Contour:
        a = half if params.width is not None else half + by
        low = shoulder - by
        if params.reach is not None:
            low = -params.reach + _drop(params, a)
        return _shield(params, keep.margin, a, top + by, low)

    fixed = params.width is not None and params.reach is not None
    return grown(0.0 if fixed else smallest(grown, keep, 0.0, step=1.0))


def _drop(params: Shield, a: float) -> float:
    """Return how far the sharp point lies below the ends of the sides: R² = (R - a)² + drop², mm."""
    radius = params.fullness * 2.0 * a
    return sqrt(2.0 * radius * a - a * a)


def _shield(params: Shield, margin: float, a: float, top: float, low: float) -> Contour:
    """Return the shield between x = ±a, its top at ``top``, its sides' lower ends at ``low``, mm."""
    corner = params.corner_radius if params.corner_radius is not None else margin
    if low > top - corner - SIDE_MM / 2.0:
        raise GeometryError(f"no room for corners of radius {corner:g} mm above the arcs of the point")
    radius, tip = params.fullness * 2.0 * a, params.tip_radius
    if tip >= a or corner >= a:
        raise GeometryError(
            f"no room for a point or corners of radius {max(tip, corner):g} mm on half the width {a:.4g} mm"
        )
    # the tip's circle touches both arcs from within: R - tip away from their centres, which lie R - a beside the axis
    away = radius - tip
    below = sqrt(max((away - radius + a) * (away + radius - a), 0.0))
    x, y = radius * (radius - a) / away - (radius - a), low - radius * below / away
    turn = atan2(below, radius - a)
    side, point = tan(turn / 4.0), tan((pi - 2.0 * turn) / 4.0)
    return Contour(
        (
            Vertex(-a, low, side), Vertex(-x, y, point), Vertex(x, y, side), Vertex(a, low),
            Vertex(a, top - corner, QUARTER), Vertex(a - corner, top), Vertex(corner - a, top, QUARTER),
            Vertex(-a, top - corner),
        )
    )  # fmt: skip


def _shoulders(params: Shield, keep: Keep, halves: Floats) -> Floats:
    """Return for each half width how low the sides must end so that all points stay within the arcs, mm."""
    radius = params.fullness * 2.0 * halves[:, None]
    x, y = np.abs(keep.points[:, 0]), keep.points[:, 1]
    room = np.maximum((radius - keep.margin) ** 2 - (x + radius - halves[:, None]) ** 2, 0.0)
    lowest: Floats = (y + np.sqrt(room)).min(axis=1)
    return lowest


def _best_half(params: Shield, keep: Keep, least: float) -> float:
    """Return half the width that gives the smallest area, as far as the sampled points tell."""
    halves = np.linspace(least, least * 2.0, WIDTHS)
    low = _shoulders(params, keep, halves)
    corner = params.corner_radius if params.corner_radius is not None else keep.margin
    top = keep.box.ymax + keep.margin
    height = top - np.minimum(low, top - corner - SIDE_MM)
    drop = halves * _drop(params, 1.0)
    # two thirds of width times drop is near enough to the area below the sides to compare by
    areas = 2.0 * halves * height + 4.0 / 3.0 * halves * drop
    return float(halves[int(areas.argmin())])


SHAPE = Shape("shield", Shield, draw, "A flat top, straight sides, and two arcs that meet in a point.", family=OUTER)
