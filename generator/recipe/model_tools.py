"""The recipe's tools: the cutters and drills at hand."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record


@frozen_record(kw_only=True)
class Tool:
    """A cutter or drill that is at hand."""

    kind: str = f.word("Kind of tool.", ("end mill", "drill", "chamfer cutter", "reamer"), example="end mill")
    diameter: float = f.length("Cutting diameter.", at_least=0.01, at_most=100, example=3)
    flute_length: float | None = f.length(
        "Length of the cutting edges; how deep it reaches.", default=None, above=0, at_most=300, example=12
    )
    stick_out: float | None = f.length(
        "How far it stands out of its holder; without it, flutes and one diameter are reckoned with. Decides how far "
        "it bends.",
        default=None,
        above=0,
        at_most=300,
        example=18,
    )
    teeth: int = f.count("Number of cutting edges.", default=2, at_least=1, at_most=20, example=3)
