"""The outer shape that follows the original at an even distance."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.hull import hull
from generator.outline.measure import signed_area
from generator.outline.offset import offset_region
from generator.outline.opening import closing
from generator.outline.predicates import is_convex
from generator.outline.region import Region
from generator.shapes.outer.around import to_enclose
from generator.shapes.outer.remedies import Verdict
from generator.shapes.outer.sizes import Sizes, refused
from generator.shapes.shape import OUTER, Context, Shape


@frozen_record(kw_only=True)
class EvenMargin:
    """The pocket grown by a margin, smooth all round."""

    margin: float = f.length(
        "Wall left round the bottom pocket, and round every bolt seat.", above=0, at_most=500, example=6
    )
    fill_hollows: float = f.length(
        "Hollows that a disc of this radius cannot enter are filled, so that no inside corner is sharper than it; 0 "
        "leaves them as they come.",
        default=3.0,
        at_least=0,
        at_most=2000,
        example=20,
    )
    hull: bool = f.flag(
        "Follow a band stretched round the original instead: no hollows at all.", default=False, example=True
    )


def draw(params: EvenMargin, context: Context) -> Region:
    """Return everything within ``margin`` of the pocket and the seats; openings are not part of it.

    Raises: GeometryError: it falls into several pieces; says the margin at which they are one.
    """
    inner = to_enclose(context)
    if params.hull:
        inner = Region.of([hull([inner])])
    outer = _pieces(params, inner)
    if len(outer) > 1:
        why = f"with a margin of {params.margin:g} mm the outer shape falls into {len(outer)} pieces: use `hull: true`"
        sizes = Sizes(("margin", "fill_hollows"))
        raise refused(why, params, lambda record: Verdict.of(len(_pieces(record, inner)) == 1), sizes)
    return Region.of(outer)


def _pieces(params: EvenMargin, inner: Region) -> list[Contour]:
    grown = offset_region(inner, params.margin)
    if params.fill_hollows and not all(is_convex(c) for c in grown):
        grown = closing(grown, params.fill_hollows)
    return [c for c in grown if signed_area(c) > 0.0]


SHAPE = Shape(
    "even_margin",
    EvenMargin,
    draw,
    "Follows the original at an even distance, smooth all round.",
    family=OUTER,
)
