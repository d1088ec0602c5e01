"""The title block of ISO 7200: 180 mm wide, at the lower right of the frame.

Fields from memory: legal owner, identification number, date of issue, sheet number, title, approval person, creator and
document type must be there; one that the recipe leaves open has a dash. A date stands only where the recipe gives it.
"""

from __future__ import annotations

from typing import Final

from generator.base.frozen_record import frozen_record
from generator.paper.box import Box
from generator.paper.drawing.block import Block
from generator.paper.drawing.said import Said
from generator.paper.letters import fitted, width_mm
from generator.paper.lines import CENTRE, GREY, NARROW, VISIBLE
from generator.paper.sheet import Easel, circle, line, polyline, rectangle
from generator.recipe.model_paper import FIRST_ANGLE

__all__ = ["TITLE_BLOCK_MM", "TITLE_BLOCK_TALL_MM", "title_block"]

TITLE_BLOCK_MM: Final = 180.0
LABEL_MM: Final = 2.5
VALUE_MM: Final = 3.5
TITLE_MM: Final = 5.0
ROW_MM: Final = 10.5
TITLE_ROW_MM: Final = 13.5
TITLE_BLOCK_TALL_MM: Final = 4.0 * ROW_MM + TITLE_ROW_MM
DASH: Final = "–"
EDGES: Final = "outside −0.3 / inside +0.3"
"""ISO 13715 signs: minus takes away, plus leaves; the figures are common practice, no source. Millimetres."""


@frozen_record
class Field:
    """One field: its label, value, width (mm), and the greatest height of its letters."""

    label: str
    value: str
    width: float
    height_mm: float = VALUE_MM


def title_block(said: Said, *, scale: str, size: str, sheet: int, sheets: int) -> Block:
    """Return the title block with its lower right corner at (0, 0).

    Args:
        said: the part and the order.
        scale: such as ``1:2``.
        size: name of the sheet's format.
        sheet: number of this sheet.
        sheets: how many there are.
    """
    order, plan, part = said.recipe.order, said.plan, said.part
    title = plan.title or plan.name
    edges = EDGES + (" mm" if said.unit.name != "mm" else "")
    rows = (
        (
            ROW_MM,
            Field("Material", part.material.name, 62.0),
            Field("Finish", said.finish, 88.0),
            Field("Mass", f"{said.mass_g:.3g} g", 30.0),
        ),
        (
            ROW_MM,
            Field("General tolerances", said.general or DASH, 45.0),
            Field("Edges, ISO 13715", edges, 60.0),
            Field("Quantity", str(order.quantity), 23.0),
            Field("Scale", scale, 26.0),
            Field("", "", 26.0),
        ),
        (
            ROW_MM,
            Field("Legal owner", order.owner or DASH, 62.0),
            Field("Drawn by", order.drawn_by or DASH, 42.0),
            Field("Approved by", order.approved_by or DASH, 42.0),
            Field("Date of issue", order.date or DASH, 34.0),
        ),
        (
            TITLE_ROW_MM,
            Field("Title", f"{title} – {part.name}", 134.0, TITLE_MM),
            Field("Document type", "Part drawing", 46.0),
        ),
        (
            ROW_MM,
            Field("Identification number", said.number, 88.0),
            Field("Revision", plan.revision or DASH, 24.0),
            Field("Size", size, 18.0),
            Field("Units", said.unit.name, 22.0),
            Field("Sheet", f"{sheet} of {sheets}", 28.0),
        ),
    )
    easel = Easel()
    height = sum(row[0] for row in rows)
    y = height
    for tall, *fields in rows:
        x = -TITLE_BLOCK_MM
        for f in fields:
            _field(easel, f, Box(x, y - tall, x + f.width, y))
            if not f.label:
                _symbol(easel, ((x + x + f.width) / 2.0, y - tall / 2.0), said.recipe.paper.projection == FIRST_ANGLE)
            x += f.width
        y -= tall
    box = Box(-TITLE_BLOCK_MM, 0.0, 0.0, height)
    easel.draw(rectangle(box), kind=VISIBLE, name="title-block")
    return Block("title block", tuple(easel.items), box)


def _field(easel: Easel, field: Field, box: Box) -> None:
    """Draw one field; letters as high as they may be, lower if the value is long."""
    easel.draw(rectangle(box), kind=NARROW)
    if field.label:
        easel.write(field.label, (box.left + 1.5, box.top - 3.3), LABEL_MM, colour=GREY_TEXT)
    room = box.width - 3.0
    heights = [h for h in (TITLE_MM, VALUE_MM, LABEL_MM) if h <= field.height_mm]
    height = next((h for h in heights if width_mm(field.value, h) <= room), heights[-1])
    easel.write(fitted(field.value, height, room), (box.left + 1.5, box.bottom + 0.45 * height + 0.1), height)


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
