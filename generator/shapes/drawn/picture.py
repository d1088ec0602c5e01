"""An outline from a picture in two tones, such as a scanned or drawn logo."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from generator.artwork.placing import MIDDLE, Placing, placed
from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.base.units import MM_PER_INCH
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outline.transform import scaled
from generator.shapes.drawn.fitting import Fit, box_of, finder_of
from generator.shapes.shape import Context, Shape, the_one_of

if TYPE_CHECKING:
    from generator.artwork.picture import Traced


@frozen_record(kw_only=True)
class Picture:
    """A black-and-white picture traced to lines and arcs, about the middle of what it shows; give one of `width`,
    `height`, `dpi` and `fit`.
    """

    EXACTLY_ONE: ClassVar = (("width", "height", "dpi", "fit"),)

    file: str = f.file("PNG file, named relative to the recipe.", example="fox.png")
    width: float | None = f.length(
        "Width of the box round what the picture shows; empty margins do not count.",
        default=None,
        above=0,
        at_most=2000,
        example=40,
    )
    height: float | None = f.length(
        "Height of the box round what the picture shows.", default=None, above=0, at_most=2000, example=25
    )
    dpi: float | None = f.number(
        "Pixels in an inch of the real thing, as of a scan.", default=None, at_least=10, at_most=10_000, example=600
    )
    fit: Fit | None = f.record(
        Fit, "The largest size that fits into a box or an outline.", default=None, example={"box": [60, 20]}
    )
    threshold: float | None = f.number(
        "Grey value where dark ends, from 0 (black) to 1 (white); without it, midway between the dark and the light "
        "that the picture is made of.",
        default=None,
        at_least=0.01,
        at_most=0.99,
        example=0.4,
    )
    dark: bool = f.flag(
        "What is dark is the area; `false`: what is light. What is transparent is neither.", default=True, example=True
    )
    smooth: float = f.number(
        "How far the outline may leave the edges of the pixels, in pixels; more gives fewer and larger arcs.",
        default=0.5,
        at_least=0.2,
        at_most=5,
        example=0.8,
    )
    speckle: float = f.number(
        "Spots and pinholes of fewer pixels than this are left out.",
        default=6.0,
        at_least=0,
        at_most=1_000_000,
        example=20,
    )
    flipped: str = f.word(
        "Take the mirror image: `x`: in the x axis (upside down), `y`: in the y axis (left and right change sides).",
        ("x", "y"),
        default="",
        example="y",
    )


def draw(params: Picture, context: Context) -> Region:
    """Return what the picture shows, about the middle of its box.

    Raises: GeometryError: the file cannot be read, or shows nothing or too much; says what would do.
    """
    from generator.artwork.picture import PictureRules, trace  # heavy: only who traces a picture pays for it

    the_one_of(params, "width", "height", "dpi", "fit")
    rules = PictureRules(params.dark, params.threshold, params.smooth, params.speckle)
    traced = trace(context.files.read(params.file), rules)
    drawn = placed(lambda k: scaled(traced.region, k), _placing(params, context))
    mm_per_pixel = bounds(drawn).width_mm / bounds(traced.region).width_mm
    context.files.tell(params.file, _note(traced, mm_per_pixel, params))
    return drawn


def _placing(params: Picture, context: Context) -> Placing:
    return Placing(
        scale=MM_PER_INCH / params.dpi if params.dpi is not None else None,
        width=params.width,
        height=params.height,
        box=box_of(params.fit),
        into=finder_of(params.fit, context),
        flipped=params.flipped,
        origin=MIDDLE,
    )


def _note(traced: Traced, mm_per_pixel: float, params: Picture) -> str:
    edges = "in two tones, without grey edges" if traced.two_tones else "with grey edges"
    found = "as asked" if params.threshold is not None else "found in the picture"
    spots = f"; {traced.left_out} spots of fewer than {params.speckle:g} pixels left out" if traced.left_out else ""
    return (
        f"traced {edges}; dark ends at grey value {traced.level:.2f}, {found}; a pixel is {mm_per_pixel:.4g} mm{spots}"
    )


SHAPE = Shape("picture", Picture, draw, "A black-and-white PNG picture, traced to lines and arcs.")
