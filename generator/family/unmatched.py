"""Conditions of a family: what they decide for a variant, and which of them no variant meets, maybe by a slip."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from generator.family.conditions import matches, same
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
    """What decides which variants are left out and which overrides they get; it is remembered what was ever met."""

    family: Family
    _met: set[str] = field(default_factory=set)
    _values: dict[str, dict[str, None]] = field(default_factory=dict)
    _kept: dict[str, dict[str, None]] = field(default_factory=dict)

    def overrides_of(self, values: Mapping[str, Parameter]) -> tuple[int, ...] | None:
        """Return the numbers of the overrides that a variant of these values gets; None if it is left out."""
        _note(self._values, values)
        file = self.family.file
        out = {f"leave_out[{i}]" for i, w in enumerate(file.leave_out) if matches(w, values)}
        self._met |= out
        if out:
            return None
        _note(self._kept, values)
        given = tuple(i for i, o in enumerate(file.overrides) if matches(o.where, values))
        self._met |= {f"overrides[{i}].where" for i in given}
        return given

    def unmatched(self) -> tuple[str, ...]:
        """Return a sentence for every condition that no variant has met, and every value of one that none has."""
        return tuple(s for at, where, known in self._all() for s in self._sentences(at, where, known))

    def _all(self) -> Iterator[tuple[str, Mapping[str, Node], Mapping[str, Mapping[str, None]]]]:
        """Yield every condition with its path and the values that can meet it."""
        for i, where in enumerate(self.family.file.leave_out):
            yield f"leave_out[{i}]", where, self._values
        for i, override in enumerate(self.family.file.overrides):
            yield f"overrides[{i}].where", override.where, self._kept

    def _sentences(self, at: str, where: Mapping[str, Node], known: Mapping[str, Mapping[str, None]]) -> Iterator[str]:
        if at not in self._met:
            yield _unmet(at, where, known)
            return
        for name, node in where.items():
            for option in node.items if isinstance(node, ListNode) else ():
                if isinstance(option, Scalar) and not any(same(option, v) for v in known.get(name, ())):
                    told = f"{_at(option, at)}: no variant has the value `{shown(option.text)}` of `{name}`"
                    yield f"{told}: mend it, or delete it; {_has(name, known)}"


def _unmet(at: str, where: Mapping[str, Node], known: Mapping[str, Mapping[str, None]]) -> str:
    told = flow_text({name: _plain(node) for name, node in where.items()})
    said = f"{_at(next(iter(where.values())), at)}: no variant meets the condition `{shown(told)}`"
    if len(where) > 1:
        return f"{said}: mend it, or delete it"
    return f"{said}: mend it, or delete it; {_has(next(iter(where)), known)}"


def _has(name: str, known: Mapping[str, Mapping[str, None]]) -> str:
    return f"`{name}` is {listed(known.get(name, {}), most=MOST_VALUES)}"


def _note(known: dict[str, dict[str, None]], values: Mapping[str, Parameter]) -> None:
    for name, value in values.items():
        known.setdefault(name, {})[value.written] = None


def _at(node: Node, path: str) -> str:
    return f"{node.place.source.name}:{node.place.line}: {path}"


def _plain(node: Node) -> object:
    if isinstance(node, ListNode):
        return [_plain(n) for n in node.items]
    return node.value if isinstance(node, Scalar) else ""
