"""An outline from a drawing file: DXF or SVG."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from generator.artwork.placing import FILE, ORIGINS, Placing, placed
from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.region import Region
from generator.shapes.drawn.fitting import Fit, box_of, finder_of
from generator.shapes.shape import Context, Shape, given

_SIZES = ("scale", "width", "height", "fit")
_PICTURES = {b"\x89PNG": "a PNG picture", b"\xff\xd8\xff": "a JPEG picture", b"%PDF": "a PDF file"}
"""How files begin that people take for drawings."""
_DXF, _FIRST = b"SECTION", 400
"""What stands near the beginning of every DXF file, whatever it is called."""


@frozen_record(kw_only=True)
class OutlineFile:
    """An outline read from a drawing file beside the recipe, brought to size by at most one of `scale`, `width`,
    `height` and `fit`.
    """

    AT_MOST_ONE: ClassVar = (_SIZES,)

    file: str = f.file("DXF or SVG file, named relative to the recipe.", example="emblem.svg")
    layer: str = f.text(
        "Only this layer of a DXF file, or only the group or element with this id of an SVG file, whether it can be "
        "seen or not; without it, everything that is seen.",
        default="",
        example="outline",
    )
    ink: str = f.word(
        "What of an SVG file is area. `dark`: what shows dark; light over dark takes away. `all`: whatever is painted, "
        "in any colour.",
        ("dark", "all"),
        default="dark",
        example="all",
    )
    gap: float = f.length(
        "Ends of lines in a DXF file that lie within this are joined.", default=0.01, above=0, at_most=10, example=0.05
    )
    scale: float | None = f.number(
        "Enlarge the drawing by this factor.", default=None, above=0, at_most=1_000_000, example=1.5
    )
    width: float | None = f.length(
        "Width of the box round what is drawn.", default=None, above=0, at_most=5000, example=60
    )
    height: float | None = f.length(
        "Height of the box round what is drawn.", default=None, above=0, at_most=5000, example=20
    )
    fit: Fit | None = f.record(
        Fit, "The largest size that fits into a box or an outline.", default=None, example={"box": [60, 20]}
    )
    origin: str = f.word(
        "Where the drawing's origin lies. `file`: where the file has it (in an SVG file, the lower left corner of the "
        "sheet); `middle`: in the middle of the box round what is drawn. Fitted into an outline, it lies there.",
        ORIGINS,
        default=FILE,
        example="middle",
    )
    flipped: str = f.word(
        "Take the mirror image: `x`: in the x axis (upside down), `y`: in the y axis (left and right change sides).",
        ("x", "y"),
        default="",
        example="y",
    )


def draw(params: OutlineFile, context: Context) -> Region:
    """Return the region in the file at its size and place.

    Raises: GeometryError: the file cannot be read or holds no closed outline, or the size asked for cannot be had.
    """
    sizes = given(params, _SIZES)
    if len(sizes) > 1:
        raise GeometryError(
            f"{' and '.join(f'`{s}`' for s in sizes)} together say the size twice: give only one of "
            f"{', '.join(f'`{s}`' for s in _SIZES)}"
        )
    placing = _placing(params, context)
    return placed(_reader(params, context), placing)


def _placing(params: OutlineFile, context: Context) -> Placing:
    return Placing(
        scale=params.scale,
        width=params.width,
        height=params.height,
        box=box_of(params.fit),
        into=finder_of(params.fit, context),
        flipped=params.flipped,
        origin=params.origin,
    )


def _reader(params: OutlineFile, context: Context) -> Callable[[float], Region]:
    """Return what reads the file enlarged by a factor."""
    data = context.files.read(params.file)
    from generator.artwork.svg import is_svg

    named = params.file.lower().endswith((".svg", ".svgz")) and _DXF not in data[:_FIRST]
    what = next((w for mark, w in _PICTURES.items() if data.startswith(mark)), None)
    if is_svg(data) or (named and what is None):  # what is called SVG is refused as SVG
        return lambda factor: _svg(data, params, context, factor)
    if what is not None:
        raise GeometryError(f"{params.file} is {what}, not a drawing: save the outline as DXF or SVG")
    return lambda factor: _dxf(data, params, context, factor)


def _svg(data: bytes, params: OutlineFile, context: Context, factor: float) -> Region:
    from generator.artwork.svg import read_svg

    found = read_svg(data, element=params.layer or None, ink=params.ink, factor=factor, name=params.file)
    context.files.tell(params.file, "; ".join((found.unit_note, *found.left_out)))
    return found.region


def _dxf(data: bytes, params: OutlineFile, context: Context, factor: float) -> Region:
    from generator.artwork.dxf import read_dxf  # heavy: only who reads a drawing pays for it

    found = read_dxf(data, layer=params.layer or None, gap_mm=params.gap, factor=factor, name=params.file)
    left = "".join(f"; {n} {kind} left out" for kind, n in found.left_out)
    context.files.tell(params.file, found.unit_note + left)
    return found.region


SHAPE = Shape("outline_file", OutlineFile, draw, "An outline read from a DXF or SVG file.")
