"""What stands on every page of a 1:1 print round the part itself: bars, square, circle, words; and the room left."""

from __future__ import annotations

from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.paper_sizes import Format
from generator.paper.box import Box
from generator.paper.letters import fitted, width_mm
from generator.paper.measures import BAND_MM, Bar, draw_bar, draw_circle, draw_square
from generator.paper.printed_bars import Correction
from generator.paper.sheet import Easel
from generator.paper.words import wrapped

__all__ = ["CLEAR_MM", "Frame", "clear_box", "draw_frame", "frame_of"]

CLEAR_MM: Final = 10.0
"""Nothing is printed nearer to the edges of the sheet: printers cannot, and that strip folds and curls."""
_HALF_LINE_MM: Final = 0.2
"""Half of the widest line, and a little."""
TEXT_MM: Final = 2.5
HEAD_MM: Final = 3.5
PITCH: Final = 1.45
"""Distance of baselines in heights of letters (ISO 3098 wants 1.4 at least, from memory)."""
SIDE_MM: Final = 24.0
"""Side of the square that is to be measured …"""
ROUND_MM: Final = 16.0
"""… and diameter of the circle inside it."""
GAP_MM: Final = 3.0
KEY_MM: Final = (36.0, SIDE_MM)
"""Room of the key map of a print on several sheets."""


@frozen_record
class Frame:
    """The layout of a page.

    Attributes:
        format: the sheet as it lies.
        across, upright: the two bars.
        words: where the words stand.
        lines: what they say: text, height, bold.
        square, circle: boxes of the two figures to measure.
        key: room of the key map.
        window: what is left for the part.
    """

    format: Format
    across: Bar
    upright: Bar
    words: Box
    lines: tuple[tuple[str, float, bool], ...]
    square: Box
    circle: Box
    key: Box
    window: Box


def clear_box(sheet: Format, correction: Correction) -> Box:
    """Return where things may be drawn so that, once enlarged, they keep clear of the edges of the sheet."""
    kx, ky = correction.stretch(is_landscape=sheet.width_mm > sheet.height_mm)
    x, y = sheet.width_mm / 2.0, sheet.height_mm / 2.0
    edge = CLEAR_MM + _HALF_LINE_MM
    across, up = (x - edge) / max(1.0, kx), (y - edge) / max(1.0, ky)
    return Box(x - across, y - up, x + across, y + up)


def frame_of(
    sheet: Format,
    correction: Correction,
    heading: str,
    loud: str,
    sentences: tuple[str, ...],
    *,
    with_key: bool,
    title: str = "",
) -> Frame:
    """Return the layout of a page whose words are ``heading``, ``loud`` below it, and ``sentences``.

    Before the heading stands ``title``, cut short where both do not fit: the heading tells which sheet it is.
    """
    clear = clear_box(sheet, correction)
    axes = ("y", "x") if sheet.width_mm > sheet.height_mm else ("x", "y")
    left, foot = clear.left + BAND_MM + GAP_MM, clear.bottom + BAND_MM + GAP_MM
    right = clear.right - SIDE_MM - GAP_MM - (KEY_MM[0] + GAP_MM if with_key else 0.0)
    if title:
        after = f": {heading}"
        heading = fitted(title, HEAD_MM, right - left - width_mm(after, HEAD_MM, bold=True), bold=True) + after
    lines = _lines(heading, loud, sentences, right - left)
    high = max(sum(PITCH * h for _, h, _ in lines), SIDE_MM)
    words = Box(left, foot, right, foot + high)
    square = Box(clear.right - SIDE_MM, words.top - SIDE_MM, clear.right, words.top)
    circle = square.grown((ROUND_MM - SIDE_MM) / 2.0)
    key = Box(right + GAP_MM, words.top - KEY_MM[1], right + GAP_MM + KEY_MM[0], words.top)
    across = Bar.in_room(axes[0], (left, clear.bottom + 4.5), clear.right - left - 3.0, is_upright=False)
    upright = Bar.in_room(axes[1], (clear.left + 6.0, foot), clear.top - foot - 3.0, is_upright=True)
    window = Box(left, words.top + GAP_MM, clear.right, clear.top)
    return Frame(sheet, across, upright, words, lines, square, circle, key, window)


def _lines(heading: str, loud: str, sentences: tuple[str, ...], room_mm: float) -> tuple[tuple[str, float, bool], ...]:
    out = [(fitted(heading, HEAD_MM, room_mm, bold=True), HEAD_MM, True)]
    out += [(line, TEXT_MM, True) for line in wrapped(loud, TEXT_MM, room_mm, bold=True)]
    out += [(line, TEXT_MM, False) for sentence in sentences for line in wrapped(sentence, TEXT_MM, room_mm)]
    return tuple(out)


def draw_frame(easel: Easel, frame: Frame) -> None:
    """Draw bars, square, circle and words."""
    draw_bar(easel, frame.across)
    draw_bar(easel, frame.upright)
    draw_square(easel, frame.square)
    draw_circle(easel, frame.circle)
    y = frame.words.top
    for text, height, bold in frame.lines:
        easel.write(text, (frame.words.left, y - height), height, bold=bold)
        y -= PITCH * height
