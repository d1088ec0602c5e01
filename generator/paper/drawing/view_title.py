"""The title over a view."""

from __future__ import annotations

from typing import Final

from generator.paper.box import Box
from generator.paper.drawing.find_place import Obstacles
from generator.paper.drawing.lettered import label_box
from generator.paper.sheet import Easel

__all__ = ["write_title"]

TITLE_MM: Final = 3.5
OVER_MM: Final = 3.0


def write_title(easel: Easel, title: str, outline: Box) -> None:
    """Write a title over the outline of a view, as low as nothing is in its way."""
    obstacles = Obstacles(easel.items)
    box = label_box(title, (), TITLE_MM)
    y = outline.top + OVER_MM
    while not obstacles.free(box.moved(outline.left, y)):
        y += 1.0
    easel.write(title, (outline.left, y), TITLE_MM)
