"""Lines of letters placed: side by side, one line below the other, or round an arc.

Letters are laid out at a *layout size* and scaled to their final size afterwards, so that a size can be sought without
laying them out again. All figures here are mm at the layout size; what belongs to the final size says so.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from math import cos, pi, sin
from typing import Final

import numpy as np

from generator.artwork.text_font import Font
from generator.artwork.text_regions import glyph_region
from generator.artwork.text_shaping import JOINED_SCRIPTS, ShapedGlyph, shape_line
from generator.artwork.text_strokes import stroke_letters
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, next_rows
from generator.outline.measure import Bounds, arc_reaches
from generator.outline.region import Region
from generator.outline.transform import moved, scaled, turned

__all__ = ["ALIGNMENTS", "Arc", "Block", "Letter", "Line", "font_line", "inked", "placed", "stacked", "stroke_line"]

ALIGNMENTS: Final = ("left", "centre", "right")
_KEPT: Final = 500
"""Letters at hand where they stand in their clusters."""
_ROUND_WHEN_SPACED: Final = ("liga", "clig")
"""Ligatures are left out where letters are spaced, common practice; a spaced ``fi`` would stay close."""


@frozen_record
class Letter:
    """A letter with its marks, or a ligature: what is placed, and turned on an arc, as one.

    Attributes:
        x, y: where its origin lies.
        middle: where the middle of its advance lies, from its origin: what stands square to an arc.
        contours: closed ones of its region, or the open ways of its strokes, about its origin.
    """

    x: float
    y: float
    middle: float
    contours: tuple[Contour, ...]


@frozen_record
class Line:
    """One line, its letters from left to right, at the baseline y = 0.

    Attributes:
        letters: without blanks.
        is_joined: its letters hang together, so that it cannot be spaced or bent.
    """

    letters: tuple[Letter, ...]
    is_joined: bool = False


@frozen_record
class Block:
    """Lines placed.

    Attributes:
        lines: their letters where they stand.
        box: round all contours.
    """

    lines: tuple[Line, ...]
    box: Bounds


# ------------------------------------------------------------------ one line
def font_line(font: Font, text: str, em_mm: float, spacing_mm: float, features: Mapping[str, bool]) -> Line:
    """Return a line of a font's letters at the layout size ``em_mm``.

    Args:
        font: opened.
        text: without line breaks.
        em_mm: layout size.
        spacing_mm: added between letters.
        features: OpenType features switched on or off.
    Raises: GeometryError: what cannot be a shape; see ``shape_line``.
    """
    chosen = dict.fromkeys(_ROUND_WHEN_SPACED, False) | dict(features) if spacing_mm else dict(features)
    shaped = shape_line(font, text, chosen)
    joined = bool(shaped.scripts & JOINED_SCRIPTS)
    if spacing_mm and joined:
        raise GeometryError("letters of this script hang together and cannot be spaced: leave `letter_spacing` out")
    letters = []
    for k, cluster in enumerate(_clusters(shaped.glyphs)):
        origin = min(g.x for g in cluster if g.advance or len(cluster) == 1) if any(g.advance for g in cluster) else 0.0
        contours = tuple(c for g in cluster for c in _glyph_contours(font, g, origin, em_mm))
        middle = sum(g.advance for g in cluster) / 2.0 * em_mm
        if contours:
            letters.append(Letter(origin * em_mm + k * spacing_mm, 0.0, middle, contours))
    return Line(tuple(letters), joined)


def _clusters(glyphs: Sequence[ShapedGlyph]) -> list[list[ShapedGlyph]]:
    out: list[list[ShapedGlyph]] = []
    for glyph in glyphs:
        if out and out[-1][0].cluster == glyph.cluster:
            out[-1].append(glyph)
        else:
            out.append([glyph])
    return out


def _glyph_contours(font: Font, glyph: ShapedGlyph, origin: float, em_mm: float) -> Region:
    return _glyph_at(font, glyph.glyph, em_mm, (glyph.x - origin) * em_mm, glyph.y * em_mm)


@lru_cache(maxsize=_KEPT)
def _glyph_at(font: Font, glyph: int, em_mm: float, x: float, y: float) -> Region:
    """Return a glyph in its cluster: the same letter comes again, as a rule where the cluster begins."""
    return moved(glyph_region(font, glyph, em_mm), x, y)


def stroke_line(text: str, cap_mm: float, spacing_mm: float) -> Line:
    """Return a line of the face ``engraving`` at the layout size ``cap_mm``: letters as open ways.

    Raises: GeometryError: a character that the face lacks.
    """
    letters = []
    for k, letter in enumerate(stroke_letters(text)[0]):
        paths = tuple(scaled(p, cap_mm) for p in letter.paths)
        letters.append(Letter(letter.at * cap_mm + k * spacing_mm, 0.0, letter.width * cap_mm / 2.0, paths))
    return Line(tuple(letters))


# ------------------------------------------------------------------ lines
def inked(line: Line) -> Bounds:
    """Return the box round a line's contours.

    Raises: GeometryError: the line is blank.
    """
    arrays = [np.add(c.array, (letter.x, letter.y, 0.0)) for letter in line.letters for c in letter.contours if len(c)]
    if not arrays:
        raise GeometryError("a blank line has no bounds")
    ends = np.concatenate([next_rows(a[:, :2]) for a in arrays])
    right, up, left, down = (float(r.max()) for r in arc_reaches(np.concatenate(arrays), ends))
    return Bounds(-left, -down, right, up)


def stacked(lines: Sequence[Line], align: str, line_step_mm: float, *, on_baseline: bool) -> Block:
    """Return lines one below the other, aligned by what is drawn of them (blanks at their ends count for nothing).

    Args:
        lines: blank ones keep their place.
        align: ``left``: all begin at x = 0; ``right``: all end there; ``centre``: all have their middle there.
        line_step_mm: from one baseline to the next.
        on_baseline: y = 0 is the first line's baseline; else the middle between the highest and the lowest point.
    Raises: GeometryError: there are only blanks.
    """
    both = [_aligned(line, align, -k * line_step_mm) for k, line in enumerate(lines) if line.letters]
    at = [line for line, _ in both]
    if not at:
        raise GeometryError("the text has only blanks: write something in `say`, or leave the outline out")
    boxes = [b for _, b in both]
    box = Bounds(
        min(b.xmin for b in boxes), min(b.ymin for b in boxes), max(b.xmax for b in boxes), max(b.ymax for b in boxes)
    )
    if on_baseline:
        return Block(tuple(at), box)
    up = -box.centre.y
    return Block(tuple(_shifted(line, 0.0, up) for line in at), box._replace(ymin=box.ymin + up, ymax=box.ymax + up))


def _aligned(line: Line, align: str, y: float) -> tuple[Line, Bounds]:
    """Return the line moved to where it belongs and the box round it there; it is measured once."""
    box = inked(line)
    dx = -{"left": box.xmin, "centre": box.centre.x, "right": box.xmax}[align]
    there = Bounds(box.xmin + dx, box.ymin + y, box.xmax + dx, box.ymax + y)
    return _shifted(line, dx, y), there


def _shifted(line: Line, dx: float, dy: float) -> Line:
    return replace(line, letters=tuple(replace(a, x=a.x + dx, y=a.y + dy) for a in line.letters))


# ------------------------------------------------------------------ the final size
@frozen_record
class Arc:
    """The circle that baselines follow, at the final size.

    Attributes:
        centre: mm.
        radius: of the first line's baseline, mm.
        angle: where the line is anchored, radians.
        outwards: heads away from the centre, read clockwise; else heads towards it, read counter-clockwise.
    """

    centre: tuple[float, float]
    radius: float
    angle: float
    outwards: bool


Placing = Callable[[Letter, Contour], Contour]


def placed(block: Block, factor: float, arc: Arc | None = None) -> list[list[Contour]]:
    """Return the contours of every letter at the final size, ``factor`` times the layout size.

    Args:
        block: at the layout size, its first baseline at y = 0 if there is an arc.
        factor: final size over layout size.
        arc: to bend the lines round; letters stand square to it and keep their shape.
    Raises: GeometryError: the lines do not go round the arc; says the smallest radius that will do.
    """
    if arc is not None:
        _refuse_tight(block, factor, arc)
    return [[_at(letter, c, factor, arc) for c in letter.contours] for line in block.lines for letter in line.letters]


def _at(letter: Letter, contour: Contour, factor: float, arc: Arc | None) -> Contour:
    if arc is None:
        return moved(scaled(contour, factor), factor * letter.x, factor * letter.y)
    along = factor * (letter.x + letter.middle)
    way = -1.0 if arc.outwards else 1.0
    angle = arc.angle + way * along / arc.radius
    radius = arc.radius - way * factor * letter.y
    centred = moved(scaled(contour, factor), -factor * letter.middle, 0.0)
    upright = turned(centred, angle + way * pi / 2.0)
    return moved(upright, arc.centre[0] + radius * cos(angle), arc.centre[1] + radius * sin(angle))


def _refuse_tight(block: Block, factor: float, arc: Arc) -> None:
    if any(line.is_joined for line in block.lines):
        raise GeometryError("letters of this script hang together and cannot be bent: leave `along` out")
    longest = factor * max(inked(line).width_mm for line in block.lines)
    if longest > 2.0 * pi * arc.radius:
        raise GeometryError(
            f"the line is {longest:.6g} long, more than once round the arc; radius: at least "
            f"{-(-longest / (2.0 * pi) * 100.0 // 1) / 100.0:g}, or smaller letters"
        )
    way = -1.0 if arc.outwards else 1.0
    least = min(arc.radius - way * factor * a.y for line in block.lines for a in line.letters)
    if least <= 0.0:
        raise GeometryError(
            f"the lines come to the middle of the arc; radius: more than {arc.radius - least:.6g}, or fewer lines"
        )
