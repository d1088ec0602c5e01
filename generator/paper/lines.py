"""Kinds of line on sheets, with the widths and dashes of ISO 128-2.

Widths are of the series 0.13 to 2 mm, wide to narrow 2:1 (ISO 128-2:2020, cross-checked in two guides); which kind
stands for what, and the dash lengths in line widths, are from memory.
"""

from __future__ import annotations

from typing import Final

from generator.base.frozen_record import frozen_record

__all__ = [
    "CENTRE",
    "CUT",
    "CUTTING_PLANE",
    "FRAME",
    "GREY",
    "HIDDEN",
    "NARROW",
    "NEIGHBOUR",
    "VISIBLE",
    "Colour",
    "Line",
    "whole_dashes",
]

Colour = tuple[float, float, float]
"""Red, green and blue, each 0 to 1."""

BLACK: Final[Colour] = (0.0, 0.0, 0.0)
GREY: Final[Colour] = (0.45, 0.45, 0.45)


@frozen_record
class Line:
    """One kind of line.

    Attributes:
        name: what it is called in a drawing file, such as ``visible``.
        width_mm: thickness.
        dashes: lengths of dash, gap, dash, gap …, mm; empty for a continuous line.
        colour: of the line.
    """

    name: str
    width_mm: float
    dashes: tuple[float, ...] = ()
    colour: Colour = BLACK


def whole_dashes(dashes: tuple[float, ...], length_mm: float) -> tuple[float, ...]:
    """Return a chain line's dashes so that a line of that length begins and ends with one (ISO 128-2, from memory).

    Stretched or shortened a little; a line too short for that is drawn continuous.
    """
    period, first = sum(dashes), dashes[0]
    times = round((length_mm - first) / period)
    if times < 1:
        return ()
    factor = length_mm / (times * period + first)
    return tuple(factor * d for d in dashes)


WIDE_MM: Final = 0.5
NARROW_MM: Final = 0.25


def _dashes(width: float, *counts: float) -> tuple[float, ...]:
    return tuple(width * c for c in counts)


VISIBLE: Final = Line("visible", WIDE_MM)
"""01.2, visible edges and outlines."""
NARROW: Final = Line("narrow", NARROW_MM)
"""01.1, dimension, extension and leader lines, hatching."""
HIDDEN: Final = Line("hidden", NARROW_MM, _dashes(NARROW_MM, 12.0, 3.0))
"""02.1, hidden edges."""
CENTRE: Final = Line("centre", NARROW_MM, _dashes(NARROW_MM, 24.0, 3.0, 0.5, 3.0))
"""04.1, centre lines, pitch circles."""
CUTTING_PLANE: Final = Line("cutting-plane", WIDE_MM, _dashes(WIDE_MM, 24.0, 3.0, 0.5, 3.0))
"""04.2, where a section is taken."""
NEIGHBOUR: Final = Line("neighbour", NARROW_MM, _dashes(NARROW_MM, 24.0, 3.0, 0.5, 3.0, 0.5, 3.0))
"""05.1, parts near by: here the original."""
FRAME: Final = Line("frame", 0.7)
"""The frame of a drawing sheet (ISO 5457: 0.7 mm from memory, one guide prints 0.6)."""
CUT: Final = Line("cut", NARROW_MM)
"""A line to cut paper along."""
