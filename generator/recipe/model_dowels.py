"""The recipe's dowels: pins that register the blank for the flip."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.base.limits_and_fits import PIN_WORDS


@frozen_record(kw_only=True)
class Dowels:
    """Pins that register the blank when it is turned over. Two dowels on the flip axis are common practice."""

    diameter: float = f.length("Diameter of the dowel pins (ISO 2338, ISO 8734).", at_least=0.5, at_most=50, example=6)
    fit: str = f.text("Tolerance class of the dowel holes, ISO 286.", default="H7", example="H7")
    pins: str = f.word(
        "Tolerance class of the pins: m6 for ground dowels (ISO 8734), h8 for drawn ones (ISO 2338), h6 for ground "
        "rod. With the holes' class it decides how much play the blank has.",
        PIN_WORDS,
        default="m6",
        example="h6",
    )
    axis: str = f.word(
        "Direction of the flip axis, about which the blank is turned over.",
        ("x", "y"),
        default="y",
        example="y",
    )
    through: tuple[float, float] | None = f.point(
        "A point on the flip axis; without it, the middle of the outer shape's box.",
        default=None,
        example=[0, 0],
    )
    place: str = f.word(
        "Outside the finished part (in the blank only) or inside it.",
        ("outside", "inside"),
        default="outside",
        example="outside",
    )
    at: tuple[float, ...] = f.list_of(
        f.length("Position along the flip axis.", at_least=-2000, at_most=2000, example=-50),
        "Positions of the dowels along the flip axis (x or y coordinate); without it, one beyond each end of the part, "
        "at unequal distances from the middle so that a blank laid in turned is seen to lie off; a third dowel off the "
        "middle of the others keeps it from going on at all.",
        default=(),
        fewest=2,
        most=10,
        example=[-52, 56],
    )
