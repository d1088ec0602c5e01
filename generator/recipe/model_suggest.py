"""What a person lets ``coverplate suggest`` change."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record

_KEY = r"[a-z][\w-]*(\[\d+\])*(\.[\w-]+(\[\d+\])*)*"


@frozen_record(kw_only=True)
class Bounds:
    """Between what a length may lie."""

    key: str = f.text("Path of the key.", pattern=_KEY, example="cover.stock.thickness")
    at_least: float | None = f.length("No less than this.", default=None, at_least=-2000, at_most=2000, example=6)
    at_most: float | None = f.length("No more than this.", default=None, at_least=-2000, at_most=2000, example=12)
    one_of: tuple[float, ...] = f.list_of(
        f.length("A length that can be had.", at_least=-2000, at_most=2000, example=8),
        "Only these lengths, such as the thicknesses in the rack.",
        default=(),
        fewest=1,
        most=100,
        example=[6, 8, 10, 12],
    )


@frozen_record(kw_only=True)
class Changes:
    """What may be changed when a recipe is mended; what the original is never is."""

    keep: tuple[str, ...] = f.list_of(
        f.text("Path of a key or of a group of keys.", pattern=_KEY, example="cover.outer"),
        "Keys, and what lies below them, that stay as they are.",
        default=(),
        fewest=1,
        most=100,
        example=["cover.stock.thickness", "inlays"],
    )
    within: tuple[Bounds, ...] = f.list_of(
        f.record(Bounds, "Bounds of one key."),
        "Bounds of lengths; a key that is not named may have any length that the recipe takes.",
        default=(),
        most=100,
        example=[{"key": "cover.stock.thickness", "one_of": [6, 8, 10]}],
    )
