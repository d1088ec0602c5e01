"""Limits of what a shop is asked for."""

from __future__ import annotations

from dataclasses import dataclass

from generator.base import fields as f
from generator.base.figures import Figure
from generator.base.practice import OWN


@dataclass(frozen=True, kw_only=True)
class ShopLimits:
    """What is asked of a shop."""

    longest_cutting: Figure = f.limit(
        Figure(480.0, "min", OWN, ""),
        "Cutting for longer, reckoned with all setups, is worth a warning: a working day.",
        at_most=100_000,
    )
