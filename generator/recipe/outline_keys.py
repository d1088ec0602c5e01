"""What may be done to any outline in a recipe: the keys that stand beside its kind."""

from __future__ import annotations

from typing import Final

from generator.base import fields as f
from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record


@frozen_record(kw_only=True)
class OutlineKeys:
    """Modifiers of an outline, applied in this order whatever their order in the recipe."""

    mirror: str = f.word(
        "Unite the outline with its mirror image in the x axis, the y axis, or both: describe one half or quarter.",
        ("x", "y", "both"),
        default="",
        example="y",
    )
    add: tuple[OutlineSpec, ...] = f.list_of(
        f.outline("An outline to unite with this one.", example={"disc": {"radius": 8}, "at": [0, 20]}),
        "Outlines united with this one.",
        default=(),
        most=200,
        example=[{"disc": {"radius": 8}, "at": [0, 20]}],
    )
    cut: tuple[OutlineSpec, ...] = f.list_of(
        f.outline("An outline to take away from this one.", example={"disc": {"radius": 3}}),
        "Outlines taken away from this one.",
        default=(),
        most=200,
        example=[{"disc": {"radius": 3}, "at": [10, 0]}],
    )
    round_corners: float = f.length(
        "Radius given to every sharp corner, inside and outside.", default=0.0, at_least=0, at_most=1000, example=4
    )
    grow: float = f.length(
        "Offset outwards all round; negative for inwards.", default=0.0, at_least=-1000, at_most=1000, example=2
    )
    turn: float = f.angle("Turn counter-clockwise about the outline's own origin.", default=0.0, example=45)
    at: tuple[float, float] = f.point("Then move by this.", default=(0.0, 0.0), example=[10, 0])


ATTRIBUTE_OF: Final = {
    "mirror": "mirror",
    "add": "add",
    "cut": "cut",
    "round_corners": "round_corners_mm",
    "grow": "grow_mm",
    "turn": "turn_rad",
    "at": "at_mm",
}
"""Key in the recipe → attribute of ``OutlineSpec``."""
