"""The recipe's own limits: a record made from the table of limits, so that every limit has its key."""

from __future__ import annotations

from dataclasses import make_dataclass
from typing import Any

from generator.base import fields as f
from generator.base.figures import Figure
from generator.base.limits import BY_NAME, LENGTH, LIMITS, Limit

__all__ = ["NO_LIMITS", "Limits", "limit_of"]


def _key(limit: Limit) -> tuple[str, type, Any]:
    """Return the record's field for one limit; nothing given means the default counts."""
    figure = limit.figure
    known = f"Default {figure.value:g} {figure.unit}: {figure.source}."
    declare = f.length if limit.kind == LENGTH else f.number
    declared = declare(
        f"{limit.help} {known}", default=None, at_least=0, at_most=limit.at_most, example=round(figure.value, 4)
    )
    return limit.name, float | None, declared  # type: ignore[return-value]


Limits: Any = make_dataclass(
    "Limits",
    [_key(limit) for limit in LIMITS],
    frozen=True,
    kw_only=True,
    namespace={"__doc__": "Limits of the checks; one that is not given keeps its published or customary figure."},
)
"""Limits set in a recipe; None where the default counts."""

NO_LIMITS: Any = Limits()


def limit_of(limits: Any, name: str) -> Figure:
    """Return a limit and where it comes from: the recipe if that sets it, else the default with its source.

    Args:
        limits: ``recipe.limits``.
        name: name in the table of limits.
    """
    default = BY_NAME[name].figure
    own = getattr(limits, name)
    return default if own is None else Figure(float(own), default.unit, "the recipe", "read")
