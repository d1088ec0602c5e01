"""Limits of what cutters and drills can do."""

from __future__ import annotations

from dataclasses import dataclass

from generator.base import fields as f
from generator.base.figures import Figure
from generator.base.practice import PRINTED


@dataclass(frozen=True, kw_only=True)
class CuttingLimits:
    """What cutters and drills can do."""

    drill_depth: Figure = f.limit(
        Figure(10.0, "x d", f"{PRINTED} (drilled depth 4 diameters best, 10 the limit)", "read"),
        "Deepest drilled hole, in diameters.",
        at_most=100,
    )
