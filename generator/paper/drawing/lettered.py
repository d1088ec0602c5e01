"""Texts with the number of a characteristic in a balloon behind them, and the arrows of dimensions."""

from __future__ import annotations

from math import cos, radians, sin
from typing import Final

from generator.outline.contour import Vertex
from generator.paper.box import Box
from generator.paper.letters import letters_box, width_mm
from generator.paper.lines import NARROW
from generator.paper.sheet import Easel, Track, polyline

__all__ = [
    "ARROW_MM",
    "BALLOON_MM",
    "BALLOON_TEXT_MM",
    "balloon_width",
    "draw_arrow",
    "draw_balloon",
    "draw_label",
    "label_box",
    "label_width",
]

BALLOON_TEXT_MM: Final = 2.5
BALLOON_MM: Final = 4.8
"""Height of a balloon: the number with half its height above and below."""
GAP_MM: Final = 1.2
ARROW_MM: Final = 3.0
ARROW_HALF_MM: Final = 0.4
"""Closed arrow of some 15 degrees, as ISO 129-1 has it (from memory)."""


def balloon_width(number: int) -> float:
    """Return how wide the balloon of a number is, mm."""
    return max(BALLOON_MM, width_mm(str(number), BALLOON_TEXT_MM) + 2.6)


def draw_balloon(easel: Easel, number: int, middle: tuple[float, float], turn_deg: float = 0.0) -> None:
    """Draw a number in its balloon, a circle or for long numbers an obround."""
    half, r = balloon_width(number) / 2.0, BALLOON_MM / 2.0
    w = half - r
    corners = ((-w, -r, 0.0), (w, -r, 1.0), (w, r, 0.0), (-w, r, 1.0))
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    x, y = middle
    rows = tuple(Vertex(x + c * u - s * v, y + s * u + c * v, b) for u, v, b in corners)
    if w < 1e-9:
        rows = (Vertex(x + r, y, 1.0), Vertex(x - r, y, 1.0))
    easel.draw(Track(rows, True), kind=NARROW, name="balloon")
    down = BALLOON_TEXT_MM / 2.0
    at = (x + s * down, y - c * down)
    easel.write(str(number), at, BALLOON_TEXT_MM, anchor="middle", turn_deg=turn_deg)


def label_width(text: str, numbers: tuple[int, ...], height_mm: float) -> float:
    """Return how long a text with its balloons is, mm."""
    return width_mm(text, height_mm) + sum(GAP_MM + balloon_width(n) for n in numbers)


def label_box(text: str, numbers: tuple[int, ...], height_mm: float) -> Box:
    """Return the box of a level label whose baseline begins at (0, 0)."""
    box = letters_box(text or "0", (0.0, 0.0), height_mm, anchor="start", turn_deg=0.0, bold=False)
    wide = label_width(text, numbers, height_mm)
    low, high = box.bottom, box.top
    if numbers:
        low = min(low, (height_mm - BALLOON_MM) / 2.0)
        high = max(high, (height_mm + BALLOON_MM) / 2.0)
    return Box(0.0, low, wide, high)


def draw_label(
    easel: Easel,
    text: str,
    numbers: tuple[int, ...],
    at: tuple[float, float],
    height_mm: float,
    *,
    turn_deg: float = 0.0,
) -> None:
    """Draw a text and behind it its balloons; ``at`` is where the baseline begins."""
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    if text:
        easel.write(text, at, height_mm, turn_deg=turn_deg)
    along = width_mm(text, height_mm) if text else -GAP_MM
    up = height_mm / 2.0
    for n in numbers:
        half = balloon_width(n) / 2.0
        u = along + GAP_MM + half
        draw_balloon(easel, n, (at[0] + c * u - s * up, at[1] + s * u + c * up), turn_deg)
        along = u + half


def draw_arrow(easel: Easel, tip: tuple[float, float], toward_deg: float, length_mm: float = ARROW_MM) -> None:
    """Draw a closed, filled arrow whose tip lies at ``tip`` and points to ``toward_deg``."""
    c, s = cos(radians(toward_deg)), sin(radians(toward_deg))
    half = ARROW_HALF_MM * length_mm / ARROW_MM
    back = [(-length_mm, half), (-length_mm, -half)]
    points = [tip, *((tip[0] + c * u - s * v, tip[1] + s * u + c * v) for u, v in back)]
    easel.draw(polyline(*points, closed=True), kind=NARROW, fill=(0.0, 0.0, 0.0), name="arrow")
