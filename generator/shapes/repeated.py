"""An outline repeated round a centre or in a row: notches, lugs, holes."""

from __future__ import annotations

from math import pi
from typing import ClassVar

from generator.base import fields as f
from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point
from generator.outline.many import union_of_many
from generator.outline.region import Region
from generator.outline.transform import moved, turned
from generator.shapes.budget import refuse_copies
from generator.shapes.shape import Context, Shape, the_one_of


@frozen_record(kw_only=True)
class Repeated:
    """Copies of an outline; give `around` or `step`."""

    EXACTLY_ONE: ClassVar = (("around", "step"),)

    outline: OutlineSpec = f.outline(
        "The outline to repeat.", example={"slot": {"width": 6, "start": [26, 0], "end": [40, 0]}}
    )
    count: int = f.count("How many there are in all.", at_least=1, at_most=1000, example=6)
    around: tuple[float, float] | None = f.point(
        "Centre round which the copies are turned.", default=None, example=[0, 0]
    )
    by: float | None = f.angle(
        "Angle from copy to copy, with `around`; without it, equally spaced round the full circle.",
        default=None,
        example=30,
    )
    step: tuple[float, float] | None = f.point("From copy to copy, for a row.", default=None, example=[12, 0])

    @property
    def copies(self) -> int:
        """Return how many outlines this one stands for."""
        return self.count


def draw(params: Repeated, context: Context) -> Region:
    """Return the union of all copies.

    Raises: GeometryError: neither or both of `around` and `step` are given, or the copies are too many.
    """
    the_one_of(params, "around", "step")
    refuse_copies(params.count, params.outline)
    one = context.nested(params.outline)
    context.budget.take(params.count, sum(len(c) for c in one))
    return union_of_many([_copy(params, one, i) for i in range(params.count)])


def _copy(params: Repeated, one: Region, i: int) -> Region:
    if params.around is None:
        dx, dy = params.step or (0.0, 0.0)
        return moved(one, i * dx, i * dy)
    by = 2.0 * pi / params.count if params.by is None else params.by
    return turned(one, i * by, about=Point(*params.around))


SHAPE = Shape("repeated", Repeated, draw, "Copies of an outline round a centre or in a row.")
