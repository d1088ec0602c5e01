"""An outer shape with two straight sides and two half circles."""

from __future__ import annotations

from math import pi

import numpy as np

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.contour import Contour
from generator.outline.create import slot
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.shapes.outer.around import points_along
from generator.shapes.outer.keep import Keep, box_middle, keep_round, margin_field
from generator.shapes.outer.sizes import Sizes, fitted
from generator.shapes.outer.smallest import smallest
from generator.shapes.shape import OUTER, Context, Shape

_WIDTHS = 64
"""So many widths are compared for the smallest area."""
SAG_MM = MODEL.model_mm
"""Points that the widths are compared by stand so close that arcs bulge no more than this between them."""


@frozen_record(kw_only=True)
class Stadium:
    """A slot's outline: length over its round ends, width across."""

    margin: float = margin_field()
    direction: float | None = f.angle(
        "Direction of the straight sides; without it, along the longer side of the box round the original.",
        default=None,
        example=0,
    )
    length: float | None = f.length(
        "Over both round ends; without it, as small as the margin allows.",
        default=None,
        above=0,
        at_most=4000,
        example=130,
    )
    width: float | None = f.length(
        "Across; without it, as small as the margin allows.", default=None, above=0, at_most=4000, example=70
    )
    centre: tuple[float, float] | None = f.point(
        "Middle; without it, that of the box round pocket and seats.", default=None, example=[0, 0]
    )


def draw(params: Stadium, context: Context) -> Region:
    """Return the stadium; of all that keep the wall the one of least area, as far as sizes are not given.

    Raises: GeometryError: a size is too small for the margin; says the smallest that will do.
    """
    turn = params.direction
    if turn is None:
        box = bounds(context.pocket) if context.pocket else None
        turn = pi / 2.0 if box is not None and box.height_mm > box.width_mm else 0.0
    keep = keep_round(context, params.margin, turn=turn, centre=params.centre, middle=box_middle)
    return fitted(params, keep, _outline, Sizes(("length", "width"), ("width",), ("length", "width")))


def _outline(params: Stadium, keep: Keep) -> Contour:
    if params.length is not None and params.width is not None:
        return _stadium(params.length, params.width)
    if params.width is not None:
        width = params.width
        return _stadium(smallest(lambda length: _stadium(length, width), keep, width), width)
    if params.length is not None:
        length = params.length
        return _stadium(length, smallest(lambda w: _stadium(length, w), keep, _least_width(keep)))
    width = _best_width(keep)
    return _stadium(smallest(lambda length: _stadium(length, width), keep, width), width)


def _stadium(length: float, width: float) -> Contour:
    """Return the stadium along x, its middle the origin."""
    if length < width:
        raise GeometryError(f"its length {length:g} mm is less than its width {width:g} mm")
    half = (length - width) / 2.0
    return slot((-half, 0.0), (half, 0.0), width)


def _least_width(keep: Keep) -> float:
    return 2.0 * (max(abs(keep.box.ymin), abs(keep.box.ymax)) + keep.margin)


def _best_width(keep: Keep) -> float:
    """Return the width of the smallest area.

    The points stand so close that what bulges between them is counted in: at a place almost beside the round end's
    top a wall that lacks a little would ask for far more length.
    """
    x, y = np.abs(points_along(keep.inner, SAG_MM)).T
    margin = keep.margin + SAG_MM
    least = _least_width(keep) / 2.0
    most = max(float(np.hypot(x, y).max()) + margin, least)
    radii = np.linspace(least, most, _WIDTHS)[:, None]
    room = np.sqrt(np.maximum((radii - margin) ** 2 - y**2, 0.0))
    core = np.maximum(x - room, 0.0).max(axis=1)
    areas = np.pi * radii[:, 0] ** 2 + 4.0 * core * radii[:, 0]
    return 2.0 * float(radii[int(areas.argmin()), 0])


SHAPE = Shape("stadium", Stadium, draw, "Two straight sides and two half circles.", family=OUTER)
