"""An outer shape of round lobes in a ring, joined by round hollows."""

from __future__ import annotations

from math import pi, sin

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.region import Region
from generator.shapes.outer.keep import Keep, circle_middle, keep_round, margin_field
from generator.shapes.outer.ring import tip_radius, tips_and_hollows
from generator.shapes.outer.sizes import Sizes, fitted
from generator.shapes.outer.smallest import smallest
from generator.shapes.shape import OUTER, Context, Shape

DEEP = 0.12
"""Depth of the hollows as a share of the reach, where it is not given (chosen by eye)."""
TIGHT = 0.3
"""Radius of the hollows as a share of half the distance of two lobes, where it is not given (chosen by eye)."""


@frozen_record(kw_only=True)
class Rosette:
    """Lobes and hollows, all arcs, tangent to each other."""

    margin: float = margin_field()
    count: int = f.count("Number of lobes.", default=8, at_least=3, at_most=60, example=6)
    direction: float = f.angle("Where the first lobe points.", default=pi / 2.0, example=90)
    reach: float | None = f.length(
        "From the centre to the outermost point of a lobe; without it, as small as the margin allows.",
        default=None,
        above=0,
        at_most=2000,
        example=64,
    )
    depth: float | None = f.length(
        "How far the bottoms of the hollows lie below the lobes' outermost points; without it, an eighth of the reach.",
        default=None,
        above=0,
        at_most=500,
        example=7,
    )
    hollow_radius: float | None = f.length(
        "Radius of the hollows between the lobes; without it, one that suits the lobes.",
        default=None,
        above=0,
        at_most=500,
        example=6,
    )
    centre: tuple[float, float] | None = f.point(
        "Middle of the ring; without it, that of the smallest circle round pocket and seats.",
        default=None,
        example=[0, 0],
    )


def draw(params: Rosette, context: Context) -> Region:
    """Return the rosette.

    Raises: GeometryError: a size is too small for the margin, or sizes do not go together; says the smallest change.
    """
    keep = keep_round(context, params.margin, turn=params.direction, centre=params.centre, middle=circle_middle)
    shrink = ("count", "depth", "hollow_radius")
    return fitted(params, keep, _outline, Sizes(("reach", "depth", "hollow_radius"), shrink))


def _outline(params: Rosette, keep: Keep) -> Contour:
    if params.reach is not None:
        return _ring(params, params.reach)
    return _ring(params, smallest(lambda reach: _ring(params, reach), keep, keep.half_mm))


def _ring(params: Rosette, reach: float) -> Contour:
    """Return the rosette of a reach, mm."""
    bottom = reach - (params.depth if params.depth is not None else DEEP * reach)
    hollow = params.hollow_radius if params.hollow_radius is not None else TIGHT * reach * sin(pi / params.count)
    lobe = tip_radius(reach, bottom, hollow, params.count)
    return tips_and_hollows(params.count, (reach - lobe, lobe), (bottom + hollow, hollow))


SHAPE = Shape("rosette", Rosette, draw, "Round lobes in a ring, joined by round hollows.", family=OUTER)
