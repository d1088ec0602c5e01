"""Metals of originals and bolts, in the words of the trade: what they are at their surface, and how they expand."""

from __future__ import annotations

from typing import Final

from generator.base.frozen_record import frozen_record


@frozen_record
class PlainMetal:
    """A metal by its plain name.

    Attributes:
        name: as it stands in a recipe.
        index_v: anodic index of its surface, V: of a plated metal that of the plating.
        cte_per_k: linear expansion, 1/K.
        provenance: how well both are known.
    """

    name: str
    index_v: float
    cte_per_k: float
    provenance: str


PLAIN_METALS: Final[tuple[PlainMetal, ...]] = (
    PlainMetal("carbon steel", 0.85, 12.0e-6, "memory"),
    PlainMetal("galvanised steel", 1.2, 12.0e-6, "memory"),
    PlainMetal("zinc-plated steel", 1.25, 12.0e-6, "memory"),
    PlainMetal("stainless steel", 0.5, 16.0e-6, "read"),
    PlainMetal("cast iron", 0.85, 10.5e-6, "memory"),
    PlainMetal("wrought aluminium", 0.9, 23.4e-6, "cross-checked"),
    PlainMetal("cast aluminium", 0.95, 21.5e-6, "memory"),
    PlainMetal("brass", 0.4, 20.2e-6, "read"),
    PlainMetal("bronze", 0.4, 18.0e-6, "memory"),
    PlainMetal("titanium", 0.3, 8.6e-6, "memory"),
)
"""Indices as in ``galvanic``; expansion of steel, stainless steel, aluminium and brass as in ``materials``."""

PLAIN_METAL_WORDS: Final = tuple(m.name for m in PLAIN_METALS)


def plain_metal(name: str) -> PlainMetal | None:
    """Return the metal of that name; None where none has it."""
    return next((m for m in PLAIN_METALS if m.name == name), None)
