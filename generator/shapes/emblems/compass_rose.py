"""A compass rose: long and short points, one half of each left open, and a ring behind them."""

from __future__ import annotations

from math import atan2, cos, pi, sin

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.combine import union
from generator.outline.contour import Contour, Vertex
from generator.outline.create import ring
from generator.outline.region import Region
from generator.outline.rounding import can_be_rounded, rounded
from generator.shapes.emblems.around import all_round, each_turned, polar
from generator.shapes.emblems.finish import corner_radius, finished, rounding_of, size, tip_beyond
from generator.shapes.emblems.remedy import demand
from generator.shapes.shape import Context, Shape


@frozen_record(kw_only=True)
class CompassRose:
    """A compass rose with one point upwards."""

    size: float = size("Diameter of the circle through the long points, as rounded.")
    points: int = f.count(
        "Number of long points; as many short ones stand between.", default=4, at_least=3, at_most=16, example=4
    )
    short: float = f.number(
        "Length of the short points as a share of the long ones.", default=0.62, at_least=0.3, at_most=0.9, example=0.62
    )
    inner: float = f.number(
        "Notch circle as a share of the point circle.", default=0.32, at_least=0.08, at_most=0.5, example=0.32
    )
    shaded: bool = f.flag("One half of every point is left open, as on a chart.", default=True, example=True)
    line: float | None = f.length(
        "Width of the line round the open halves; without it 0.02 of the size, or as the corner radius asks.",
        default=None,
        above=0,
        at_most=100,
        example=1,
    )
    ring: float | None = f.length(
        "Width of the ring behind the points, 0 for none; without it 0.035 of the size.",
        default=None,
        at_least=0,
        at_most=200,
        example=1.4,
    )
    ring_at: float = f.number(
        "Outside of the ring as a share of the point circle.", default=0.66, at_least=0.3, at_most=1, example=0.66
    )
    corner_radius: float = corner_radius()


def draw(params: CompassRose, context: Context) -> Region:
    """Return the compass rose.

    Raises: GeometryError: the ring is too wide or the corner radius does not fit; says what would.
    """
    return finished(params, _sharp)


def _sharp(params: CompassRose) -> list[Contour]:
    n, half = params.points, params.size / 2.0
    waist, quarter = params.inner * half, pi / (2.0 * params.points)
    radius = rounding_of(params)
    tips = [_sharp_tip(half * share, waist, quarter, radius) for share in (1.0, params.short)]
    up = pi / 2.0
    chain = [
        polar(tips[0], up), polar(waist, up + quarter), polar(tips[1], up + 2.0 * quarter),
        polar(waist, up + 3.0 * quarter),
    ]  # fmt: skip
    star = all_round(chain, n)
    if radius and can_be_rounded(star, radius):
        star = rounded(star, radius)  # now, so that the ring meets the points as they will be
    body = Region((star,))
    wide = 0.035 * params.size if params.ring is None else params.ring
    if wide:
        outside = params.ring_at * half
        demand(wide < outside - waist, "ring", wide, "reaches into the notches")
        body = union(body, ring((0.0, 0.0), outside, outside - wide))
    return [*body, *(_open_halves(params, tips, waist) if params.shaded else [])]


def _sharp_tip(rounded_mm: float, waist: float, quarter: float, radius_mm: float) -> float:
    """Return where the sharp tip lies so that the rounded one lies at ``rounded_mm``."""
    tip = rounded_mm
    for _ in range(40 if radius_mm else 0):  # the angle of the tip changes little with its place: settles at once
        across, along = waist * sin(quarter), tip - waist * cos(quarter)
        tip = rounded_mm + tip_beyond(atan2(across, along), radius_mm) if along > 0.0 else tip
        tip = min(tip, 4.0 * rounded_mm)
    return tip


def _open_halves(params: CompassRose, tips: list[float], waist: float) -> list[Contour]:
    """Return the holes: the left half of every point, inside its line. Halves that are too small stay full."""
    n, quarter = params.points, pi / (2.0 * params.points)
    line = params.line or max(0.02 * params.size, 2.1 * params.corner_radius)
    hub = 1.05 * line / (2.0 * sin(quarter / 2.0))
    holes: list[Contour] = []
    for k, tip in enumerate(tips):
        chain = _half(tip, waist, quarter, line, hub)
        radius = params.corner_radius
        if chain and (not rounding_of(params) or can_be_rounded(Contour(tuple(chain)), radius)):
            holes += [c.reversed() for c in each_turned(chain, n, pi / 2.0 + 2.0 * quarter * k)]
    return holes


def _half(tip: float, waist: float, quarter: float, line: float, hub: float) -> list[Vertex]:
    """Return the hole in the left half of a point along +x, counter-clockwise; empty when there is no room."""
    wx, wy = waist * cos(quarter), waist * sin(quarter)
    ux, uy = wx - tip, wy
    length = (ux * ux + uy * uy) ** 0.5
    nx, ny = -uy / length, ux / length  # inwards, square to the edge from the tip to the waist
    offset = tip * nx + line
    on_axis = offset / nx
    on_ray = offset / (nx * cos(quarter) + ny * sin(quarter))
    if nx >= 0.0 or min(on_axis, on_ray) <= hub:
        return []
    return [polar(hub, 0.0), polar(on_axis, 0.0), polar(on_ray, quarter), polar(hub, quarter)]


SHAPE = Shape("compass_rose", CompassRose, draw, "A compass rose with long and short points and a ring.")
