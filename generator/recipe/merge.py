"""Laying one recipe over another, and single values over a recipe.

Groups of keys merge; everything else, lists included, is replaced. Nothing (``null``) takes a key away. Where keys are
alternatives, such as the kinds of an outline, the choice of the upper recipe drops the other. Places survive.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from generator.base.errors import RecipeError
from generator.base.fields import Kind, Kinds, Spec
from generator.base.frozen_record import frozen_record
from generator.recipe.keys import child_specs, rivals
from generator.recipe.mistakes import Mistakes, did_you_mean, listed, one_mistake
from generator.recipe.model import Recipe
from generator.recipe.places import Place, SourceText, shown
from generator.recipe.text import ListNode, MapNode, Node, Scalar, is_null, parse_value

ROOT = Spec(Kind.RECORD, "A recipe.", record=Recipe)
"""Declaration of the whole recipe."""

SET = "--set"
_STEP = re.compile(r"([^.\[\]]+)|\[([0-9]+)\]")
_GROUP = re.compile(r"\{\s*(?:[\w-]+:\s|[\"'])")
_PATH = re.compile(r"[^.\[\]=]+(?:\.[^.\[\]=]+|\[[0-9]+\])*")


def merged(base: Node, over: Node, spec: Spec | None, kinds: Kinds) -> Node:
    """Return ``over`` laid over ``base``; ``spec`` declares what stands here, None if nobody knows."""
    if not (isinstance(base, MapNode) and isinstance(over, MapNode)):
        return over
    entries = _without_rivals(base, (k for k, (_, v) in over.entries.items() if not is_null(v)), spec, kinds)
    below = child_specs(spec, kinds) if spec else {}
    for key, (place, value) in over.entries.items():
        child = below.get(key) or (spec.item if spec else None)
        old = entries.get(key)
        entries[key] = (place, merged(old[1], value, child, kinds) if old else value)
    return MapNode(entries, over.place)


def _without_rivals(
    node: MapNode, chosen: Iterable[str], spec: Spec | None, kinds: Kinds
) -> dict[str, tuple[Place, Node]]:
    """Return the entries of ``node`` without those that the chosen keys exclude."""
    entries = dict(node.entries)
    keys = set(chosen)
    for group in rivals(spec, kinds) if spec else ():
        if keys & set(group):
            for word in group:
                if word not in keys:
                    entries.pop(word, None)
    return entries


@frozen_record
class Override:
    """One ``--set``: the steps of its path and its value."""

    path: str
    steps: tuple[str | int, ...]
    value: Node


def parse_override(text: str) -> Override:
    """Return the path and the value of ``path.to.key=value``.

    Raises: RecipeError: not of this form.
    """
    source = SourceText(f"{SET} {shown(text, 80)}")
    path, equals, value = text.partition("=")
    path = path.strip()
    if not equals or not _PATH.fullmatch(path) or any(not (c.isprintable() or c in "\n\t") for c in text):
        found = f"`{shown(text)}`"
        raise one_mistake(Place(source), found, "`path.to.key=value`", "for example `--set parameters.plot=21`")
    steps = tuple(int(m[2]) if m[2] else m[1] for m in _STEP.finditer(path) if not m[2] or len(m[2]) < 9)
    return Override(path, steps, _override_value(value, source))


def _override_value(value: str, source: SourceText) -> Node:
    """Return the node of a value: quoted texts, ``[…]`` lists and ``{key: …}`` groups as in YAML, else one scalar.

    A brace alone begins no group: in a text it holds the name of a parameter. After ``|`` everything is a text.
    """
    if value[:1] == "|":
        return Scalar(value[1:], False, Place(source), block=True)
    if value[:1] in ("[", '"', "'") or _GROUP.match(value):
        try:
            node = parse_value(SourceText(source.name, value))
            return _placed(node, Place(source))
        except RecipeError as error:
            found = error.mistakes[0].found
            raise one_mistake(Place(source), found, "a value", "mind the quotes and brackets") from None
    return Scalar(value.strip(), True, Place(source))


def _placed(node: Node, place: Place) -> Node:
    if isinstance(node, ListNode):
        return ListNode(tuple(_placed(n, place) for n in node.items), place)
    if isinstance(node, MapNode):
        return MapNode({k: (place, _placed(v, place)) for k, (_, v) in node.entries.items()}, place)
    return Scalar(node.text, node.plain, place)


def overridden(root: MapNode, texts: Sequence[str], kinds: Kinds, mistakes: Mistakes) -> MapNode:
    """Return the recipe with every ``--set`` laid over it, in order; mistakes are added to ``mistakes``."""
    node: Node = root
    for text in texts:
        try:
            override = parse_override(text)
            _demand_parameter(root, override)
            node = _set(node, ROOT, override, 0, kinds)
        except RecipeError as error:
            mistakes.extend(error.mistakes)
    assert isinstance(node, MapNode)
    return node


def _demand_parameter(root: MapNode, override: Override) -> None:
    """Refuse a value for a parameter that the recipe does not have: nothing would use it."""
    if override.steps[0] != "parameters" or len(override.steps) > 2:
        return
    group = override.value.entries if isinstance(override.value, MapNode) else {}
    names = [str(s) for s in override.steps[1:]] or list(group)
    parameters = root.get("parameters")
    known = list(parameters.entries) if isinstance(parameters, MapNode) else []
    for name in (n for n in names if n not in known):
        expected = f"a parameter of the recipe: {listed(known)}" if known else "a recipe that has `parameters`"
        found = f"the unknown parameter `{shown(name)}`"
        raise one_mistake(override.value.place, found, expected, did_you_mean(name, known), override.path)


def _set(node: Node | None, spec: Spec, override: Override, at: int, kinds: Kinds) -> Node:
    """Return ``node`` with the override's value put in below step ``at``."""
    if at == len(override.steps):
        return merged(node, override.value, spec, kinds) if node else override.value
    step = override.steps[at]
    if spec.kind in (Kind.LIST, Kind.POINT):
        return _set_item(node, spec, override, at, kinds)
    child = _child(spec, str(step), override, at, kinds)
    place = override.value.place
    base = node if isinstance(node, MapNode) else MapNode({}, place)
    entries = _without_rivals(base, [str(step)], spec, kinds)
    old = entries.get(str(step))
    entries[str(step)] = (place, _set(old[1] if old else None, child, override, at + 1, kinds))
    return MapNode(entries, base.place)


def _child(spec: Spec, step: str, override: Override, at: int, kinds: Kinds) -> Spec:
    if spec.kind is Kind.MAP and spec.item:
        return spec.item
    below = child_specs(spec, kinds)
    if step in below:
        return below[step]
    before = _path_text(override.steps[:at])
    where = f"`{before}`" if before else "a recipe"
    place = override.value.place
    if not below:
        expected = f"nothing below {where}: it is one value"
        raise one_mistake(place, f"`{step}` below {where}", expected, "", override.path)
    found = f"the unknown key `{shown(step)}`"
    raise one_mistake(place, found, f"a key of {where}: {listed(below)}", did_you_mean(step, below), override.path)


def _set_item(node: Node | None, spec: Spec, override: Override, at: int, kinds: Kinds) -> Node:
    step = override.steps[at]
    where = f"`{_path_text(override.steps[:at])}`"
    items = node.items if isinstance(node, ListNode) else ()
    number = step if isinstance(step, int) else int(step) if step.isdecimal() and len(step) < 9 else -1
    if not 0 <= number < len(items):
        count = f"0 to {len(items) - 1}" if items else "none: the list is empty"
        expected = f"the number of a member of {where} ({count})"
        remedy = f"set the whole list: `{SET} {where.strip('`')}=[…]`"
        raise one_mistake(override.value.place, f"`{step}`", expected, remedy, override.path)
    item = spec.item or Spec(Kind.LENGTH, "")
    new = _set(items[number], item, override, at + 1, kinds)
    place = node.place if isinstance(node, ListNode) else override.value.place
    return ListNode((*items[:number], new, *items[number + 1 :]), place)


def _path_text(steps: Iterable[str | int]) -> str:
    return "".join(f"[{s}]" if isinstance(s, int) else f".{s}" for s in steps).lstrip(".")
