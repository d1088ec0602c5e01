"""Limits and dimensions with their sources: a number never stands alone."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Figure:
    """A published or customary number and where it comes from.

    Attributes:
        value: in ``unit``.
        unit: ``mm``, ``deg``, ``x d`` …
        source: the standard or handbook, or ``common practice, no source``.
        provenance: how well it is known: ``cross-checked``, ``read``, ``derived`` or ``from memory``.
    """

    value: float
    unit: str
    source: str
    provenance: str
