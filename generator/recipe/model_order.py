"""What the recipe says to the shop that makes the parts: who asks, how many, what finish, whom to call."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record


@frozen_record(kw_only=True)
class Order:
    """What goes into title blocks, parts list and the shop's README; nothing here changes the part."""

    quantity: int = f.count("How many of each part are wanted.", default=1, at_least=1, at_most=100_000, example=12)
    number: str = f.text("Number of the drawing; without it the recipe's name.", default="", example="P-0021")
    owner: str = f.text("Legal owner of the drawings.", default="", example="Elm Lane Allotments")
    drawn_by: str = f.text("Who made the recipe.", default="", example="R. Field")
    approved_by: str = f.text("Who approved it.", default="", example="M. Stone")
    date: str = f.text("Date of issue, as text; no sheet carries a date without it.", default="", example="2026-05-04")
    contact: str = f.text(
        "Whom the shop asks, as text: a name, a telephone number, an address.",
        default="",
        example="R. Field, workshop 3",
    )
    finish: str = f.text(
        "Finish of the cover, as text.", default="as milled, all edges deburred", example="bead blasted, clear anodised"
    )
    insert_finish: str = f.text(
        "Finish of the inserts, as text.", default="as milled, all edges deburred", example="brushed along the length"
    )
