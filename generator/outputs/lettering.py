"""Lettering for drawings: how wide a text may come out, how it wraps, and boxes that keep texts apart.

A viewer sets the text of an SVG in whatever sans-serif face it has, so widths are estimated from a wide one: what fits
by this estimate fits in the common faces. Boxes are in the units of the drawing with y down, as in SVG.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.shorten import shortened_to

__all__ = ["ASCENT", "DESCENT", "Box", "shortened", "text_box", "text_width", "wrapped", "xml_text"]

ASCENT: Final = 0.76
"""Height of capitals and ascenders above the baseline, in em; the common sans-serif faces stay below."""
DESCENT: Final = 0.24
"""Depth of descenders below the baseline, in em."""

_ASCII: Final = (
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636, 636, 636, 636,
    636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632, 575, 775, 752, 295, 295, 656,
    557, 863, 748, 787, 603, 787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390, 337, 390, 838, 500, 500, 613,
    635, 550, 635, 615, 352, 635, 634, 278, 278, 579, 278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818,
    592, 592, 525, 636, 337, 636, 838,
)  # fmt: skip
"""Advance widths of U+0020 to U+007E in 1/1000 em, measured in DejaVu Sans 2.37, one of the widest common faces."""

_BOLD: Final = 1.15
"""A bold face is wider by this at most, letters and digits together (measured in DejaVu Sans Bold 2.37)."""
_WIDE: Final = 1.05
_OTHER: Final = 0.85


def _advance(char: str) -> float:
    """Return the advance of one character in em."""
    code = ord(char)
    if 32 <= code < 127:
        return _ASCII[code - 32] / 1000.0
    if unicodedata.combining(char):
        return 0.0
    base = unicodedata.normalize("NFD", char)[0]
    if base != char and 32 <= ord(base) < 127:  # an accented letter is as wide as its letter
        return _ASCII[ord(base) - 32] / 1000.0
    wide = unicodedata.east_asian_width(char) in "WF" or unicodedata.category(char) in ("So", "Co", "Cn")
    return _WIDE if wide else _OTHER


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return an upper estimate of the width of ``text`` set ``size`` high (em), in the unit of ``size``."""
    return sum(map(_advance, text)) * size * (_BOLD if bold else 1.0)


_ENTITIES: Final = {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;"}


def xml_text(text: str) -> str:
    """Return ``text`` fit for XML: escaped, on one line, without the characters that XML 1.0 forbids."""
    kept = (" " if c.isspace() else c for c in text if c.isspace() or unicodedata.category(c) not in ("Cc", "Cs"))
    return "".join(_ENTITIES.get(c, c) for c in kept if ord(c) not in (0xFFFE, 0xFFFF))


def shortened(text: str, size: float, width: float, *, bold: bool = False) -> str:
    """Return ``text``, cut with an ellipsis where it would be wider than ``width``."""
    return shortened_to(lambda some: text_width(some, size, bold=bold) <= width, text)


def wrapped(text: str, size: float, width: float, *, bold: bool = False) -> list[str]:
    """Return ``text`` in lines no wider than ``width``; a word that is too long by itself is broken."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        joined = f"{line} {word}" if line else word
        if text_width(joined, size, bold=bold) <= width:
            line = joined
            continue
        if line:
            lines.append(line)
        line = word
        while text_width(line, size, bold=bold) > width and len(line) > 1:
            cut = _fitting(line, size, width, bold)
            lines.append(line[:cut])
            line = line[cut:]
    return [*lines, line] if line else lines


def _fitting(word: str, size: float, width: float, bold: bool) -> int:
    """Return how many characters of ``word`` fit into ``width``; at least one."""
    n = len(word)
    while n > 1 and text_width(word[:n], size, bold=bold) > width:
        n -= 1
    return n


@frozen_record
class Box:
    """An upright box in drawing units, y down."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Return the width."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Return the height."""
        return self.bottom - self.top

    def grown(self, by: float) -> Box:
        """Return the box larger by ``by`` on every side."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def overlaps(self, other: Box) -> bool:
        """Return True if the two share more than a border."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )

    def within(self, other: Box) -> bool:
        """Return True if no part of this box lies outside ``other``."""
        return (
            other.left <= self.left
            and self.right <= other.right
            and other.top <= self.top
            and self.bottom <= other.bottom
        )

    def is_free(self, taken: Iterable[Box]) -> bool:
        """Return True if the box overlaps none of ``taken``."""
        return not any(self.overlaps(t) for t in taken)


def text_box(
    text: str, x: float, y: float, size: float, *, anchor: str = "start", bold: bool = False, upright: bool = False
) -> Box:
    """Return the box of a text set at baseline point (x, y).

    Args:
        text: one line.
        x: the anchor point.
        y: the baseline.
        size: em.
        anchor: ``start``, ``middle`` or ``end``.
        bold: whether it is set bold.
        upright: whether it is turned by 90 degrees to be read from the right (it then runs upwards).
    """
    w = text_width(text, size, bold=bold)
    before = {"start": 0.0, "middle": w / 2.0, "end": w}[anchor]
    if upright:
        return Box(x - ASCENT * size, y - (w - before), x + DESCENT * size, y + before)
    return Box(x - before, y - ASCENT * size, x - before + w, y + DESCENT * size)
