"""Colours, widths and dashes of the layers in the plan; sober, and told apart in grey by line and key letter."""

from __future__ import annotations

from collections.abc import Sequence
from string import ascii_uppercase
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.outputs.svg_sheet import INK, Style
from generator.part.part import Face, Layer

__all__ = ["AXIS", "CENTRE", "CLAMP", "TAB", "Row", "depth_of_drawing", "legend_rows", "style_of"]

WIDE: Final = 0.5
MEDIUM: Final = 0.35
_HIDDEN: Final = (2.6, 1.1)
"""Dashed narrow line: hidden outlines (ISO 128-2, type 02)."""
CENTRE: Final = Style("#5b636e", 0.15, (4.0, 0.8, 0.6, 0.8))
"""Long-dashed dotted narrow line: centre lines (ISO 128-2, type 04)."""
AXIS: Final = Style("#8a2f6b", MEDIUM, (7.0, 1.2, 0.8, 1.2))
CLAMP: Final = Style("#8a6d1f", MEDIUM, (2.0, 1.0))
"""Clamps on the blank."""
TAB: Final = Style("#8a6d1f", 2.0)
"""What is left standing between part and blank."""
_PHANTOM: Final = (7.0, 1.2, 0.8, 1.2, 0.8, 1.2)
"""Long-dashed double-dotted narrow line: outlines of what is not the finished part (ISO 128-2, type 05)."""

_STYLES: Final[tuple[tuple[str, Style], ...]] = (
    ("outer-profile", Style(INK, 0.7)),
    ("edge-break", Style(INK, 0.15)),
    ("bottom-pocket", Style("#1f5fa8", WIDE, (), "#1f5fa80d")),
    ("bolt-holes", Style("#a3262a", WIDE)),
    ("seats", Style("#a3262a", 0.25)),
    ("openings", Style("#2a7a48", WIDE, (), "#2a7a4826")),
    ("inlay-pocket", Style("#6d3f9c", WIDE)),
    ("engraving", Style("#3d3d8f", 0.2, (), "#3d3d8f33")),
    ("insert-cut", Style("#7a4a00", 0.2, (), "#ffffffaa")),
    ("insert-engraving", Style("#7a4a00", 0.15, (), "#7a4a0055")),
    ("insert-profile", Style("#9a6a00", 0.15, (), "#e6b84a55")),
    ("dowel-holes", Style("#0b6a7a", MEDIUM)),
    ("blank", Style("#5b636e", 0.25, _PHANTOM)),
)
_OTHER: Final = Style("#44505c", MEDIUM, (0.8, 0.8))


_UNDER: Final = (
    "blank",
    "bottom-pocket",
    "insert-profile",
    "insert-cut",
    "insert-engraving",
    "inlay-pocket",
    "engraving",
    "openings",
    "seats",
    "bolt-holes",
    "edge-break",
)
"""Beginnings of layers from the lowest up; all others lie above them."""


@frozen_record
class Row:
    """One layer as the plan shows it: key letter, style, and whether it is hidden under the plate."""

    key: str
    layer: Layer
    style: Style
    hidden: bool


def style_of(layer: Layer) -> Style:
    """Return the style of a layer by the beginning of its name; hidden ones dashed."""
    style = next((s for name, s in _STYLES if layer.name == name or layer.name.startswith(f"{name}-")), _OTHER)
    return Style(style.ink, style.width, _HIDDEN, style.tint) if _is_hidden(layer) else style


def _is_hidden(layer: Layer) -> bool:
    """Return True for a recess in the bottom face: from the top it is seen only through the plate."""
    return layer.face is Face.BOTTOM and layer.part == "cover"


def legend_rows(layers: Sequence[Layer]) -> tuple[Row, ...]:
    """Return the layers in the order of drawing (inserts lowest, outlines last), each with a key letter."""
    rows = [Row(_key(i), la, style_of(la), _is_hidden(la)) for i, la in enumerate(layers)]
    return tuple(rows)


def depth_of_drawing(row: Row) -> tuple[int, str]:
    """Return what sorts layers from the lowest to the uppermost."""
    rank = next((i for i, word in enumerate(_UNDER) if row.layer.name.startswith(word)), len(_UNDER))
    return rank, row.layer.name


def _key(index: int) -> str:
    """Return A to Z, then AA, AB …"""
    count = len(ascii_uppercase)
    head = _key(index // count - 1) if index >= count else ""
    return head + ascii_uppercase[index % count]
