"""The key `fit` of drawings and pictures: the largest size that goes into a box or an outline."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.outline.region import Region
from generator.shapes.shape import Context


@frozen_record(kw_only=True)
class Fit:
    """The largest size that fits into a box or an outline."""

    AT_MOST_ONE: ClassVar = (("box", "outline"),)

    box: tuple[float, float] | None = f.point(
        "Width and height that the drawing must not exceed.", default=None, example=[60, 20]
    )
    outline: OutlineSpec | None = f.outline(
        "What to fit into, where it lies; without it and without `box`, the outline of the inlay that the drawing is "
        "for.",
        default=None,
        example={"rectangle": {"size": [60, 20], "radius": 3}},
    )
    margin: float = f.length(
        "Least distance between the drawing and the outline, all round; a box has none.",
        default=1.0,
        above=0,
        at_most=500,
        example=2,
    )
    centred: bool = f.flag(
        "Keep the middle of the drawing in the middle of the outline's box; else it goes where it can be largest.",
        default=False,
        example=True,
    )


def box_of(fit: Fit | None) -> tuple[float, float] | None:
    """Return width and height, mm, of the box that `fit` names, if it names one.

    Raises: GeometryError: it has no width or no height.
    """
    box = fit.box if fit is not None else None
    if box is not None and min(box) <= 0.0:
        raise GeometryError(f"the box of `fit` is {box[0]:g} by {box[1]:g}: both must be more than 0")
    return box


def finder_of(fit: Fit | None, context: Context) -> Callable[[Region], tuple[float, float, float]] | None:
    """Return what finds factor and middle, mm, of the largest place in an outline; None where `fit` asks for none.

    Raises: GeometryError: there is nothing to fit into.
    """
    if fit is None or fit.box is not None:
        return None
    from generator.artwork.text_fit import largest_placing

    room = context.nested(fit.outline) if fit.outline is not None else context.room
    if room is None:
        raise GeometryError("`fit` has nothing to fit into here: give it a `box` or an `outline`, or use `width`")

    def find(drawing: Region) -> tuple[float, float, float]:
        try:
            at = largest_placing(drawing.contours, room, fit.margin, centred=fit.centred, is_area=True)
        except GeometryError as error:
            raise GeometryError(
                f"the drawing fits nowhere with a margin of {fit.margin:g}: give a smaller `margin` or a larger outline"
            ) from error
        return at.factor, at.x, at.y

    return find
