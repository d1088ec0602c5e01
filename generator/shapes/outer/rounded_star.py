"""An outer shape that is a star, its points and its hollows rounded."""

from __future__ import annotations

from math import cos, pi

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.region import Region
from generator.shapes.outer.keep import Keep, circle_middle, keep_round, margin_field
from generator.shapes.outer.ring import tips_and_hollows
from generator.shapes.outer.sizes import Sizes, fitted
from generator.shapes.outer.smallest import smallest
from generator.shapes.shape import OUTER, Context, Shape

DEEP = 0.13
"""How far the hollows lie below a straight line from tip to tip, as a share of the reach (chosen by eye)."""


@frozen_record(kw_only=True)
class RoundedStar:
    """Points and hollows joined by straight lines, both rounded."""

    margin: float = margin_field()
    count: int = f.count("Number of points.", default=6, at_least=3, at_most=60, example=5)
    direction: float = f.angle("Where the first point points.", default=pi / 2.0, example=90)
    reach: float | None = f.length(
        "From the centre to the very tip of a point; without it, as small as the margin allows.",
        default=None,
        above=0,
        at_most=2000,
        example=80,
    )
    depth: float | None = f.length(
        "How far the bottoms of the hollows lie below the tips; without it, an eighth of the "
        "reach below a straight line from tip to tip.",
        default=None,
        above=0,
        at_most=1000,
        example=18,
    )
    tip_radius: float = f.length("Radius of the points.", default=4.0, above=0, at_most=500, example=3)
    hollow_radius: float = f.length(
        "Radius of the hollows; at least that of the cutter.", default=6.0, above=0, at_most=500, example=8
    )
    centre: tuple[float, float] | None = f.point(
        "Middle of the star; without it, that of the smallest circle round pocket and seats.",
        default=None,
        example=[0, 0],
    )


def draw(params: RoundedStar, context: Context) -> Region:
    """Return the star.

    Raises: GeometryError: a size is too small for the margin, or sizes do not go together; says the smallest change.
    """
    keep = keep_round(context, params.margin, turn=params.direction, centre=params.centre, middle=circle_middle)
    keys = ("count", "depth", "tip_radius", "hollow_radius")
    return fitted(params, keep, _outline, Sizes(("reach", "depth"), keys))


def _outline(params: RoundedStar, keep: Keep) -> Contour:
    if params.reach is not None:
        return _star(params, params.reach)
    return _star(params, smallest(lambda reach: _star(params, reach), keep, keep.half_mm))


def _star(params: RoundedStar, reach: float) -> Contour:
    """Return the star of a reach, mm."""
    bottom = reach - params.depth if params.depth is not None else (cos(pi / params.count) - DEEP) * reach
    if bottom <= 0.0 or reach <= params.tip_radius:
        raise GeometryError(f"hollows that lie {reach - bottom:g} mm below tips at {reach:g} mm leave no star")
    tip = reach - params.tip_radius, params.tip_radius
    return tips_and_hollows(params.count, tip, (bottom + params.hollow_radius, params.hollow_radius))


SHAPE = Shape("rounded_star", RoundedStar, draw, "A star, its points and its hollows rounded.", family=OUTER)
