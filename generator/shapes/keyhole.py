"""A keyhole: a round hole with a slot running out of it."""

from __future__ import annotations

from math import cos, sin

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline import combine, create
from generator.outline.region import Region
from generator.shapes.shape import Context, Shape


@frozen_record(kw_only=True)
class Keyhole:
    """A disc with a round-ended slot running out of it."""

    diameter: float = f.length("Diameter of the disc.", above=0, at_most=2000, example=14)
    width: float = f.length("Width of the slot.", above=0, at_most=2000, example=6.5)
    reach: float = f.length(
        "From the disc's centre to the centre of the slot's round end.", above=0, at_most=2000, example=16
    )
    towards: float = f.angle("Direction of the slot, counter-clockwise from the x axis.", default=0.0, example=90)
    centre: tuple[float, float] = f.point("Centre of the disc.", default=(0.0, 0.0), example=[0, 0])


def draw(params: Keyhole, context: Context) -> Region:
    """Return the keyhole.

    Raises: GeometryError: the slot is as wide as the disc, or does not leave it.
    """
    if params.width >= params.diameter:
        raise GeometryError(f"slot {params.width:g} wide out of a disc of {params.diameter:g}: width must be less")
    least = (params.diameter - params.width) / 2.0
    if params.reach <= least:
        raise GeometryError(f"the slot does not leave the disc: reach {params.reach:g} must be more than {least:g}")
    (cx, cy) = params.centre
    end = (cx + params.reach * cos(params.towards), cy + params.reach * sin(params.towards))
    disc = Region.of([create.circle(params.centre, params.diameter / 2.0)])
    return combine.union(disc, Region.of([create.slot(params.centre, end, params.width)]))


SHAPE = Shape("keyhole", Keyhole, draw, "A disc with a round-ended slot running out of it.")
