"""Adhesives for inserts: the gaps that they bridge well, the strength that is counted with, how far they stretch."""

from __future__ import annotations

from typing import Final

from generator.base.figures import Figure
from generator.base.frozen_record import frozen_record


@frozen_record
class Adhesive:
    """A kind of adhesive, each figure with where it comes from.

    Attributes:
        name: as it stands in a recipe.
        thinnest, best: gap a side between which it is strongest, mm.
        widest: widest gap that it bridges, mm.
        shear: lap shear strength between sound metals, MPa.
        stretch: shear strain that it follows, slip over thickness; None where the limit of films holds.
    """

    name: str
    thinnest: Figure
    best: Figure
    widest: Figure
    shear: Figure
    stretch: Figure | None = None


EPOXY: Final = "epoxy"
CYANOACRYLATE: Final = "cyanoacrylate"
ENGINEERING: Final = "engineering adhesive"
ELASTIC: Final = "elastic adhesive"
KEY_OF: Final = {EPOXY: "epoxy", CYANOACRYLATE: "cyanoacrylate", ENGINEERING: "engineering", ELASTIC: "elastic"}
"""How the limits of an adhesive begin in ``limits.inserts``."""
NO_ADHESIVE: Final = "none"
ADHESIVE_WORDS: Final = (*KEY_OF, NO_ADHESIVE)
