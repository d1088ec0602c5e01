"""Several outlines united."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.outline import combine
from generator.outline.region import Region
from generator.shapes.shape import Context, Shape


@frozen_record(kw_only=True)
class Union:
    """Everything that lies in at least one of several outlines."""

    outlines: tuple[OutlineSpec, ...] = f.list_of(
        f.outline("One of the outlines."),
        "The outlines to unite.",
        fewest=1,
        most=200,
        example=[{"disc": {"radius": 20}}, {"rectangle": {"size": [60, 10]}}],
    )


def draw(params: Union, context: Context) -> Region:
    """Return the union."""
    return combine.union(*(context.nested(o) for o in params.outlines))


SHAPE = Shape("union", Union, draw, "Several outlines united into one.")
