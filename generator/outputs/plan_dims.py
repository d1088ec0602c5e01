"""Dimensions by the habits of ISO 129-1: narrow lines, filled arrows, figures above the line."""

from __future__ import annotations

from typing import Final

from generator.outputs.lettering import text_width
from generator.outputs.svg_sheet import INK, Sheet, Style

__all__ = ["ARROW", "FIGURE", "TIER", "across", "fits", "upwards"]

FIGURE: Final = 3.5
"""Size (em) of figures, mm: capitals 2.5 mm high, the smallest height of ISO 3098-1 that is customary on drawings."""
ARROW: Final = 2.6
TIER: Final = 7.0
"""Distance between parallel dimension lines, mm; common practice."""
_GAP, _OVER = 1.2, 1.5
"""Extension lines start off the outline and end beyond the dimension line (about 8 line widths)."""
_ABOVE: Final = 0.9
_LINE: Final = Style(INK)


def fits(text: str, length: float) -> bool:
    """Return True if figure and arrows find room between the extension lines."""
    return text_width(text, FIGURE) + 2 * ARROW + 1.0 <= length


def across(sheet: Sheet, x0: float, x1: float, text: str, *, y: float, outline: tuple[float, float]) -> None:
    """Draw a horizontal dimension from x0 to x1 (sheet mm) at height y, with extension lines from the outline.

    Args:
        sheet: to draw on.
        x0: left end.
        x1: right end.
        text: figure, above the line.
        y: of the dimension line.
        outline: heights at which the measured points lie, for x0 and x1.
    """
    towards = 1.0 if y > max(outline) else -1.0
    for x, start in ((x0, outline[0]), (x1, outline[1])):
        sheet.line([(x, start + towards * _GAP), (x, y + towards * _OVER)], _LINE)
    if fits(text, x1 - x0):
        sheet.line([(x0, y), (x1, y)], _LINE)
        _arrow(sheet, (x0, y), (-1, 0))
        _arrow(sheet, (x1, y), (1, 0))
        sheet.text(text, ((x0 + x1) / 2, y - _ABOVE), FIGURE, anchor="middle")
    else:  # arrows from outside, the figure behind the right one
        end = x1 + 2 * ARROW + text_width(text, FIGURE) + 0.6
        sheet.line([(x0 - 2 * ARROW, y), (end, y)], _LINE)
        _arrow(sheet, (x0, y), (1, 0))
        _arrow(sheet, (x1, y), (-1, 0))
        sheet.text(text, (end - 0.3, y - _ABOVE), FIGURE, anchor="end")


def upwards(sheet: Sheet, y0: float, y1: float, text: str, *, x: float, outline: tuple[float, float]) -> None:
    """Draw a vertical dimension from y0 down to y1 (sheet mm, y0 above y1) at x; the figure is read from the right.

    Args:
        sheet: to draw on.
        y0: upper end.
        y1: lower end.
        text: figure.
        x: of the dimension line.
        outline: places across at which the measured points lie, for y0 and y1.
    """
    towards = 1.0 if x > max(outline) else -1.0
    for y, start in ((y0, outline[0]), (y1, outline[1])):
        sheet.line([(start + towards * _GAP, y), (x + towards * _OVER, y)], _LINE)
    if fits(text, y1 - y0):
        sheet.line([(x, y0), (x, y1)], _LINE)
        _arrow(sheet, (x, y0), (0, -1))
        _arrow(sheet, (x, y1), (0, 1))
        sheet.text(text, (x - _ABOVE, (y0 + y1) / 2), FIGURE, anchor="middle", upright=True)
    else:
        end = y0 - 2 * ARROW - text_width(text, FIGURE) - 0.6
        sheet.line([(x, end), (x, y1 + 2 * ARROW)], _LINE)
        _arrow(sheet, (x, y0), (0, 1))
        _arrow(sheet, (x, y1), (0, -1))
        sheet.text(text, (x - _ABOVE, end + 0.3), FIGURE, anchor="end", upright=True)


def _arrow(sheet: Sheet, tip: tuple[float, float], towards: tuple[int, int]) -> None:
    """Draw a closed, filled arrowhead of about 20 degrees with its tip at ``tip``."""
    (x, y), (dx, dy) = tip, towards
    bx, by = x - dx * ARROW, y - dy * ARROW
    half = ARROW * 0.18
    sheet.shape([(x, y), (bx - dy * half, by + dx * half), (bx + dy * half, by - dx * half)], INK)
