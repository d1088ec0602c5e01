"""A straight slot with round ends."""

from __future__ import annotations

from math import cos, sin
from typing import ClassVar

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline import create
from generator.outline.region import Region
from generator.shapes.shape import Context, Shape, given, the_one_of


@frozen_record(kw_only=True)
class Slot:
    """A slot with round ends; give `start` and `end`, or `length`."""

    EXACTLY_ONE: ClassVar = (("length", "start"),)
    AT_MOST_ONE: ClassVar = (("length", "end"),)

    width: float = f.length(
        "Width of the slot; its ends are half circles of half this.", above=0, at_most=2000, example=8
    )
    start: tuple[float, float] | None = f.point("Centre of the first round end.", default=None, example=[-6, 0])
    end: tuple[float, float] | None = f.point("Centre of the second round end.", default=None, example=[6, 0])
    length: float | None = f.length(
        "Length over the round ends, instead of start and end.",
        default=None,
        above=0,
        at_most=2000,
        example=20,
    )
    centre: tuple[float, float] = f.point("Middle of the slot, with `length`.", default=(0.0, 0.0), example=[0, 0])
    direction: float = f.angle(
        "Direction of the slot, with `length`, counter-clockwise from the x axis.", default=0.0, example=90
    )


def draw(params: Slot, context: Context) -> Region:
    """Return the slot.

    Raises: GeometryError: its place is missing or given twice, or it is shorter than wide.
    """
    if the_one_of(params, "length", "start") == "start":
        if params.start is None or params.end is None:
            raise GeometryError("a slot with `start` needs `end` as well")
        return Region.of([create.slot(params.start, params.end, params.width)])
    if given(params, ("end",)):
        raise GeometryError("`length` and `end` together: give `start` and `end`, or `length`")
    assert params.length is not None
    half = (params.length - params.width) / 2.0
    if half < 0.0:
        raise GeometryError(
            f"a slot {params.length:g} long over its round ends cannot be {params.width:g} wide: "
            f"length at least {params.width:g}"
        )
    (cx, cy), dx, dy = params.centre, half * cos(params.direction), half * sin(params.direction)
    return Region.of([create.slot((cx - dx, cy - dy), (cx + dx, cy + dy), params.width)])


SHAPE = Shape("slot", Slot, draw, "A straight slot with round ends.")
