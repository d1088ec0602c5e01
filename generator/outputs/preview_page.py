"""The page that a preview is set on: ground, caption, scale bar, labels with leader lines."""

from __future__ import annotations

from math import floor, log10
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit
from generator.outputs.glyphs import shown
from generator.outputs.lettering import Box, shortened, text_box, text_width, xml_text
from generator.outputs.raster import FONT_FAMILY

__all__ = [
    "CAPTION",
    "HEIGHT",
    "INK",
    "MARGIN",
    "WIDTH",
    "Label",
    "caption",
    "labels",
    "page",
    "round_length",
    "scale_bar",
    "soft_shadow",
    "spread",
]

WIDTH: Final = 1200
HEIGHT: Final = 900
"""Size of every preview, pixels."""
MARGIN: Final = 48.0
CAPTION: Final = 128.0
"""Height of the strip at the foot that carries caption and scale bar, pixels."""
INK: Final = "#23272e"
_GREY: Final = "#5b636e"
GROUND: Final = "#ffffff"
_TITLE: Final = 34.0
_TEXT: Final = 24.0
_LABEL: Final = 23.0
_LEADING: Final = 1.28


def soft_shadow(path: str, *, shift: tuple[float, float], spread_px: float, strength: float) -> str:
    """Return a soft shadow: the shape and ever wider, fainter rims of it. Much faster to paint than a blur."""
    steps = 12
    fade = 1.0 - (1.0 - strength) ** (1.0 / steps)
    rims = "".join(
        f'<path d="{path}" stroke-width="{2 * spread_px * (n + 0.5) / steps:.1f}" fill-opacity="{fade:.4f}" '
        f'stroke-opacity="{fade:.4f}"/>'
        for n in range(steps)
    )
    place = f"translate({shift[0]:g} {shift[1]:g})"
    return f'<g fill="none" stroke="#101826" stroke-linejoin="round" transform="{place}">{rims}</g>'


def page(body: str, *, defs: str = "") -> str:
    """Return a whole picture as SVG."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{HEIGHT}" viewBox="0 0 {WIDTH} {HEIGHT}">'
        f"<defs>{defs}</defs>"
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="{GROUND}"/>{body}</svg>'
    )


def _text(
    text: str, x: float, y: float, size: float, *, anchor: str = "start", bold: bool = False, ink: str = INK
) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-family="{FONT_FAMILY}" font-size="{size:g}" text-anchor="{anchor}"'
        f'{weight} fill="{ink}">{xml_text(text)}</text>'
    )


def caption(title: str, view: str, sizes: str, *, right_px: float = 0.0) -> str:
    """Return the caption at the foot: heading, what is seen, sizes; ``right_px`` are kept free for the scale bar."""
    room = WIDTH - 2 * MARGIN - right_px
    y = HEIGHT - CAPTION + 34.0
    # a long title is set smaller before it is cut
    size = min(_TITLE, max(24.0, _TITLE * room / max(1.0, text_width(title, _TITLE, bold=True))))
    return "".join(
        (
            f'<path d="M{MARGIN} {HEIGHT - CAPTION:.1f}H{WIDTH - MARGIN}" stroke="#d5d9de" stroke-width="1.5"/>',
            _text(shortened(title, size, room, bold=True), MARGIN, y + 14, size, bold=True),
            _text(shortened(shown(f"{view} · {sizes}"), _TEXT, room), MARGIN, y + 56, _TEXT, ink=_GREY),
        )
    )


def round_length(about_mm: float, unit: LengthUnit) -> float:
    """Return the length (mm) of the largest of 1, 2, 5 times a power of ten ``unit`` that is not above ``about_mm``."""
    about = about_mm / unit.mm
    power = 10.0 ** floor(log10(about))
    return float(max(m for m in (1, 2, 5) if m * power <= about * (1 + 1e-9)) * power) * unit.mm


def scale_bar(px_per_mm: float, unit: LengthUnit, *, about_px: float = 190.0) -> tuple[str, float]:
    """Return the scale bar in the lower right corner and the width that it takes, pixels."""
    size = round_length(about_px / px_per_mm, unit)
    w = size * px_per_mm
    x1, y = WIDTH - MARGIN, HEIGHT - CAPTION + 62.0
    x0 = x1 - w
    bar = (
        f'<path d="M{x0:.2f} {y:.1f}H{x1:.2f}M{x0:.2f} {y - 9:.1f}V{y + 9:.1f}M{x1:.2f} {y - 9:.1f}V{y + 9:.1f}" '
        f'stroke="{INK}" stroke-width="2.5" fill="none"/>'
    )
    text = unit.length(size)
    wide = max(w, text_box(text, 0, 0, _TEXT).width)
    return bar + _text(text, x1 - w / 2 if wide == w else x1, y + 36, _TEXT, anchor="middle" if wide == w else "end"), (
        wide + 40.0
    )


@frozen_record
class Label:
    """A label: lines of text (the first bold) and the picture point that it tells about."""

    lines: tuple[str, ...]
    at: tuple[float, float]


def spread(wanted: list[float], heights: list[float], top: float, bottom: float, gap: float) -> list[float]:
    """Return the upper ends of a column of boxes near where they are wanted, in order, none overlapping.

    Args:
        wanted: the middle that each box would like, in rising order.
        heights: of the boxes.
        top: upper end of the column.
        bottom: lower end of the column, which must be long enough for all.
        gap: least distance between boxes.
    """
    tops = [w - h / 2 for w, h in zip(wanted, heights, strict=True)]
    limit = top
    for i, h in enumerate(heights):
        tops[i] = max(tops[i], limit)
        limit = tops[i] + h + gap
    limit = bottom
    for i in range(len(tops) - 1, -1, -1):
        tops[i] = min(tops[i], limit - heights[i])
        limit = tops[i] - gap
    return tops


def labels(items: list[Label], column: Box) -> tuple[str, list[Box]]:
    """Return labels set in a column, with leader lines to their points, and the boxes of their texts."""
    items = sorted(items, key=lambda i: i.at[1])
    size = _label_size(items, column)
    leading = size * _LEADING
    heights = [len(i.lines) * leading for i in items]
    tops = spread([i.at[1] for i in items], heights, column.top, column.bottom, size * 0.7)
    parts: list[str] = []
    boxes: list[Box] = []
    for item, top in zip(items, tops, strict=True):
        elbow = top + leading * 0.62
        parts.append(
            f'<path d="M{item.at[0]:.1f} {item.at[1]:.1f}L{column.left - 34:.1f} {elbow:.1f}H{column.left - 10:.1f}" '
            f'fill="none" stroke="{_GREY}" stroke-width="1.4"/>'
            f'<circle cx="{item.at[0]:.1f}" cy="{item.at[1]:.1f}" r="4" fill="{INK}" stroke="#fff" stroke-width="1.2"/>'
        )
        for n, line in enumerate(item.lines):
            bold = n == 0
            text = shortened(shown(line), size, column.width, bold=bold)
            y = top + n * leading + size * 0.95
            boxes.append(text_box(text, column.left, y, size, bold=bold))
            parts.append(_text(text, column.left, y, size, bold=bold, ink=INK if bold else _GREY))
    return "".join(parts), boxes


def _label_size(items: list[Label], column: Box) -> float:
    """Return the size of lettering at which all labels fit into the column."""
    em = sum(len(i.lines) * _LEADING + 0.7 for i in items)
    return min(_LABEL, column.height / max(em, 1.0))
