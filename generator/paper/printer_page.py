"""A page that checks a printer alone: bars, a large square with its diagonals, a circle, lines of known width."""

from __future__ import annotations

from math import hypot
from typing import Final

from generator.base.paper_sizes import Format
from generator.base.units import MILLIMETRE, decimal
from generator.paper.box import Box
from generator.paper.lines import NARROW, Line
from generator.paper.measures import draw_circle
from generator.paper.printed_bars import Correction
from generator.paper.sheet import Easel, Sheet, line, rectangle
from generator.paper.template_frame import TEXT_MM, draw_frame, frame_of
from generator.paper.template_pages import AS_IT_IS

__all__ = ["printer_page"]

SQUARE_MM: Final = 100.0
CIRCLE_MM: Final = 50.0
WIDTHS_MM: Final = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0)
"""Widths of lines of ISO 128-2."""
HEADING: Final = "Is this printer true?"
_FIRST: Final = (
    "Measure bar x (along the short side of the sheet) and bar y from 0 to a long mark, as exactly as you can: the "
    "longer the better.",
    "Give both readings back in mm: coverplate build RECIPE --printed-bar x=99.6,y=100.2, or write them into a file, "
    "printed_bars: {x: 99.6, y: 100.2}, and build with --printer FILE. They are good for this printer, this paper and "
    "these settings.",
)
_AGAIN: Final = (
    "Bars and figures must now be as long as their figures say; leave the readings as they are. If they are not, "
    "measure a page that was printed without readings.",
)
_SQUARE: Final = (
    "The diagonals of the square must be equally long, 141.4 mm; 0.1 mm between them is 0.04° out of square, which no "
    "reading mends.",
    "The circle must be as wide as it is high. A line that is much wider than its figure spreads: measure from the "
    "middle of one line to the middle of the other.",
)


def printer_page(paper: Format, correction: Correction) -> Sheet:
    """Return the page for the sheet in the printer; ``correction`` after the readings of an earlier one."""
    told = correction.sentence(MILLIMETRE)
    sentences = (*((f"{told} {_AGAIN[0]}",) if told else _FIRST), *_SQUARE)
    sheet = paper.portrait
    frame = frame_of(sheet, correction, f"{HEADING} {paper.name}", AS_IT_IS, sentences, with_key=False)
    easel = Easel()
    draw_frame(easel, frame)
    _draw_figures(easel, frame.window)
    return Sheet(sheet, tuple(easel.items), HEADING, correction.stretch(is_landscape=False))


def _draw_figures(easel: Easel, window: Box) -> None:
    """Draw the large square with its diagonals, and beside it the lines of known width and a circle."""
    left, top = window.left + 4.0, window.top - 4.0
    square = Box(left, top - SQUARE_MM, left + SQUARE_MM, top)
    easel.draw(rectangle(square), kind=NARROW, name="large-square")
    corners = ((square.left, square.bottom), (square.right, square.top))
    others = ((square.left, square.top), (square.right, square.bottom))
    easel.draw(line(*corners), line(*others), kind=NARROW, name="diagonals")
    told = f"side {decimal(SQUARE_MM)}, diagonals {decimal(hypot(SQUARE_MM, SQUARE_MM), 1)}"
    easel.write(told, (square.left, square.bottom - TEXT_MM - 1.5), TEXT_MM)
    start = square.right + 6.0
    for i, width in enumerate(WIDTHS_MM):
        y = square.top - 2.0 - 7.0 * i
        easel.draw(line((start, y), (start + 30.0, y)), kind=Line("width", width), name=f"width-{width:g}")
        easel.write(decimal(width), (start + 33.0, y - TEXT_MM / 2.0), TEXT_MM)
    draw_circle(easel, Box(start, square.bottom, start + CIRCLE_MM, square.bottom + CIRCLE_MM), name="large-circle")
