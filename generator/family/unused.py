"""Values of a family that change nothing: a heading that is misspelt is found by this alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.family.family_file import Family
from generator.family.variants import Variant
from generator.recipe.expression import ExpressionError, names_in, parse_expression
from generator.recipe.mistakes import did_you_mean
from generator.recipe.parameters import holes
from generator.recipe.text import ListNode, MapNode, Node, Scalar

__all__ = ["unused_values"]


def unused_values(family: Family, variants: Sequence[Variant], parameters: frozenset[str]) -> tuple[str, ...]:
    """Return a sentence for every name that varies and that no parameter, name, rule, setting or condition uses."""
    names = dict.fromkeys(n for v in variants for n in v.values)
    used = parameters | set(_used(family))
    free = [p for p in sorted(parameters) if p not in names]
    return tuple(_sentence(n, free) for n in names if n not in used)


def _sentence(name: str, free: Sequence[str]) -> str:
    near = did_you_mean(name, free)
    return f"the value `{name}` changes nothing: no parameter of the recipe has that name{f'; {near}' if near else ''}"


def _used(family: Family) -> Iterator[str]:
    """Yield every name that the family's file uses."""
    file = family.file
    for where in (*file.leave_out, *(o.where for o in file.overrides)):
        yield from where
    for sets in (file.sets, *(o.set_ for o in file.overrides)):
        for node in sets.values():
            yield from _in_node(node)
    yield from _in_node(file.names)
    for rule in file.rules.values():
        yield from _in_node(rule)
        if isinstance(rule, Scalar):
            try:
                yield from names_in(parse_expression(rule.text))
            except ExpressionError:
                continue  # a text


def _in_node(node: Node | None) -> Iterator[str]:
    if isinstance(node, Scalar):
        yield from holes(node.text)
    elif isinstance(node, ListNode):
        for item in node.items:
            yield from _in_node(item)
    elif isinstance(node, MapNode):
        for _, value in node.entries.values():
            yield from _in_node(value)
