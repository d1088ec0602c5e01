"""Limits and dimensions with their sources: a number never stands alone."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from generator.base.frozen_record import frozen_record

SET: Final = "set in the recipe"
"""Source of a limit that a person chose."""


@frozen_record
class Figure:
    """A published or customary number and where it comes from.

    Attributes:
        value: in ``unit``.
        unit: ``mm``, ``deg``, ``x d`` …
        source: the standard or handbook, or ``common practice, no source``.
        provenance: how well it is known: ``cross-checked``, ``read``, ``derived`` or ``memory``; empty for what was
            chosen.
    """

    value: float
    unit: str
    source: str
    provenance: str

    def chosen(self, value: float) -> Figure:
        """Return this figure as a person set it; with its own value it keeps its source."""
        return self if value == self.value else replace(self, value=value, source=SET, provenance="")

    @property
    def told_source(self) -> str:
        """Return the source and how well the figure is known, as it is told."""
        known = "from memory" if self.provenance == "memory" else self.provenance
        return f"{self.source}, {known}" if known else self.source
