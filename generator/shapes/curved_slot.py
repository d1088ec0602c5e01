"""A slot or strap of constant width along an arc: the kidney slot."""

from __future__ import annotations

from math import pi

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline import create
from generator.outline.region import Region
from generator.shapes.shape import Context, Shape


@frozen_record(kw_only=True)
class CurvedSlot:
    """A band with round ends along an arc about a centre."""

    centre: tuple[float, float] = f.point("Centre of the arc.", default=(0.0, 0.0), example=[0, -40])
    radius: float = f.length("Radius of the middle line.", above=0, at_most=2000, example=40)
    start: float = f.angle("Direction of the first round end's centre, counter-clockwise from the x axis.", example=40)
    end: float = f.angle(
        "Direction of the second round end's centre; the slot runs counter-clockwise from start to end.",
        example=140,
    )
    width: float = f.length(
        "Width of the slot; its ends are half circles of half this.", above=0, at_most=2000, example=18
    )


def draw(params: CurvedSlot, context: Context) -> Region:
    """Return the slot.

    Raises: GeometryError: the slot is too wide for its arc, or its ends meet.
    """
    sweep = (params.end - params.start) % (2.0 * pi)
    return Region.of([create.arc_slot(params.centre, params.radius, params.start, sweep, params.width)])


SHAPE = Shape("curved_slot", CurvedSlot, draw, "A slot of constant width along an arc, with round ends.")
