"""Reading groups of keys: records, lists, maps and outlines, each against its declaration."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import Any

from generator.base.errors import CoverplateError
from generator.base.fields import Kind, OutlineSpec, Spec
from generator.recipe.context import BAD, DEFAULT, DERIVED, Context, is_bad
from generator.recipe.keys import Key, exclusive_of, groups_of, keys_of, outline_kinds
from generator.recipe.mistakes import did_you_mean, listed, nearest
from generator.recipe.outline_keys import ATTRIBUTE_OF, OutlineKeys
from generator.recipe.parameters import Parameter
from generator.recipe.places import Place, shown
from generator.recipe.text import ListNode, MapNode, Node, Scalar, described, is_null
from generator.recipe.values import is_reserved_name, read_scalar
from generator.recipe.wording import example_text, expectation, name_like

_MEMBER_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}")

Entries = Mapping[str, tuple[Place, Node]]


def read_value(context: Context, spec: Spec, node: Node, path: str, where: Place) -> Any:
    """Return the value of one key, or ``BAD`` once every mistake in it is told.

    Args:
        context: kinds, parameters, mistakes, origins.
        spec: its declaration.
        node: what stands there.
        path: recipe path, for messages.
        where: place of the key itself.
    """
    context.note(path, node)
    if spec.kind is Kind.RECORD:
        return _record_or_word(context, spec, node, path, where)
    if spec.kind is Kind.LIST:
        return _list(context, spec, node, path)
    if spec.kind is Kind.MAP:
        return _map(context, spec, node, path)
    if spec.kind is Kind.OUTLINE:
        return _outline(context, spec, node, path, where)
    value = read_scalar(context, spec, node, path)
    return value if spec.figure is None or is_bad(value) else spec.figure.chosen(value)


def is_absent(spec: Spec, node: Node | None) -> bool:
    """Return True if a key is not given. ``Null`` in a text is somebody's name, and a mistake."""
    if node is None:
        return True
    spelled = isinstance(node, Scalar) and node.text in ("Null", "NULL")
    return is_null(node) and not (spelled and spec.kind in (Kind.TEXT, Kind.NAME, Kind.FILE))


def _record_or_word(context: Context, spec: Spec, node: Node, path: str, where: Place) -> Any:
    assert spec.record
    if isinstance(node, MapNode):
        return read_record(context, spec.record, node, path, where, spec=spec)
    if isinstance(node, Scalar) and node.text in spec.words:
        return node.text
    remedy = did_you_mean(node.text, spec.words) if isinstance(node, Scalar) else ""
    return context.bad(node.place, path, described(node), expectation(spec), remedy)


def read_record(
    context: Context, record: type, node: MapNode, path: str, where: Place, *, spec: Spec | None = None
) -> Any:
    """Return ``record`` made of the keys of ``node``, or ``BAD``."""
    keys = keys_of(record)
    groups = groups_of(record, spec)
    entries = _known(context, node, keys, path)
    _check_groups(context, groups, entries, keys, path, where)
    for group in exclusive_of(record):
        _refuse_several(context, group, _given(group, entries, keys), path)
    grouped = {word for group in groups for word in group}
    values = {k.attribute: _field(context, k, entries, path, where, k.word in grouped) for k in keys.values()}
    if any(is_bad(v) for v in values.values()):
        return BAD
    try:
        return record(**values)
    except (CoverplateError, ValueError) as error:
        return context.bad(where, path, "values that do not go together", str(error))


def _field(context: Context, key: Key, entries: Entries, path: str, where: Place, is_grouped: bool) -> Any:
    below = f"{path}.{key.word}" if path else key.word
    place, node = entries.get(key.word, (where, None))
    if node is not None and not is_absent(key.spec, node):
        return read_value(context, key.spec, node, below, place)
    if not key.is_required:
        context.origins[below] = DEFAULT if key.default not in (None, "", ()) else DERIVED
        return key.default
    if not is_grouped:
        example = example_text(key.spec, context.units)
        remedy = f"add `{key.word}: {example}`" if example and len(example) < 60 else f"add `{key.word}`"
        found = f"no `{key.word}`" if node is None else f"nothing for `{key.word}`"
        context.bad(place, below, found, expectation(key.spec, context.units), remedy)
    return BAD


def _any_value(_word: str, _node: Node) -> bool:
    return True


def _known(
    context: Context,
    node: MapNode,
    words: Iterable[str],
    path: str,
    may_be: Callable[[str, Node], bool] = _any_value,
) -> Entries:
    """Return the entries under known keys; a misspelt key is told and its value read as what was meant.

    What ``may_be`` denies is not read: its mistakes would be about a key that nobody wrote.
    """
    known: dict[str, tuple[Place, Node]] = {}
    allowed = list(words)
    for word, entry in node.entries.items():
        if word in allowed:
            known[word] = entry
    for word, entry in node.entries.items():
        if word in allowed:
            continue
        near = nearest(word, (w for w in allowed if w not in node.entries))
        remedy = f"did you mean `{near}`?" if near else _elsewhere(context, word)
        found = f"the unknown key `{shown(word)}`"
        context.bad(entry[0], f"{path}.{shown(word)}".lstrip("."), found, listed(allowed), remedy)
        if near and near not in known and may_be(near, entry[1]):
            known[near] = entry
    return known


def _elsewhere(context: Context, word: str) -> str:
    """Return the remedy for a key that is like no known one."""
    if any(word == kind.name for kind in context.kinds.get("outer", ())):
        return f"`{word}` is only for the cover's outer shape"
    return "delete it, or look it up in docs/recipe.md"


def _check_groups(
    context: Context,
    groups: Iterable[tuple[str, ...]],
    entries: Entries,
    keys: Mapping[str, Key],
    path: str,
    where: Place,
) -> None:
    """Tell every group of alternatives of which none or more than one is given."""
    for group in groups:
        given = _given(group, entries, keys)
        _refuse_several(context, group, given, path)
        if not given:
            context.bad(where, path, f"neither {listed(group, 'nor')}", "one of them", f"add {listed(group)}")


def _given(group: Iterable[str], entries: Entries, keys: Mapping[str, Key]) -> dict[str, Place]:
    """Return the keys of a group that are given, with their places."""
    return {w: entries[w][0] for w in group if w in entries and not is_absent(keys[w].spec, entries[w][1])}


def _refuse_several(context: Context, group: tuple[str, ...], given: Mapping[str, Place], path: str) -> None:
    """Tell keys that say the same thing twice, at the last of them."""
    if len(given) > 1:
        place = max(given.values(), key=lambda p: (p.line, p.column))
        context.bad(place, path, f"both {listed(given, 'and')}", f"only one of {listed(group)}", "leave one out")


def _list(context: Context, spec: Spec, node: Node, path: str) -> Any:
    assert spec.item
    if not isinstance(node, ListNode):
        remedy = "begin each member with `- `" if isinstance(node, MapNode) else "put it in brackets: `[…]`"
        return context.bad(node.place, path, described(node), expectation(spec, context.units), remedy)
    count = len(node.items)
    if not spec.fewest <= count <= spec.most:
        bound = f"at least {spec.fewest}" if count < spec.fewest else f"at most {spec.most}"
        plural = "" if bound.endswith(" 1") else "s"
        return context.bad(node.place, path, described(node), f"{bound} member{plural}")
    values = tuple(read_value(context, spec.item, n, f"{path}[{i}]", n.place) for i, n in enumerate(node.items))
    return BAD if any(is_bad(v) for v in values) else values


def _map(context: Context, spec: Spec, node: Node, path: str) -> Any:
    assert spec.item
    if not isinstance(node, MapNode):
        return context.bad(node.place, path, described(node), expectation(spec, context.units))
    if spec.item.kind is Kind.PARAMETER:
        return _parameters(context, node, path)
    _check_names(context, spec, node, path)
    given = {k: e for k, e in node.entries.items() if spec.item.family == "any" or not is_null(e[1])}
    if not spec.fewest <= len(given) <= spec.most:
        bound = f"at least {spec.fewest}" if len(given) < spec.fewest else f"at most {spec.most}"
        return context.bad(node.place, path, f"{len(given)} members", f"{bound}")
    values = {k: read_value(context, spec.item, n, f"{path}.{k}", place) for k, (place, n) in given.items()}
    return BAD if any(is_bad(v) for v in values.values()) else MappingProxyType(values)


def _parameters(context: Context, node: MapNode, path: str) -> Any:
    for key, (_, value) in node.entries.items():
        if not is_null(value):
            context.note(f"{path}.{key}", value)
    known = context.parameters.known
    if any(p is None for p in known.values()):
        return BAD
    return MappingProxyType({k: _plain_parameter(p) for k, p in known.items() if p})


def _plain_parameter(parameter: Parameter) -> float | str:
    if parameter.is_text or parameter.quantity is None:
        return parameter.written
    return parameter.quantity.number


def _check_names(context: Context, spec: Spec, node: MapNode, path: str) -> None:
    """Tell member names that are no good file names, or alike but for capitals; or not what the map declares."""
    seen: dict[str, str] = {}
    for key, (place, _) in node.entries.items():
        if spec.pattern:
            if not re.fullmatch(spec.pattern, key):
                context.bad(place, path, f"the name `{shown(key)}`", name_like(spec), "rename it")
            continue
        found = f"the name `{shown(key)}`"
        if not _MEMBER_NAME.fullmatch(key):
            context.bad(place, path, found, "a name of letters, digits, `-` and `_`", "rename it")
        elif is_reserved_name(key):
            context.bad(place, path, f"{found}, which Windows keeps for itself", "another name", "rename it")
        elif key.lower() in seen:
            other = f"names that differ in more than capitals from `{seen[key.lower()]}`"
            context.bad(place, path, found, other, "rename one of them")
        seen.setdefault(key.lower(), key)


def _outline(context: Context, spec: Spec, node: Node, path: str, where: Place) -> Any:
    """Return the outline: exactly one kind with its own keys, and the modifiers beside it."""
    kinds = outline_kinds(context.kinds, spec.family)
    if not isinstance(node, MapNode):
        remedy = ""
        if isinstance(node, Scalar) and node.text in kinds:
            remedy = f"write `{node.text}:` and its keys below it"
        return context.bad(node.place, path, described(node), f"an outline: one of {listed(kinds)}", remedy)
    modifiers = keys_of(OutlineKeys)

    def may_be(word: str, value: Node) -> bool:
        """Return whether a value under a key that is like ``word`` can be read as that kind's keys."""
        own = keys_of(kinds[word].params) if word in kinds else None
        return (
            own is None or is_null(value) or (isinstance(value, MapNode) and not own.keys().isdisjoint(value.entries))
        )

    entries = _known(context, node, [*kinds, *modifiers], path, may_be)
    all_known = len(entries) == len(node.entries)
    chosen = _chosen_kind(context, kinds, entries, path, where, all_known=all_known)
    params = _kind_params(context, kinds[chosen].params, entries[chosen], f"{path}.{chosen}") if chosen else BAD
    values = {ATTRIBUTE_OF[w]: _modifier(context, k, entries, path) for w, k in modifiers.items()}
    if is_bad(params) or any(is_bad(v) for v in values.values()):
        return BAD
    outline = OutlineSpec(kind=chosen, params=params, path=path, **values)
    if spec.family == "outline":
        context.outlines.append(outline)
    return outline


def _modifier(context: Context, key: Key, entries: Entries, path: str) -> Any:
    place, node = entries.get(key.word, (None, None))
    if node is None or place is None or is_absent(key.spec, node):
        return key.default
    return read_value(context, key.spec, node, f"{path}.{key.word}", place)


def _chosen_kind(
    context: Context, kinds: Mapping[str, Any], entries: Entries, path: str, where: Place, *, all_known: bool
) -> str:
    """Return the one kind that is given; empty once the mistake is told (an unknown key is told already)."""
    given = [k for k in kinds if k in entries]
    chosen = [k for k in given if not is_null(entries[k][1])] or given
    if len(chosen) == 1:
        return chosen[0]
    if chosen:
        place = max((entries[k][0] for k in chosen), key=lambda p: (p.line, p.column))
        remedy = "to unite outlines use `add`, to take away use `cut`"
        context.bad(place, path, f"{listed(chosen, 'and')} together", "one kind of outline", remedy)
    elif all_known:
        context.bad(where, path, "no kind of outline", f"one of {listed(kinds)}")
    return ""


def _kind_params(context: Context, record: type, entry: tuple[Place, Node], path: str) -> Any:
    place, node = entry
    context.note(path, node)
    if is_null(node):
        node = MapNode({}, node.place)
    if not isinstance(node, MapNode):
        expected = f"the keys {listed(keys_of(record), 'and')}"
        return context.bad(node.place, path, described(node), expected, "write them below it, indented")
    return read_record(context, record, node, path, place)
