"""Letters: a text in a face that comes with the program, in a font file, or in single strokes for a fine cutter."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot, pi
from types import MappingProxyType
from typing import Any, ClassVar

from generator.artwork.text_draw import lines_of
from generator.artwork.text_faces import FACE_WORDS
from generator.artwork.text_layout import ALIGNMENTS, Arc
from generator.artwork.text_setting import Into, Setting, Size, features_doubt, set_text
from generator.artwork.text_tables import file_sum_doubt
from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.shapes.shape import Context, NoRoomError, Shape, the_one_of

OUTWARDS, INWARDS = "outwards", "inwards"
MIDDLE, BASELINE = "middle", "baseline"
FAR_TOO_LARGE = 2.0
"""Letters so many times as long as what they are drawn for is from corner to corner are no drawing for it (chosen)."""
NOTHING: Mapping[str, Any] = MappingProxyType({})


@frozen_record(kw_only=True)
class TextFit:
    """The largest size that fits into an outline."""

    margin: float = f.length(
        "Least distance between the letters and the outline, all round.", above=0, at_most=500, example=1.5
    )
    outline: OutlineSpec | None = f.outline(
        "What to fit into, where it lies; without it, the outline of the inlay that the text is drawn for.",
        default=None,
        example={"rectangle": {"size": [60, 14], "radius": 3}},
    )
    centred: bool = f.flag(
        "Keep the middle of the letters in the middle of the outline's box; else they go where they can be largest.",
        default=False,
        example=True,
    )


@frozen_record(kw_only=True)
class TextArc:
    """An arc that the baseline follows."""

    radius: float = f.length("Radius of the first line's baseline.", above=0, at_most=2000, example=30)
    centre: tuple[float, float] = f.point("Centre of the arc.", default=(0.0, 0.0), example=[0, 0])
    direction: float | None = f.angle(
        "Where the line is anchored, seen from the centre: its middle, or its start or end as `align` says; without "
        "it, above the centre if heads point outwards, below it if inwards.",
        default=None,
        example=90,
    )
    heads: str = f.word(
        "`outwards`: heads away from the centre, read clockwise; `inwards`: heads towards it, read counter-clockwise.",
        (OUTWARDS, INWARDS),
        default=OUTWARDS,
        example=INWARDS,
    )


@frozen_record(kw_only=True)
class Text:
    """Letters as an outline."""

    EXACTLY_ONE: ClassVar = (("say", "lines"), ("cap_height", "em", "width", "fit"))
    AT_MOST_ONE: ClassVar = (("face", "font"), ("fit", "along"))

    say: str = f.text(
        "What is written; `{name}` is replaced by that parameter. A block (`|`) of several lines is several lines.",
        default="",
        example="Plot 21",
    )
    lines: tuple[str, ...] = f.list_of(
        f.text("A line.", example="Garden gate"),
        "Several lines, instead of `say`.",
        default=(),
        most=40,
        example=["Garden gate", "north"],
    )
    face: str = f.word(
        "A face that comes with the program: DejaVu by its style, or `engraving`, single strokes for a fine cutter; "
        "without it, and without a `font`, `sans bold`.",
        FACE_WORDS,
        default="",
        example="serif bold",
    )
    font: str = f.file(
        "Font file (TTF, OTF or TTC) instead of a face, named relative to the recipe.",
        default="",
        example="letters.ttf",
    )
    member: int = f.count("Which font of a collection (TTC).", default=1, at_least=1, at_most=256, example=2)
    variation: Mapping[str, float] = f.map_of(
        f.number("Setting of the axis.", example=650),
        "Settings of the axes of a variable font, by their tags.",
        default=NOTHING,
        most=16,
        example={"wght": 650},
    )
    features: Mapping[str, bool] = f.map_of(
        f.flag("On or off.", example=False),
        "OpenType features switched on or off, by their tags.",
        default=NOTHING,
        most=40,
        example={"liga": False},
    )
    cap_height: float | None = f.length(
        "Height of a capital H, the cutter's width included.", default=None, above=0, at_most=1000, example=8
    )
    em: float | None = f.length(
        "Size by the em of the font, for fonts without capitals.", default=None, above=0, at_most=2000, example=11
    )
    width: float | None = f.length(
        "Width of the longest line, from its first to its last edge.", default=None, above=0, at_most=2000, example=60
    )
    fit: TextFit | None = f.record(TextFit, "The largest size that fits into an outline.", default=None)
    align: str = f.word(
        "How lines stand to each other, and which point of them lies at x = 0.",
        ALIGNMENTS,
        default="centre",
        example="left",
    )
    origin: str = f.word(
        "What lies at y = 0: the `middle` between the highest and the lowest point, or the first line's `baseline`.",
        (MIDDLE, BASELINE),
        default=MIDDLE,
        example=BASELINE,
    )
    letter_spacing: float = f.number(
        "Added between letters, as a share of the height of a capital; negative for closer.",
        default=0.0,
        at_least=-0.5,
        at_most=5,
        example=0.1,
    )
    line_spacing: float = f.number(
        "From one baseline to the next, as a multiple of the height of a capital.",
        default=1.6,
        above=0,
        at_most=20,
        example=1.5,
    )
    along: TextArc | None = f.record(TextArc, "An arc that the letters follow.", default=None)
    stroke_width: float | None = f.length(
        "Width that the cutter leaves (face `engraving` only).", default=None, above=0, at_most=50, example=0.4
    )


def draw(params: Text, context: Context) -> Region:
    """Return the letters as a region, overlaps united.

    Raises: GeometryError: what cannot be a shape, a font that is none, or letters that fit nowhere; says what would do.
    """
    if params.say or params.lines:  # else it is empty, which is told where it is read
        the_one_of(params, "say", "lines")
    the_one_of(params, "cap_height", "em", "width", "fit")
    if params.font and params.face:
        raise GeometryError("`face` and `font` together say it twice: give only one of them")
    if params.fit is not None and params.along is not None:
        raise GeometryError("`fit` does not go with `along`: give `cap_height` or `width` instead")
    size = Size(params.cap_height, params.em, params.width, _into(params.fit, context))
    setting = _setting(params, context)
    region = set_text(setting, size)
    _refuse_far_too_large(region, params, context)
    _tell_doubts(params, setting, context)
    return region


def _setting(params: Text, context: Context) -> Setting:
    return Setting(
        text=params.say,
        lines=params.lines,
        face=params.face or "sans bold",
        font=context.files.read(params.font) if params.font else None,
        member=params.member - 1,
        variation=tuple(sorted(params.variation.items())),
        features=params.features,
        align=params.align,
        on_baseline=params.origin == BASELINE or params.along is not None,
        letter_spacing=params.letter_spacing,
        line_spacing=params.line_spacing,
        arc=_arc(params.along),
        stroke_width_mm=params.stroke_width,
    )


def _refuse_far_too_large(region: Region, params: Text, context: Context) -> None:
    """Refuse letters that are far longer than what they are drawn for, before long work is done on them.

    What is only somewhat too long is drawn: the checks say by how much it stands over.
    """
    if not context.room or not region:
        return
    box, room = bounds(region), bounds(context.room)
    longest, across = max(box.width_mm, box.height_mm), hypot(room.width_mm, room.height_mm)
    if longest <= FAR_TOO_LARGE * across:
        return
    characters = max(map(len, lines_of(params.say, params.lines)))
    raise GeometryError(
        f"the text is {longest:.1f} mm long; what it is drawn for is only {across:.1f} mm from corner to corner: write "
        f"at most about {max(1, int(characters * across / longest))} characters a line, or draw them smaller"
    )


def _tell_doubts(params: Text, setting: Setting, context: Context) -> None:
    """Keep what is doubtful about the font or the face, and about what is asked of it, for the report."""
    doubts = (file_sum_doubt(setting.font) if setting.font is not None else "", features_doubt(setting))
    if any(doubts):
        context.files.tell(params.font or f"text in {setting.face}", "; ".join(filter(None, doubts)))


def _arc(along: TextArc | None) -> Arc | None:
    if along is None:
        return None
    outwards = along.heads == OUTWARDS
    upright = pi / 2.0 if outwards else -pi / 2.0
    return Arc(along.centre, along.radius, upright if along.direction is None else along.direction, outwards)


def _into(fit: TextFit | None, context: Context) -> Into | None:
    if fit is None:
        return None
    room = context.nested(fit.outline) if fit.outline is not None else context.room
    if room is None:
        raise NoRoomError("`fit` has nothing to fit into here: give it an `outline`, or use `cap_height` or `width`")
    return Into(room, fit.margin, fit.centred)


SHAPE = Shape("text", Text, draw, "Letters, in a face that comes with the program, a font file, or single strokes.")
