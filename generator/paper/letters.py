"""Lettering on sheets: which face, how wide a text is, and the box that it takes.

Heights are heights of capitals in the series of ISO 3098 (from memory: 1.8, 2.5, 3.5, 5, 7, 10, 14, 20 mm). The face is
one that a dependency ships and that is embedded in every file, so widths here are those of the paper.
"""

from __future__ import annotations

from functools import cache, lru_cache
from math import cos, radians, sin
from typing import Any, Final

from generator.artwork.text_faces import shipped_font
from generator.base.shorten import shortened_to
from generator.paper.box import Box

__all__ = ["CAP_SHARE", "HEIGHTS_MM", "LEAST_MM", "face_word", "fitted", "has", "letters_box", "line_pitch", "width_mm"]

HEIGHTS_MM: Final = (1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0)
"""Heights of lettering of ISO 3098, mm (from memory)."""
LEAST_MM: Final = 2.5
"""No text on any sheet is lower than this."""
CAP_SHARE: Final = 1493.0 / 2048.0
"""Height of a capital in em: H of DejaVu Sans 2.37."""
LEAST_DESCENT: Final = 0.24
"""Every box goes this deep below the baseline, in em, so that lines of text keep apart alike."""


def face_word(*, bold: bool) -> str:
    """Return the word for the face among the shipped ones."""
    return "sans bold" if bold else "sans"


def line_pitch(height_mm: float) -> float:
    """Return the distance of baselines: 1.6 times the height (ISO 3098 wants 1.4 at least, from memory)."""
    return 1.6 * height_mm


@cache
def _font(bold: bool) -> tuple[Any, float]:
    """Return the shaped face and its units per em."""
    import uharfbuzz

    face = uharfbuzz.Face(shipped_font(face_word(bold=bold)))
    return uharfbuzz.Font(face), float(face.upem)


@cache
def _advance(char: str, bold: bool) -> float | None:
    """Return the advance of a character in em; None if the face lacks it."""
    font, upem = _font(bold)
    glyph = font.get_nominal_glyph(ord(char))
    return None if not glyph else font.get_glyph_h_advance(glyph) / upem


@cache
def _reach(char: str, bold: bool) -> tuple[float, float]:
    """Return how deep below and how high above the baseline a character's ink goes, in em."""
    font, upem = _font(bold)
    extents = font.get_glyph_extents(font.get_nominal_glyph(ord(char)) or 0)
    if extents is None:
        return 0.0, 0.0
    top = extents.y_bearing / upem
    return -(top + extents.height / upem), top


def has(char: str, *, bold: bool = False) -> bool:
    """Return True if the face has the character."""
    return _advance(char, bold) is not None


def width_mm(text: str, height_mm: float, *, bold: bool = False) -> float:
    """Return how wide ``text`` comes out when its capitals are ``height_mm`` high; no kerning, as the files set it."""
    return height_mm / CAP_SHARE * _width(text, bold)


@lru_cache(maxsize=16384)
def _width(text: str, bold: bool) -> float:
    """Return the width of a text in em; texts are tried at many places."""
    return sum([_told_advance(c, bold) for c in text])


@cache
def _told_advance(char: str, bold: bool) -> float:
    """Return the advance of a character as it is set: what the face lacks is told by a question mark."""
    return _advance(char, bold) or _advance("?", bold) or 0.0


def fitted(text: str, height_mm: float, room_mm: float, *, bold: bool = False) -> str:
    """Return ``text``, cut with an ellipsis where it would be wider than ``room_mm``."""
    return shortened_to(lambda some: width_mm(some, height_mm, bold=bold) <= room_mm, text)


def letters_box(
    text: str, at: tuple[float, float], height_mm: float, *, anchor: str, turn_deg: float, bold: bool
) -> Box:
    """Return the upright box round a line of text.

    Args:
        text: one line.
        at: where its baseline is anchored, mm.
        height_mm: height of capitals.
        anchor: ``start``, ``middle`` or ``end``.
        turn_deg: turned by this about the anchor, counter-clockwise, degrees.
        bold: set bold.
    """
    w = width_mm(text, height_mm, bold=bold)
    left = {"start": 0.0, "middle": -w / 2.0, "end": -w}[anchor]
    em = height_mm / CAP_SHARE
    reaches = [_reach(c, bold) for c in text]
    low = -em * max(LEAST_DESCENT, *(r[0] for r in reaches), 0.0)
    high = em * max(CAP_SHARE, *(r[1] for r in reaches), 0.0)
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    corners = [(x, y) for x in (left, left + w) for y in (low, high)]
    return Box.around((at[0] + c * x - s * y, at[1] + s * x + c * y) for x, y in corners)
