"""An ellipse, made of arcs."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.fit import ellipse
from generator.outline.region import Region
from generator.shapes.shape import Context, Shape


@frozen_record(kw_only=True)
class Ellipse:
    """An ellipse by its half axes, drawn with tangent arcs that stay within 2 µm of it."""

    half_width: float = f.length("Half axis along x.", above=0, at_most=2000, example=40)
    half_height: float = f.length("Half axis along y.", above=0, at_most=2000, example=25)
    centre: tuple[float, float] = f.point("Centre of the ellipse.", default=(0.0, 0.0), example=[0, 0])


def draw(params: Ellipse, context: Context) -> Region:
    """Return the ellipse."""
    return Region.of([ellipse(params.centre, params.half_width, params.half_height)])


SHAPE = Shape("ellipse", Ellipse, draw, "An ellipse by its half axes, made of arcs.")
