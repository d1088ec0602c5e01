"""Adhesives for inserts: the gaps that they bridge well and the strength that is printed for them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Adhesive:
    """A kind of adhesive.

    Attributes:
        name: as it stands in a recipe.
        least_mm, most_mm: gap a side between which it is strongest.
        limit_mm: widest gap that it bridges.
        strength_mpa: lap shear strength between sound metals; from memory, the low end of what makers print.
        source: of the gaps.
        provenance: of the gaps.
    """

    name: str
    least_mm: float
    most_mm: float
    limit_mm: float
    strength_mpa: float
    source: str
    provenance: str


EPOXY: Final = Adhesive(
    "epoxy", 0.05, 0.13, 0.2, 15.0, "adhesive makers' guides (epoxy strongest at 0.05 to 0.13 mm)", "read"
)
CYANOACRYLATE: Final = Adhesive(
    "cyanoacrylate", 0.0, 0.05, 0.2, 10.0, "adhesive guide (cyanoacrylate best below 0.05 mm, 0.2 mm the limit)", "read"
)
ENGINEERING: Final = Adhesive(
    "engineering adhesive", 0.05, 0.2, 0.2, 10.0, "adhesive guide (0.05 to 0.20 mm per joint)", "read"
)
ADHESIVES: Final = (EPOXY, CYANOACRYLATE, ENGINEERING)
NO_ADHESIVE: Final = "none"
ADHESIVE_WORDS: Final = (*(a.name for a in ADHESIVES), NO_ADHESIVE)
