"""An outer shape with a flat base, straight sides and an arched top."""

from __future__ import annotations

from math import atan2, pi, sqrt, tan

import numpy as np

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.contour import Contour, Vertex
from generator.outline.region import Region
from generator.outline.spans import Floats
from generator.shapes.outer.keep import Keep, box_middle, keep_round, margin_field
from generator.shapes.outer.sizes import QUARTER, SIDE_MM, WIDTHS, Sizes, fitted
from generator.shapes.outer.smallest import smallest
from generator.shapes.shape import OUTER, Context, Shape


@frozen_record(kw_only=True)
class Arched:
    """Flat below, arched above."""

    margin: float = margin_field()
    direction: float = f.angle("Where the top of the arch points.", default=pi / 2.0, example=90)
    width: float | None = f.length(
        "Between the straight sides; without it, what gives the smallest area.",
        default=None,
        above=0,
        at_most=4000,
        example=110,
    )
    height: float | None = f.length(
        "From the base to the top of the arch; without it, as small as the margin allows.",
        default=None,
        above=0,
        at_most=4000,
        example=90,
    )
    rise: float | None = f.length(
        "Height of the arch above the straight sides; without it, a half circle.",
        default=None,
        above=0,
        at_most=2000,
        example=22,
    )
    corner_radius: float | None = f.length(
        "Radius of the corners at the base; without it, the margin.",
        default=None,
        above=0,
        at_most=500,
        example=6,
    )
    shoulder_radius: float | None = f.length(
        "Radius where a flat arch meets the sides; without it, the margin.",
        default=None,
        above=0,
        at_most=500,
        example=10,
    )
    centre: tuple[float, float] | None = f.point(
        "The sides lie evenly about it; without it, the middle of the box round pocket and seats.",
        default=None,
        example=[0, 0],
    )


def draw(params: Arched, context: Context) -> Region:
    """Return the arch; its base lies against the margin.

    Raises: GeometryError: a size is too small for the margin or a radius too large; says the smallest change.
    """
    turn = params.direction - pi / 2.0
    keep = keep_round(context, params.margin, turn=turn, centre=params.centre, middle=box_middle)
    shrink = ("rise", "corner_radius", "shoulder_radius")
    return fitted(params, keep, _outline, Sizes(("width", "height", "rise"), shrink, ("width", "height")))


def _outline(params: Arched, keep: Keep) -> Contour:
    base = keep.box.ymin - keep.margin
    half = params.width / 2.0 if params.width is not None else _best_half(params, keep)
    spring = _spring(params, keep, np.array([half]))[0]

    def grown(by: float) -> Contour:
        a = half if params.width is not None else half + by
        rise = params.rise if params.rise is not None else a
        lower = base - by
        upper = lower + params.height - rise if params.height is not None else max(spring, base) + by
        return _arch(params, keep.margin, a, lower, upper, rise)

    fixed = params.width is not None and params.height is not None
    return grown(0.0 if fixed else smallest(grown, keep, 0.0, step=1.0))


def _arch(params: Arched, margin: float, a: float, lower: float, upper: float, rise: float) -> Contour:
    """Return the arch between x = ±a with its base at ``lower`` and the sides' upper ends at ``upper``, mm."""
    corner = params.corner_radius if params.corner_radius is not None else margin
    shoulder = params.shoulder_radius if params.shoulder_radius is not None else margin
    if rise > a * (1.0 + 1e-12):
        raise GeometryError(f"an arch {2.0 * a:.4g} mm wide can rise by {a:.4g} mm at most, not {rise:.4g} mm")
    half_circle = rise >= a - MODEL.model_mm / 10.0
    top = [Vertex(a, upper, 1.0)] if half_circle else _flat_top(a, upper, rise, shoulder)
    if params.height is None:
        more = max(lower + corner + SIDE_MM - top[0].y, 0.0)
        top = [Vertex(v.x, v.y + more, v.bulge) for v in top]
    if top[0].y < lower + corner + SIDE_MM / 2.0 or corner >= a:
        raise GeometryError(f"no room for base corners of radius {corner:g} mm below the arch")
    left = Vertex(-a, top[0].y)
    base = [
        Vertex(-a, lower + corner, QUARTER), Vertex(-a + corner, lower), Vertex(a - corner, lower, QUARTER),
        Vertex(a, lower + corner),
    ]  # fmt: skip
    return Contour((*base, *top, left))


def _flat_top(a: float, upper: float, rise: float, shoulder: float) -> list[Vertex]:
    """Return the starts of shoulder, arch and shoulder.

    A shoulder's circle touches the side and the arch from within: with the arch's centre (0, y) and radius R its own
    centre is (a - shoulder) beside and R - shoulder away.
    """
    radius = (a * a + rise * rise) / (2.0 * rise)
    if shoulder >= a:
        raise GeometryError(f"no room for shoulders of radius {shoulder:g} mm on an arch {2.0 * a:.4g} mm wide")
    beside, away, y = a - shoulder, radius - shoulder, upper + rise - radius
    above = sqrt(max((away - beside) * (away + beside), 0.0))
    x, high = radius * beside / away, y + radius * above / away
    turn = atan2(above, beside)
    rounding = tan(turn / 4.0)
    return [Vertex(a, y + above, rounding), Vertex(x, high, tan((pi - 2.0 * turn) / 4.0)), Vertex(-x, high, rounding)]


def _spring(params: Arched, keep: Keep, halves: Floats) -> Floats:
    """Return for each half width where the arch must spring so that all points stay below it, mm."""
    rise = np.full_like(halves, params.rise) if params.rise is not None else halves
    radius = (halves**2 + rise**2) / (2.0 * rise)
    x, y = keep.points.T
    room = np.maximum((radius[:, None] - keep.margin) ** 2 - x**2, 0.0)
    highest: Floats = (y - np.sqrt(room)).max(axis=1) + radius - rise
    return highest


def _best_half(params: Arched, keep: Keep) -> float:
    """Return half the width that gives the smallest area, as far as the sampled points tell."""
    least = max(abs(keep.box.xmin), abs(keep.box.xmax)) + keep.margin
    most = float(np.hypot(*keep.points.T).max()) + keep.margin
    halves = np.linspace(least, max(least * 1.001, most), WIDTHS)
    spring = _spring(params, keep, halves)
    height = spring - (keep.box.ymin - keep.margin)
    rise = np.full_like(halves, params.rise) if params.rise is not None else halves
    areas = 2.0 * halves * np.maximum(height, keep.margin) + rise * halves * pi / 2.0
    return float(halves[int(areas.argmin())])


SHAPE = Shape("arched", Arched, draw, "A flat base, straight sides and an arched top.", family=OUTER)
