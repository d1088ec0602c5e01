"""Fills of engravings: paint or enamel, in colours of our own choice that pictures show and the report names."""

from __future__ import annotations

from typing import Final

from generator.base.frozen_record import frozen_record

__all__ = ["FILLS", "FILL_WORDS", "Fill"]


@frozen_record
class Fill:
    """What an engraving is filled with.

    Attributes:
        name: as the report has it.
        colour: ``#rrggbb``.
    """

    name: str
    colour: str


FILLS: Final = {
    name: Fill(name, colour)
    for name, colour in (
        ("black", "#1d1f21"),
        ("white", "#f2f1ec"),
        ("ivory", "#e9dfc3"),
        ("grey", "#7d8288"),
        ("brown", "#5b3d2a"),
        ("red", "#b3262b"),
        ("dark red", "#6e1a1f"),
        ("orange", "#d9722a"),
        ("yellow", "#e2b93b"),
        ("green", "#2e7d4a"),
        ("dark green", "#1f4a35"),
        ("turquoise", "#2d8c8c"),
        ("blue", "#2f6aa8"),
        ("dark blue", "#1f3358"),
    )
}
"""Colours by name (our own choice; no paint maker's)."""

FILL_WORDS: Final = tuple(FILLS)
