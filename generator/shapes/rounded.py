"""An outline with its inside corners and its outside corners rounded by radii of their own."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.outline import rounding
from generator.outline.contour import Contour
from generator.outline.region import Region
from generator.shapes.shape import Context, Shape


@frozen_record(kw_only=True)
class Rounded:
    """Another outline, its sharp corners rounded."""

    outline: OutlineSpec = f.outline(
        "The outline whose corners are rounded.", example={"rectangle": {"size": [80, 46]}}
    )
    inside: float = f.length(
        "Radius of every sharp corner that goes into the material.", default=0.0, at_least=0, at_most=2000, example=3
    )
    outside: float = f.length(
        "Radius of every sharp corner that sticks out of the material.",
        default=0.0,
        at_least=0,
        at_most=2000,
        example=6,
    )


def draw(params: Rounded, context: Context) -> Region:
    """Return the outline with its corners rounded; smooth joints stay as they are.

    Raises: GeometryError: a radius does not fit at a corner; names the corner and the largest that does.
    """
    return Region.of(_round(c, params) for c in context.nested(params.outline))


def _round(contour: Contour, params: Rounded) -> Contour:
    if params.outside:
        contour = rounding.rounded(contour, params.outside, concave=False)
    if params.inside:
        contour = rounding.rounded(contour, params.inside, convex=False)
    return contour


SHAPE = Shape("rounded", Rounded, draw, "An outline with inside and outside corners rounded.")
