"""The title block of ISO 7200: 180 mm wide, at the lower right of the frame.

Fields from memory: legal owner, identification number, date of issue, sheet number, title, approval person, creator and
document type must be there; one that the recipe leaves open has a dash. A date stands only where the recipe gives it.
"""

from __future__ import annotations

from typing import Final

from generator.paper.box import Box
from generator.paper.drawing.block import Block
from generator.paper.drawing.said import Said
from generator.paper.drawing.title_fields import EDGES, ROW_MM, TITLE_ROW_MM, Field, title_rows, told
from generator.paper.letters import LEAST_MM, width_mm
from generator.paper.lines import CENTRE, GREY, NARROW, VISIBLE
from generator.paper.sheet import Easel, circle, line, polyline, rectangle
from generator.recipe.model_paper import FIRST_ANGLE

__all__ = ["TITLE_BLOCK_MM", "TITLE_BLOCK_TALL_MM", "title_block"]

TITLE_BLOCK_MM: Final = 180.0
LABEL_MM: Final = LEAST_MM
TITLE_BLOCK_TALL_MM: Final = 4.0 * ROW_MM + TITLE_ROW_MM
EDGE_STATES: Final = (("outside", "−0.3"), ("inside", "+0.3"))
"""ISO 13715 signs: minus takes away, plus leaves; the figures are common practice, no source. Millimetres."""
CORNER_MM: Final = 4.4
"""Height of the symbol's upright leg."""


def title_block(said: Said, *, scale: str, size: str, sheet: int, sheets: int) -> Block:
    """Return the title block with its lower right corner at (0, 0).

    Args:
        said: the part and the order.
        scale: such as ``1:2``.
        size: name of the sheet's format.
        sheet: number of this sheet.
        sheets: how many there are.
    """
    rows = title_rows(said, scale=scale, size=size, sheet=f"{sheet} of {sheets}")
    easel = Easel()
    height = sum(row[0] for row in rows)
    y = height
    for tall, fields in rows:
        x = -TITLE_BLOCK_MM
        for f in fields:
            _field(easel, f, Box(x, y - tall, x + f.width, y), said.unit.name)
            if not f.label:
                _symbol(easel, ((x + x + f.width) / 2.0, y - tall / 2.0), said.recipe.paper.projection == FIRST_ANGLE)
            x += f.width
        y -= tall
    box = Box(-TITLE_BLOCK_MM, 0.0, 0.0, height)
    easel.draw(rectangle(box), kind=VISIBLE, name="title-block")
    return Block("title block", tuple(easel.items), box)


def _field(easel: Easel, field: Field, box: Box, unit: str) -> None:
    """Draw one field; letters as high as they may be, lower if the value is long."""
    easel.draw(rectangle(box), kind=NARROW)
    if field.label:
        easel.write(field.label, (box.left + 1.5, box.top - 3.3), LABEL_MM, colour=GREY_TEXT)
    if field.label == EDGES:
        _edges(easel, box, unit)
        return
    text, height = told(field)
    easel.write(text, (box.left + 1.5, box.bottom + 0.45 * height + 0.1), height)


def _edges(easel: Easel, box: Box, unit: str) -> None:
    """Draw the states of edges: a corner with its figure over it, outside and inside (ISO 13715, from memory)."""
    x, y = box.left + 1.5, box.bottom + 1.2
    for where, figure in EDGE_STATES:
        easel.write(where, (x, y), LABEL_MM)
        x += width_mm(where, LABEL_MM) + 1.2
        wide = width_mm(figure, LABEL_MM)
        corner = polyline((x, y + CORNER_MM), (x, y - 0.2), (x + wide + 1.6, y - 0.2))
        easel.draw(corner, kind=VISIBLE, name="edge-symbol")
        easel.write(figure, (x + 1.0, y + 0.9), LABEL_MM)
        x += wide + 3.6
    if unit != "mm":
        easel.write("mm", (x, y), LABEL_MM)


GREY_TEXT: Final = GREY


def _symbol(easel: Easel, middle: tuple[float, float], first_angle: bool) -> None:
    """Draw the projection symbol of ISO 5456-2: a frustum, its small end to the left, and its view from there.

    The view from the left lies on the right in first angle, on the left in third angle.
    """
    x, y = middle
    side, front = (x - 6.0, x + 5.5) if first_angle else (x + 5.5, x - 6.0)
    large, small, half = 3.4, 1.7, 3.4
    easel.draw(
        polyline(
            (side - half, y - small),
            (side + half, y - large),
            (side + half, y + large),
            (side - half, y + small),
            closed=True,
        ),
        circle((front, y), large),
        circle((front, y), small),
        kind=VISIBLE,
        name="projection-symbol",
    )
    easel.draw(
        line((side - half - 1.2, y), (side + half + 1.2, y)),
        line((front - large - 1.2, y), (front + large + 1.2, y)),
        line((front, y - large - 1.2), (front, y + large + 1.2)),
        kind=CENTRE,
    )
