"""The convex hull of outlines: a band stretched round all of them."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.outline import hull as outline_hull
from generator.outline.region import Region
from generator.shapes.shape import Context, Shape


@frozen_record(kw_only=True)
class Hull:
    """What a band stretched round several outlines encloses."""

    outlines: tuple[OutlineSpec, ...] = f.list_of(
        f.outline("One of the outlines."),
        "The outlines that the band is stretched round.",
        fewest=1,
        most=200,
        example=[{"disc": {"radius": 24}}, {"disc": {"radius": 10, "centre": [34, 0]}}],
    )


def draw(params: Hull, context: Context) -> Region:
    """Return the convex hull; arcs stay arcs, straight parts are tangent to them."""
    return Region.of([outline_hull.hull(context.nested(o) for o in params.outlines)])


SHAPE = Shape("hull", Hull, draw, "What a band stretched round several outlines encloses.")
