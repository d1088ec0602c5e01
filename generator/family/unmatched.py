"""Conditions of a family that no variant meets: nothing is left out or set by them, maybe because of a slip."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from generator.family.conditions import matches
from generator.family.family_file import Family
from generator.recipe.mistakes import listed
from generator.recipe.parameters import Parameter
from generator.recipe.places import shown
from generator.recipe.resolve import flow_text
from generator.recipe.text import ListNode, Node, Scalar

__all__ = ["Conditions"]

MOST_VALUES = 6


@dataclass
class Conditions:
    """What decides which variants are left out, and which conditions no variant has met so far."""

    family: Family
    _met: set[str] = field(default_factory=set)
    _values: dict[str, dict[str, None]] = field(default_factory=dict)

    def leaves_out(self, values: Mapping[str, Parameter]) -> bool:
        """Return True if a variant of these values is left out; it is remembered what it meets."""
        for name, value in values.items():
            self._values.setdefault(name, {})[value.written] = None
        out = {f"leave_out[{i}]" for i, w in enumerate(self.family.file.leave_out) if matches(w, values)}
        self._met |= out
        if not out:
            overrides = enumerate(self.family.file.overrides)
            self._met |= {f"overrides[{i}].where" for i, o in overrides if matches(o.where, values)}
        return bool(out)

    def unmatched(self) -> tuple[str, ...]:
        """Return a sentence for every condition that no variant has met, with its place."""
        return tuple(self._sentence(at, where) for at, where in self._all() if at not in self._met)

    def _all(self) -> Iterator[tuple[str, Mapping[str, Node]]]:
        for i, where in enumerate(self.family.file.leave_out):
            yield f"leave_out[{i}]", where
        for i, override in enumerate(self.family.file.overrides):
            yield f"overrides[{i}].where", override.where

    def _sentence(self, at: str, where: Mapping[str, Node]) -> str:
        place = next(iter(where.values())).place
        told = flow_text({name: _plain(node) for name, node in where.items()})
        said = f"{place.source.name}:{place.line}: {at}: no variant meets the condition `{shown(told)}`"
        if len(where) > 1:
            return f"{said}: mend it, or delete it"
        name = next(iter(where))
        return f"{said}: mend it, or delete it; `{name}` is {listed(self._values.get(name, {}), most=MOST_VALUES)}"


def _plain(node: Node) -> object:
    if isinstance(node, ListNode):
        return [_plain(n) for n in node.items]
    return node.value if isinstance(node, Scalar) else ""
