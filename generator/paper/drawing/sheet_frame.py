"""The drawing sheet of ISO 5457: margins, frame, grid references, centring marks.

Margins 20 mm on the left and 10 mm elsewhere (ISO 5457:1999, cross-checked); frame 0.7 mm, fields of 50 mm counted
from the centring marks, letters down and numbers across without I and O (from memory).
"""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from generator.base.paper_sizes import Format
from generator.paper.box import Box
from generator.paper.lines import FRAME, NARROW
from generator.paper.sheet import Easel, line, rectangle

__all__ = ["MARGIN_LEFT_MM", "MARGIN_MM", "draw_frame", "frame_box", "lying", "marks_inside"]

MARGIN_LEFT_MM: Final = 20.0
MARGIN_MM: Final = 10.0
BAND_MM: Final = 5.0
"""Grid references stand in a band of this width round the frame."""
FIELD_MM: Final = 50.0
INWARD_MM: Final = 10.0
"""Centring marks go this far into the drawing space."""
LETTERS: Final = "ABCDEFGHJKLMNPQRSTUVWXYZ"
TEXT_MM: Final = 2.5


def lying(form: Format) -> Format:
    """Return the sheet as drawings have it: A4 upright, larger ones with the long side across."""
    return form.portrait if form.name == "A4" else form.landscape


def frame_box(form: Format) -> Box:
    """Return the drawing space, mm."""
    return Box(MARGIN_LEFT_MM, MARGIN_MM, form.width_mm - MARGIN_MM, form.height_mm - MARGIN_MM)


def marks_inside(form: Format) -> tuple[Box, ...]:
    """Return the boxes that the centring marks take of the drawing space; at the foot they end at the frame."""
    f, half = frame_box(form), FRAME.width_mm / 2.0
    x, y = form.width_mm / 2.0, form.height_mm / 2.0
    return (
        Box(x - half, f.top - INWARD_MM, x + half, f.top),
        Box(f.left, y - half, f.left + INWARD_MM, y + half),
        Box(f.right - INWARD_MM, y - half, f.right, y + half),
    )


def draw_frame(easel: Easel, form: Format) -> None:
    """Draw frame, band of grid references and centring marks."""
    f = frame_box(form)
    easel.draw(rectangle(f), kind=FRAME, name="frame")
    easel.draw(rectangle(f.grown(BAND_MM)), kind=NARROW)
    x, y = form.width_mm / 2.0, form.height_mm / 2.0
    b = f.grown(BAND_MM)
    easel.draw(
        line((x, b.top), (x, f.top - INWARD_MM)),
        line((x, b.bottom), (x, f.bottom)),
        line((b.left, y), (f.left + INWARD_MM, y)),
        line((b.right, y), (f.right - INWARD_MM, y)),
        kind=FRAME,
        name="centring-marks",
    )
    _grid(easel, f, x, y)


def _grid(easel: Easel, f: Box, x: float, y: float) -> None:
    """Draw the grid: numbers along head and foot, letters along both sides, fields counted from the middle."""
    for k, (low, high) in enumerate(_fields(f.left, f.right, x), start=1):
        for base, start, end in ((f.top, f.top, f.top + BAND_MM), (f.bottom, f.bottom - BAND_MM, f.bottom)):
            _reference(easel, str(k), ((low + high) / 2.0, (start + end) / 2.0))
            if low > f.left and abs(low - x) > 1.0:
                easel.draw(line((low, base), (low, end if base == start else start)), kind=NARROW)
    rows = list(reversed(_fields(f.bottom, f.top, y)))
    for letter, (low, high) in zip(LETTERS, rows, strict=False):
        for start, end in ((f.left - BAND_MM, f.left), (f.right, f.right + BAND_MM)):
            _reference(easel, letter, ((start + end) / 2.0, (low + high) / 2.0))
            if low > f.bottom and abs(low - y) > 1.0:
                easel.draw(line((start, low), (end, low)), kind=NARROW)


def _reference(easel: Easel, text: str, middle: tuple[float, float]) -> None:
    easel.write(text, (middle[0], middle[1] - TEXT_MM / 2.0), TEXT_MM, anchor="middle")


def _fields(start: float, end: float, middle: float) -> list[tuple[float, float]]:
    """Return fields of 50 mm on both sides of the middle; what is left at the ends joins the last one if short."""
    n = max(1, int((end - middle) / FIELD_MM + 0.5))
    m = max(1, int((middle - start) / FIELD_MM + 0.5))
    inner = [middle + FIELD_MM * k for k in range(-m + 1, n)]
    cuts = [start, *inner, end]
    return list(pairwise(cuts))
