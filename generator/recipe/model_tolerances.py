"""The recipe's tolerances: how exactly things are known and made."""

from __future__ import annotations

from dataclasses import dataclass

from generator.base import fields as f


@dataclass(frozen=True, kw_only=True)
class Tolerances:
    """How exactly things are known and made; goes into report and drawings."""

    general: str = f.text("General tolerances.", default="ISO 2768-mK", example="ISO 2768-mK")
    footprint: float = f.length(
        "Uncertainty of the footprint's outline (95 %).", default=0.1, at_least=0, at_most=10, example=0.05
    )
    position: float = f.length(
        "Positional uncertainty of what the machine cuts.", default=0.05, at_least=0, at_most=10, example=0.05
    )
    flip: float = f.length(
        "Offset between the two faces after turning over.", default=0.05, at_least=0, at_most=10, example=0.05
    )
