"""The catalogue as one picture: cards in two columns, each a shape round both originals with its recipe lines."""

from __future__ import annotations

from typing import Final

from generator.outputs.catalogue_draw import Drawn
from generator.outputs.catalogue_entries import Entry
from generator.outputs.catalogue_figure import FIGURE_WIDTH, KEY, Scale, figure, figure_height
from generator.outputs.lettering import text_width, wrapped, xml_text
from generator.outputs.svg_sheet import FONT, INK, QUIET

__all__ = ["sheet"]

_GAP, _MARGIN, _PAD = 32.0, 56.0, 26.0
_CARD: Final = 2.0 * FIGURE_WIDTH + 2.0 * _PAD
_COLUMNS: Final = 2
_HEAD, _TEXT, _LINES = 30.0, 18.5, 17.0
_LEADING: Final = 1.36
_TOP: Final = 210.0

Card = tuple[Entry, tuple[Drawn, ...], str]
"""An entry, its drawings, and the sentence that says what the shape is."""


def sheet(cards: list[Card], scale: Scale) -> str:
    """Return the sheet as SVG."""
    rows = [cards[i : i + _COLUMNS] for i in range(0, len(cards), _COLUMNS)]
    y, parts = _TOP, []
    for row in rows:
        tall = max(_height(card, scale) for card in row)
        parts += [_card(card, _MARGIN + i * (_CARD + _GAP), y, tall, scale) for i, card in enumerate(row)]
        y += tall + _GAP
    width, height = 2.0 * _MARGIN + _COLUMNS * _CARD + (_COLUMNS - 1) * _GAP, y - _GAP + _MARGIN
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}" height="{height:g}" '
        f'viewBox="0 0 {width:g} {height:g}" font-family="{FONT}"><rect width="{width:g}" height="{height:g}" '
        f'fill="#f4f5f7"/>{_title()}{"".join(parts)}</svg>'
    )


def _title() -> str:
    parts = [
        _text("Outer shapes", _MARGIN, 92.0, 46.0, bold=True),
        _text(
            "Every shape round two originals, all at one scale. The recipe lines under a figure drew it.",
            _MARGIN,
            132.0,
            21.0,
            ink=QUIET,
        ),
    ]
    x = _MARGIN
    for words, ink, fill, width in KEY:
        parts.append(
            f'<rect x="{x:g}" y="158" width="30" height="19" rx="5" fill="{fill}" stroke="{ink}" '
            f'stroke-width="{width:g}"/>'
        )
        parts.append(_text(words, x + 42.0, 174.0, 19.0))
        x += 42.0 + text_width(words, 19.0) + 44.0
    return "".join(parts)


def _height(card: Card, scale: Scale) -> float:
    entry, drawings, sentence = card
    lines = max(len(text.splitlines()) for text in entry.lines)
    words = len(wrapped(sentence, _TEXT, _CARD - 2.0 * _PAD))
    return (
        _HEAD
        + words * _TEXT * _LEADING
        + figure_height(drawings, scale)
        + 20.0
        + lines * _LINES * _LEADING
        + 2.0 * _PAD
        + 34.0
    )


def _card(card: Card, x: float, y: float, tall: float, scale: Scale) -> str:
    entry, drawings, sentence = card
    parts = [
        f'<rect x="{x:g}" y="{y:g}" width="{_CARD:g}" height="{tall:g}" rx="12" fill="#fff" stroke="#d9dde3"/>',
        _text(entry.heading, x + _PAD, y + _PAD + _HEAD * 0.78, _HEAD, bold=True),
    ]
    at = y + _PAD + _HEAD
    for line in wrapped(sentence, _TEXT, _CARD - 2.0 * _PAD):
        at += _TEXT * _LEADING
        parts.append(_text(line, x + _PAD, at, _TEXT, ink=QUIET))
    tall_px = figure_height(drawings, scale)
    for i, drawn in enumerate(drawings):
        left = x + _PAD + i * FIGURE_WIDTH
        parts.append(f'<g transform="translate({left:g} {at + 6:g})">{figure(drawn, scale, tall_px)}</g>')
        parts.append(_recipe(drawn, left, at + tall_px + 18.0))
    return "".join(parts)


def _recipe(drawn: Drawn, x: float, y: float) -> str:
    parts = [_text(drawn.title, x, y + 4.0, _LINES * 0.9, ink=QUIET)]
    for i, line in enumerate(drawn.lines.splitlines()):
        indent = len(line) - len(line.lstrip())
        parts.append(_text(line.lstrip(), x + indent * 9.0, y + 10.0 + (i + 1) * _LINES * _LEADING, _LINES))
    return "".join(parts)


def _text(text: str, x: float, y: float, size: float, *, bold: bool = False, ink: str = INK) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" fill="{ink}"{weight}>{xml_text(text)}</text>'
