"""A text set: from what is written, the face and the size to one exact region, or to the ways of a cutter."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from generator.artwork.text_draw import lines_of, region_of_letters, region_of_strokes, there_and_back
from generator.artwork.text_faces import ENGRAVING, shipped_font
from generator.artwork.text_fit import Placing, largest_placing
from generator.artwork.text_font import Font, open_font
from generator.artwork.text_layout import Arc, Block, Line, font_line, placed, stacked, stroke_line
from generator.artwork.text_regions import fitting_em
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outline.transform import moved

__all__ = ["Into", "Setting", "Size", "engraving_paths", "features_doubt", "set_text"]

_CAP_WITHOUT: Final = 0.7
"""Height of a capital, as a share of the em, for fonts without capitals (chosen; near to what most fonts have)."""
_LEAST_CAP_MM: Final = 0.5
"""Smaller letters cannot be cut by any round cutter (chosen)."""
_STROKE_SHARE: Final = 0.12
"""Width of a stroke, as a share of the height of a capital, where the recipe gives none (chosen by eye)."""
_STROKE_MOST: Final = 0.34
"""With wider strokes the insides of letters close (the eye of e at a third of the height)."""

_ON_BY_THEMSELVES: Final = frozenset(
    ("abvm", "blwm", "calt", "ccmp", "clig", "curs", "dist", "kern", "liga", "locl", "mark", "mkmk", "rclt", "rlig")
)
"""Features that shaping uses unasked (OpenType's registry of features; those of joining scripts are left out)."""


@frozen_record
class Into:
    """Where letters are fitted into: a region, the margin (mm), and whether they stay in the middle of its box."""

    room: Region
    margin_mm: float
    centred: bool


@frozen_record
class Size:
    """How large; exactly one is given. Lengths in mm."""

    cap_height: float | None = None
    em: float | None = None
    width: float | None = None
    into: Into | None = None


@frozen_record(kw_only=True)
class Setting:
    """What is written, and how.

    Attributes:
        text, lines: what is written; lines instead of the text where given.
        face: word of a shipped face or ``engraving``; means nothing beside a font file.
        font: bytes of a font file; None for a face.
        member: which font of a collection, from 0.
        variation: settings of the axes.
        features: OpenType features on or off.
        align: ``left``, ``centre`` or ``right``.
        on_baseline: y = 0 is the first baseline; else the middle of all.
        letter_spacing: added between letters, in heights of a capital.
        line_spacing: between baselines, in heights of a capital.
        arc: to bend lines round.
        stroke_width_mm: of the face ``engraving``.
    """

    text: str = ""
    lines: tuple[str, ...] = ()
    face: str = "sans bold"
    font: bytes | None = None
    member: int = 0
    variation: tuple[tuple[str, float], ...] = ()
    features: Mapping[str, bool]
    align: str = "centre"
    on_baseline: bool = False
    letter_spacing: float = 0.0
    line_spacing: float = 1.6
    arc: Arc | None = None
    stroke_width_mm: float | None = None


def set_text(setting: Setting, size: Size) -> Region:
    """Return the letters as a region: outer contours counter-clockwise, holes clockwise, overlaps united.

    Raises: GeometryError: what cannot be a shape, a font that is none, or no size that fits; says what would do.
    """
    if setting.font is None and setting.face == ENGRAVING:
        letters, width = _strokes(setting, size)
        return region_of_strokes(letters, width)
    if setting.stroke_width_mm is not None:
        raise GeometryError("`stroke_width` is for the face `engraving` alone: leave it out")
    return region_of_letters(_outlined(setting, size))


def engraving_paths(setting: Setting, size: Size) -> tuple[tuple[Contour, ...], float]:
    """Return the open ways of a cutter for a text in the face ``engraving``, and the width that it leaves, mm.

    A way's last vertex is its end; what its bulge says means nothing. Ways stand in order of reading.

    Raises: GeometryError: see ``set_text``.
    """
    letters, width = _strokes(setting, size)
    return tuple(path for letter in letters for path in letter), width


def features_doubt(setting: Setting) -> str:
    """Return what to tell of features that the font does not have, and that change nothing; empty if it has them.

    What is switched off and is on only by itself, such as ligatures, needs not be there.
    """
    if not setting.features or (setting.font is None and setting.face == ENGRAVING):
        return ""
    there = open_font(_font_file(setting), setting.member, setting.variation).features
    lacking = [t for t, on in setting.features.items() if t not in there and (on or t not in _ON_BY_THEMSELVES)]
    if not lacking:
        return ""
    has = ", ".join(f"`{t}`" for t in sorted(there)) or "none"
    which = "font" if setting.font is not None else f"face `{setting.face}`"
    return f"the {which} has no feature {' and '.join(f'`{t}`' for t in lacking)}, which changes nothing; it has: {has}"


# ------------------------------------------------------------------ fonts
def _outlined(setting: Setting, size: Size) -> list[list[Contour]]:
    font = open_font(_font_file(setting), setting.member, setting.variation)
    cap = font.cap_height
    if size.cap_height is not None:
        if cap is None:
            raise GeometryError("the font has no capitals to measure `cap_height` on: give `em` instead")
        em = size.cap_height / cap
        return _at_em(setting, font, em)
    if size.em is not None:
        return _at_em(setting, font, size.em)
    if size.width is not None:
        return _at_width(setting, font, size.width)
    assert size.into is not None
    return _fitted(setting, font, size.into)


def _font_file(setting: Setting) -> bytes:
    return shipped_font(setting.face) if setting.font is None else setting.font


def _block(setting: Setting, font: Font, em_mm: float) -> Block:
    """Return the text laid out at an em."""
    cap = em_mm * (font.cap_height or _CAP_WITHOUT)
    lines = [
        font_line(font, line, em_mm, setting.letter_spacing * cap, setting.features)
        for line in lines_of(setting.text, setting.lines)
    ]
    return _stacked(setting, lines, setting.line_spacing * cap)


def _stacked(setting: Setting, lines: list[Line], step_mm: float) -> Block:
    return stacked(lines, setting.align, step_mm, on_baseline=setting.on_baseline)


def _at_em(setting: Setting, font: Font, em_mm: float) -> list[list[Contour]]:
    _refuse_small(em_mm * (font.cap_height or _CAP_WITHOUT))
    layout = fitting_em(em_mm)
    return placed(_block(setting, font, layout), em_mm / layout, setting.arc)


def _at_width(setting: Setting, font: Font, width_mm: float) -> list[list[Contour]]:
    layout = fitting_em(width_mm / max(1, max(map(len, lines_of(setting.text, setting.lines)))))
    for _ in range(3):
        block = _block(setting, font, layout)
        factor = width_mm / block.box.width_mm
        right = fitting_em(layout * factor)
        if right == layout:
            break
        layout = right
    _refuse_small(layout * factor * (font.cap_height or _CAP_WITHOUT))
    return placed(block, factor, setting.arc)


def _fitted(setting: Setting, font: Font, into: Into) -> list[list[Contour]]:
    """Return the letters at the largest size that fits; laid out anew once that is known roughly."""
    box = bounds(into.room)
    layout = fitting_em(max(min(box.width_mm, box.height_mm) / 8.0, _LEAST_CAP_MM))
    rough = _placing(_block(setting, font, layout), into, roughly=True)
    laid_out, layout = layout, fitting_em(1.01 * layout * rough.factor)
    block = _block(setting, font, layout)
    placing = _placing(block, into, near=rough._replace(factor=rough.factor * laid_out / layout))
    _refuse_small(layout * placing.factor * (font.cap_height or _CAP_WITHOUT))
    return _moved_to(block, placing.factor, (placing.x, placing.y))


def _placing(block: Block, into: Into, *, roughly: bool = False, near: Placing | None = None) -> Placing:
    contours = [c for letter in placed(block, 1.0) for c in letter]
    return largest_placing(
        contours, into.room, into.margin_mm, centred=into.centred, is_area=True, roughly=roughly, near=near
    )


def _moved_to(block: Block, factor: float, to: tuple[float, float]) -> list[list[Contour]]:
    middle = block.box.centre
    dx, dy = to[0] - factor * middle.x, to[1] - factor * middle.y
    return [[moved(c, dx, dy) for c in letter] for letter in placed(block, factor)]


def _refuse_small(cap_mm: float) -> None:
    if cap_mm < _LEAST_CAP_MM:
        raise GeometryError(
            f"the letters come out {cap_mm:.3g} mm high, too small for any cutter; at least {_LEAST_CAP_MM} mm: fewer "
            "letters, or more room"
        )


# ------------------------------------------------------------------ single strokes
def _strokes(setting: Setting, size: Size) -> tuple[list[list[Contour]], float]:
    """Return the open ways of every letter and the width of the stroke."""
    if size.em is not None:
        raise GeometryError("the face `engraving` has no em: give `cap_height` instead")
    if setting.variation or setting.features:
        raise GeometryError("the face `engraving` has no axes and no features: leave `variation` and `features` out")
    lines = [stroke_line(line, 1.0, setting.letter_spacing) for line in lines_of(setting.text, setting.lines)]
    block = _stacked(setting, lines, setting.line_spacing)
    if size.into is not None:
        return _strokes_fitted(setting, block, size.into)
    factor, width = _stroke_size(setting, block, size)
    _refuse_wide(factor, width)
    return placed(block, factor, setting.arc), width


def _stroke_size(setting: Setting, block: Block, size: Size) -> tuple[float, float]:
    """Return the height of the ways of a capital and the width of the stroke, mm."""
    own = setting.stroke_width_mm
    if size.cap_height is not None:
        width = own if own is not None else _STROKE_SHARE * size.cap_height
        return size.cap_height - width, width
    assert size.width is not None
    # a width w and a height h of the ways: extent * h + w = width, and w = share * (h + w) where none is given
    extent = block.box.width_mm
    share = _STROKE_SHARE / (1.0 - _STROKE_SHARE)
    height = (size.width - own) / extent if own is not None and extent else size.width / (extent + share)
    return height, own if own is not None else share * height


def _strokes_fitted(setting: Setting, block: Block, into: Into) -> tuple[list[list[Contour]], float]:
    contours = [there_and_back(c) for letter in placed(block, 1.0) for c in letter]
    width = setting.stroke_width_mm
    if width is None:
        raise GeometryError("`fit` with the face `engraving` needs the cutter's width: give `stroke_width`")
    clear = into.margin_mm + width / 2.0
    placing = largest_placing(contours, into.room, clear, centred=into.centred, is_area=False)
    _refuse_wide(placing.factor, width)
    return _moved_to(block, placing.factor, (placing.x, placing.y)), width


def _refuse_wide(height_mm: float, width_mm: float) -> None:
    cap = height_mm + width_mm
    if height_mm <= 0.0 or width_mm > _STROKE_MOST * cap:
        raise GeometryError(
            f"strokes {width_mm:.4g} wide close the insides of letters {max(cap, 0.0):.4g} high; stroke_width: at most "
            f"{max(_STROKE_MOST * cap, 0.0):.3g}, or letters at least {width_mm / _STROKE_MOST:.4g} high"
        )
    _refuse_small(cap)
