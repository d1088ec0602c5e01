"""A ring between two concentric circles."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline import create
from generator.outline.region import Region
from generator.shapes.shape import Context, Shape


@frozen_record(kw_only=True)
class Ring:
    """A flat ring by its two diameters."""

    outer: float = f.length("Outer diameter.", above=0, at_most=4000, example=60)
    inner: float = f.length("Inner diameter.", above=0, at_most=4000, example=40)
    centre: tuple[float, float] = f.point("Centre of the ring.", default=(0.0, 0.0), example=[0, 0])


def draw(params: Ring, context: Context) -> Region:
    """Return the ring.

    Raises: GeometryError: the inner diameter is not the smaller one.
    """
    return create.ring(params.centre, params.outer / 2.0, params.inner / 2.0)


SHAPE = Shape("ring", Ring, draw, "A flat ring between two concentric circles.")
