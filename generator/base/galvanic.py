"""Anodic indices of metals: how far apart two metals lie, by the custom of MIL-DTL-14072F.

Metals within a group go together; of two in contact the one with the larger index is eaten.
"""

from __future__ import annotations

from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.plain_metals import PLAIN_METALS


@frozen_record
class Group:
    """Metals of one anodic index.

    Attributes:
        metals: what belongs to it.
        index_v: anodic index, V.
        provenance: how well it is known (words as in ``standards``).
    """

    metals: str
    index_v: float
    provenance: str


GROUPS: Final[tuple[Group, ...]] = (
    Group("gold; gold plate", 0.0, "read"),
    Group("rhodium on silver-plated copper", 0.05, "read"),
    Group("silver; high-nickel copper, monel", 0.15, "read"),
    Group("nickel; titanium", 0.3, "read"),
    Group("copper; low brass or bronze; nickel silver", 0.35, "read"),
    Group("yellow brass and bronze", 0.4, "read"),
    Group("high brass and bronze; naval brass; Muntz metal", 0.45, "read"),
    Group("18 % chromium corrosion-resistant steel", 0.5, "read"),
    Group("chromium plate; tin plate; 12 % chromium steel", 0.6, "read"),
    Group("tin-lead solder", 0.65, "read"),
    Group("lead", 0.7, "read"),
    Group("aluminium of the 2000 series, wrought", 0.75, "read"),
    Group("iron; plain carbon and low-alloy steel", 0.85, "memory"),
    Group("wrought aluminium other than the 2000 series", 0.9, "cross-checked"),
    Group("aluminium castings; cadmium plate", 0.95, "memory"),
    Group("hot-dip zinc; galvanised steel", 1.2, "memory"),
    Group("zinc; zinc plate", 1.25, "memory"),
    Group("magnesium", 1.75, "memory"),
)
"""Source: tables of the anodic index as circulated by galvanic guides (VK6YSF table, EIC, Carr Lane; one guide prints
titanium 0.15). MIL-STD-889D classes couples by measured rates instead; the index is the older custom."""

SOURCE: Final = "anodic index, MIL-DTL-14072F custom"

INDEX_OF: Final[dict[str, float]] = {
    "EN AW-6082 T6": 0.9,
    "EN AW-5083 H111": 0.9,
    "EN AW-6061 T6": 0.9,
    "CuZn39Pb3 R430": 0.45,
    "CuZn37 R350": 0.4,
    "Cu-ETP R240": 0.35,
    "1.4301 annealed": 0.5,
    "S235JR": 0.85,
    **{m.name: m.index_v for m in PLAIN_METALS},
}
"""Index of the built-in metals and of what originals and bolts are commonly made of, V."""


def index_of(metal: str) -> float | None:
    """Return the anodic index of a built-in material or a plain metal, V; None for what is no metal or not known."""
    return INDEX_OF.get(metal)
