"""An outer shape like a drop or a leaf: two arcs that meet in a point with a direction and a reach."""

from __future__ import annotations

from math import asin, pi

import numpy as np

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.region import Region
from generator.outline.tangent import swept_arc
from generator.shapes.outer.keep import Keep, circle_middle, keep_round, margin_field
from generator.shapes.outer.sizes import Sizes, fitted
from generator.shapes.outer.smallest import smallest
from generator.shapes.shape import OUTER, Context, Shape

ROUND, POINTED = "round", "pointed"
SLENDER = tuple(1.45 + 0.05 * k for k in range(32))
"""Reach over half the width: the one of least area is taken. None is less, for a point should show (chosen by eye)."""


@frozen_record(kw_only=True)
class Drop:
    """Two arcs from the widest place to a rounded point; behind it a half circle, or a second point."""

    margin: float = margin_field()
    direction: float = f.angle("Where the point points.", default=pi / 2.0, example=90)
    back: str = f.word(
        "`round`: a half circle, as on a drop; `pointed`: a second point opposite, as on a leaf.",
        (ROUND, POINTED),
        default=ROUND,
        example=POINTED,
    )
    reach: float | None = f.length(
        "From the centre to the very tip; without it, as small as the margin allows.",
        default=None,
        above=0,
        at_most=2000,
        example=95,
    )
    width: float | None = f.length(
        "At the widest place, which is the centre; without it, as small as the margin allows.",
        default=None,
        above=0,
        at_most=4000,
        example=110,
    )
    tip_radius: float = f.length("Radius of the point.", default=3.0, above=0, at_most=500, example=2)
    centre: tuple[float, float] | None = f.point(
        "The widest place, from which the reach is counted; without it, the centre of the smallest circle round pocket "
        "and seats.",
        default=None,
        example=[0, 0],
    )


def draw(params: Drop, context: Context) -> Region:
    """Return the drop or leaf.

    Raises: GeometryError: a size is too small for the margin; says the smallest that will do.
    """
    keep = keep_round(context, params.margin, turn=params.direction, centre=params.centre, middle=circle_middle)
    return fitted(params, keep, _outline, Sizes(("reach", "width"), ("width", "tip_radius"), ("reach", "width")))


def _outline(params: Drop, keep: Keep) -> Contour:
    reach, width = params.reach, params.width
    if reach is not None and width is not None:
        return _drop(params, reach, width / 2.0)
    if reach is not None:
        fixed = reach
        return _drop(
            params,
            reach,
            smallest(lambda half: _drop(params, fixed, half), keep, params.tip_radius * 1.01, step=keep.half_mm),
        )
    if width is not None:
        half = width / 2.0
        low = half * (1.0 + 1e-6)
        return _drop(params, smallest(lambda tip: _drop(params, tip, half), keep, low), half)
    slender = _best(params, keep)
    half = smallest(lambda h: _drop(params, slender * h, h), keep, keep.margin, step=keep.half_mm)
    return _drop(params, slender * half, half)


def _side_radius(reach: float, half: float, tip: float) -> float:
    """Return the radius of the sides, mm.

    A side starts square to the direction at half the width and touches the tip's circle from without:
    (reach - tip)² + (R - half)² = (R - tip)².
    """
    if half <= tip or reach <= half:
        raise GeometryError(
            f"with a reach of {reach:.4g} mm a point of radius {tip:g} mm does not stand out of a width of "
            f"{2.0 * half:.4g} mm"
        )
    return (reach * reach - 2.0 * reach * tip + half * half) / (2.0 * (half - tip))


def _drop(params: Drop, reach: float, half: float) -> Contour:
    """Return the outline with its point on the x axis."""
    tip = params.tip_radius
    radius = _side_radius(reach, half, tip)
    swept = asin(min((reach - tip) / (radius - tip), 1.0))  # of a side, from the widest place to the tip
    away = Point(reach - tip, 0.0)
    c, s = (reach - tip) / (radius - tip), (radius - half) / (radius - tip)
    upper = Point(away.x + tip * c, tip * s)
    lower = Point(upper.x, -upper.y)
    top, bottom = Point(0.0, half), Point(0.0, -half)
    vertices = [*swept_arc(bottom, lower, swept), *swept_arc(lower, upper, pi - 2.0 * swept)]
    if params.back == ROUND:
        return Contour((*vertices, *swept_arc(upper, top, swept), Vertex(*top, 1.0)))
    left, below = Point(-upper.x, upper.y), Point(-lower.x, lower.y)
    leaf = [*swept_arc(below, lower, 2.0 * swept), *swept_arc(lower, upper, pi - 2.0 * swept)]
    leaf += [*swept_arc(upper, left, 2.0 * swept), *swept_arc(left, below, pi - 2.0 * swept)]
    return Contour(tuple(leaf))


def _best(params: Drop, keep: Keep) -> float:
    """Return the slenderness of the smallest area, as far as the sampled points tell; the tip is taken as sharp."""
    x, y = keep.points[:, 0], np.abs(keep.points[:, 1])
    ahead = x > 0.0 if params.back == ROUND else np.full(len(x), True)
    least, best = np.inf, SLENDER[0]
    for slender in SLENDER:
        low, high = keep.margin, 2.0 * float(np.hypot(x, y).max()) + 2.0 * keep.margin
        for _ in range(24):
            half = (low + high) / 2.0
            radius = half * (slender * slender + 1.0) / 2.0
            side = np.hypot(x[ahead], y[ahead] + radius - half) <= radius - keep.margin
            back = np.hypot(x[~ahead], y[~ahead]) <= half - keep.margin
            low, high = (low, half) if side.all() and back.all() else (half, high)
        lens = 4.0 / 3.0 * slender * high * high
        size = lens * 2.0 if params.back == POINTED else lens + pi / 2.0 * high * high
        if size < least:
            least, best = size, slender
    return best


SHAPE = Shape("drop", Drop, draw, "Two arcs that meet in a point; behind it round, or pointed as a leaf.", family=OUTER)
