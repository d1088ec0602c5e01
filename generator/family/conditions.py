"""Which variants a condition on values means."""

from __future__ import annotations

from collections.abc import Mapping

from generator.recipe.parameters import Parameter
from generator.recipe.scalars import is_number, resolve_scalar
from generator.recipe.text import ListNode, Node, Scalar

__all__ = ["matches", "same"]


def matches(where: Mapping[str, Node], values: Mapping[str, Parameter]) -> bool:
    """Return True if a variant has every value of ``where``; of a list one is enough. Numbers count by their value."""
    return all(name in values and _any_of(wanted, values[name]) for name, wanted in where.items())


def _any_of(wanted: Node, value: Parameter) -> bool:
    options = wanted.items if isinstance(wanted, ListNode) else (wanted,)
    return any(isinstance(o, Scalar) and same(o, value.written) for o in options)


def same(wanted: Scalar, written: str) -> bool:
    """Return True if a value of a condition is the one of a variant, as it stands in a text."""
    if wanted.text == written:
        return True
    other = resolve_scalar(written)
    number = wanted.value
    return is_number(number) and is_number(other) and number == other
