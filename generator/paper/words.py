"""Sentences set in a column of a sheet."""

from __future__ import annotations

from collections.abc import Iterable

from generator.paper.letters import fitted, width_mm

__all__ = ["wrapped"]


def wrapped(text: str, height_mm: float, room_mm: float, *, bold: bool = False) -> tuple[str, ...]:
    """Return ``text`` broken between words into lines of at most ``room_mm``; a word that is wider is cut short."""
    return tuple(_lines(text.split(), height_mm, room_mm, bold))


def _lines(words: Iterable[str], height_mm: float, room_mm: float, bold: bool) -> Iterable[str]:
    line = ""
    for word in words:
        longer = f"{line} {word}" if line else word
        if line and width_mm(longer, height_mm, bold=bold) > room_mm:
            yield line
            line = word
        else:
            line = longer
        if line == word:
            line = fitted(word, height_mm, room_mm, bold=bold)
    if line:
        yield line
