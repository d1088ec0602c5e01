"""What the shades of a picture mean: a swatch for every depth."""

from __future__ import annotations

from typing import Final

from generator.paper.box import Box
from generator.paper.letters import width_mm
from generator.paper.lines import NARROW, Colour
from generator.paper.setup.shades import shades_of
from generator.paper.setup.subject import Subject
from generator.paper.sheet import Easel, rectangle

__all__ = ["draw_legend", "legend_height"]

TEXT_MM: Final = 3.5
ROW_MM: Final = 7.0
SWATCH_MM: Final = 7.0


def _entries(subject: Subject) -> list[tuple[str, Colour | None]]:
    out: list[tuple[str, Colour | None]] = [
        ("through" if s.through else f"{subject.figure(s.depth_mm)} deep", s.colour) for s in shades_of(subject)
    ]
    return out


def legend_height(subject: Subject, width: float) -> float:
    """Return the height of the legend in a width, mm."""
    return ROW_MM * len(_legend_rows(subject, width))


def _legend_rows(subject: Subject, width: float) -> list[list[tuple[str, Colour | None]]]:
    rows: list[list[tuple[str, Colour | None]]] = [[]]
    used = 0.0
    for entry in _entries(subject):
        wide = _entry_mm(entry[0])
        if rows[-1] and used + wide > width:
            rows.append([])
            used = 0.0
        rows[-1].append(entry)
        used += wide
    return rows


def _entry_mm(text: str) -> float:
    return SWATCH_MM + 1.5 + width_mm(text, TEXT_MM) + 4.0


def draw_legend(easel: Easel, subject: Subject, box: Box) -> None:
    """Draw the swatches with their depths, in rows from the top of a box of the sheet."""
    y = box.top
    for row in _legend_rows(subject, box.width):
        x = box.left
        for text, colour in row:
            easel.draw(rectangle(Box(x, y - 5.5, x + SWATCH_MM, y - 1.0)), kind=NARROW, fill=colour, name="swatch")
            easel.write(text, (x + SWATCH_MM + 1.5, y - 5.0), TEXT_MM)
            x += _entry_mm(text)
        y -= ROW_MM
