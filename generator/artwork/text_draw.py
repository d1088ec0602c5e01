"""Letters to a region: sizes, and the last step from placed letters to one exact region."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from generator.base.errors import GeometryError
from generator.outline.contour import Contour, Vertex
from generator.outline.many import union_of_many
from generator.outline.offset import offset_region
from generator.outline.region import Region
from generator.outline.separate import separated

__all__ = ["MOST_CHARACTERS", "lines_of", "region_of_letters", "region_of_strokes", "there_and_back"]

MOST_CHARACTERS: Final = 500
"""Longest text (chosen: a plate is no page)."""


def lines_of(text: str, lines: Sequence[str]) -> list[str]:
    """Return the lines of a text, or of a list, blanks at their ends taken off.

    Raises: GeometryError: nothing to draw, or more than ``MOST_CHARACTERS``.
    """
    given = [part for entry in (lines or (text,)) for part in entry.replace("\r\n", "\n").split("\n")]
    count = sum(map(len, given))
    if count > MOST_CHARACTERS:
        raise GeometryError(f"the text has {count} characters; at most {MOST_CHARACTERS}: split it into several")
    stripped = [line.strip(" \u00a0") for line in given]
    while stripped and not stripped[-1]:
        stripped.pop()
    while stripped and not stripped[0]:
        stripped.pop(0)
    if not stripped:
        raise GeometryError("the text is empty: write something in `say`, or leave the outline out")
    return stripped


def there_and_back(path: Contour) -> Contour:
    """Return an open way as a closed contour without area, for measuring and growing."""
    v = path.vertices
    back = [Vertex(v[i].x, v[i].y, -v[i - 1].bulge) for i in range(len(v) - 1, 0, -1)]
    return Contour((*v[:-1], *back))


def region_of_letters(letters: Sequence[Sequence[Contour]]) -> Region:
    """Return the region of closed contours; letters that overlap are united, and marks that meet within one letter."""
    return union_of_many([piece for contours in letters for piece in separated(Region.of(contours))])


def region_of_strokes(letters: Sequence[Sequence[Contour]], width_mm: float) -> Region:
    """Return the region that a round cutter of ``width_mm`` leaves when it follows open ways."""
    return offset_region(Region.of(there_and_back(c) for paths in letters for c in paths), width_mm / 2.0)
