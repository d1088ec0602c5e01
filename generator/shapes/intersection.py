"""What several outlines have in common."""

from __future__ import annotations

from functools import reduce

from generator.base import fields as f
from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.outline import combine
from generator.outline.region import Region
from generator.shapes.shape import Context, Shape


@frozen_record(kw_only=True)
class Intersection:
    """What lies in all of several outlines."""

    outlines: tuple[OutlineSpec, ...] = f.list_of(
        f.outline("One of the outlines."),
        "The outlines of which only what they share is kept.",
        fewest=2,
        most=200,
        example=[{"disc": {"radius": 30}}, {"rectangle": {"size": [80, 40]}}],
    )


def draw(params: Intersection, context: Context) -> Region:
    """Return the intersection."""
    return reduce(combine.intersection, (context.nested(o) for o in params.outlines))


SHAPE = Shape("intersection", Intersection, draw, "What several outlines have in common.")
