"""One outline less others."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.outline import combine
from generator.outline.region import Region
from generator.shapes.shape import Context, Shape


@frozen_record(kw_only=True)
class Difference:
    """What is left of one outline when others are taken away."""

    outline: OutlineSpec = f.outline("The outline to take from.", example={"disc": {"radius": 30}})
    less: tuple[OutlineSpec, ...] = f.list_of(
        f.outline("One of the outlines."),
        "The outlines to take away.",
        fewest=1,
        most=200,
        example=[{"slot": {"width": 10, "start": [0, 28], "end": [0, 40]}}],
    )


def draw(params: Difference, context: Context) -> Region:
    """Return the difference."""
    return combine.difference(context.nested(params.outline), *(context.nested(o) for o in params.less))


SHAPE = Shape("difference", Difference, draw, "One outline less others.")
