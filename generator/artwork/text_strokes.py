"""The face `engraving`: a line of text to centre lines, for a cutter that follows each line once.

Letters are composed: an accented letter is its letter and its mark, so any letter takes any mark that there is.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from math import cos, pi, radians, sin, tan
from typing import Final
from unicodedata import combining, normalize

from generator.artwork.text_shaping import character_list, faces_hint, refuse_shapeless
from generator.artwork.text_strokes_letters import (
    CAP,
    GAP,
    LETTERS,
    MARKS_ABOVE,
    MARKS_BELOW,
    SPACE,
    X_HEIGHT,
    Step,
    Strokes,
)
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Vertex

__all__ = ["StrokeLetter", "stroke_letters"]

_BLANKS: Final = (" ", "\u00a0", "\u202f")
_OVER: Final = 3.0
"""Squares between a letter and the mark above it."""
_TALL: Final = frozenset("bdfhklit")
"""Small letters that are as high as capitals, or nearly."""
_SAME: Final = 0.01
"""Squares within which the end of one step is the start of the next; steps are given to hundredths."""
_UNDOTTED: Final = {"i": "ı"}


@frozen_record
class StrokeLetter:
    """A letter with its marks; lengths in shares of the height of a capital.

    Attributes:
        at: where it begins on the line.
        width: of its strokes.
        cluster: number of its first character.
        paths: open ways; the last vertex says nothing of a bulge.
    """

    at: float
    width: float
    cluster: int
    paths: tuple[Contour, ...]


def stroke_letters(text: str) -> tuple[tuple[StrokeLetter, ...], float]:
    """Return the letters of one line and how far the line advances, in shares of the height of a capital.

    Raises: GeometryError: a character that the face lacks; names it and says which face has it.
    """
    refuse_shapeless(text)
    letters: list[StrokeLetter] = []
    at = 0.0
    for k, letter, marks in _composed(text):
        if letter in _BLANKS:
            at += SPACE + GAP
            continue
        width, strokes = _letter(letter, marks)
        letters.append(StrokeLetter(at / CAP, width / CAP, k, tuple(_path(s) for s in strokes)))
        at += width + GAP
    return tuple(letters), (at - GAP) / CAP


def _composed(text: str) -> Iterator[tuple[int, str, str]]:
    """Yield number, letter and combining marks of every letter.

    Raises: GeometryError: the face lacks some; names all of them.
    """
    found: list[tuple[int, str, str]] = []
    lacking: list[str] = []
    for k, character in enumerate(text):
        whole = character if character in LETTERS else normalize("NFD", character)
        for c in whole:
            if combining(c) and found and (c in MARKS_ABOVE or c in MARKS_BELOW):
                found[-1] = (*found[-1][:2], found[-1][2] + c)
            elif c in LETTERS or c in _BLANKS:
                found.append((k, c, ""))
            else:
                lacking.append(character)
                break
    if lacking:
        raise GeometryError(f"the face `engraving` lacks {character_list(lacking)}; {faces_hint(lacking)}")
    yield from found


@cache
def _letter(letter: str, marks: str) -> tuple[float, Strokes]:
    """Return width and strokes of a letter with its marks, in squares."""
    above = [m for m in marks if m in MARKS_ABOVE]
    width, strokes = LETTERS[_UNDOTTED.get(letter, letter) if above else letter]
    top = CAP if letter.isupper() or letter in (_TALL - set(_UNDOTTED)) else X_HEIGHT
    for mark in above:
        strokes = (*strokes, *(_shifted(s, width / 2.0, top + _OVER) for s in MARKS_ABOVE[mark]))
        top += 6.5
    for mark in (m for m in marks if m in MARKS_BELOW):
        strokes = (*strokes, *(_shifted(s, width / 2.0, 0.0) for s in MARKS_BELOW[mark]))
    return width, strokes


def _shifted(stroke: Sequence[Step], x: float, y: float) -> tuple[Step, ...]:
    return tuple((step[0] + x, step[1] + y, *step[2:]) for step in stroke)


def _path(stroke: Sequence[Step]) -> Contour:
    """Return a stroke as an open way, in shares of the height of a capital."""
    out: list[Vertex] = []
    for step in stroke:
        for v in [Vertex(step[0], step[1])] if len(step) == 2 else _arc(*step):
            same = out and abs(out[-1].x - v.x) < _SAME and abs(out[-1].y - v.y) < _SAME
            if same:
                out[-1] = out[-1]._replace(bulge=v.bulge)
            else:
                out.append(v)
    return Contour(tuple(Vertex(v.x / CAP, v.y / CAP, v.bulge) for v in out))


def _arc(cx: float, cy: float, radius: float, start: float, end: float) -> list[Vertex]:
    """Return an arc as vertices, the end included; degrees, at most half a circle to a vertex."""
    parts = max(1, int(-(-abs(end - start) // 180)))
    step = radians((end - start) / parts)
    angles = [radians(start) + step * k for k in range(parts + 1)]
    bulge = 1.0 if abs(step) == pi else tan(abs(step) / 4.0)
    bulges = [bulge if step > 0.0 else -bulge] * parts + [0.0]
    return [Vertex(cx + radius * cos(a), cy + radius * sin(a), b) for a, b in zip(angles, bulges, strict=True)]
