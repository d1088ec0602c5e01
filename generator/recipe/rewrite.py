"""Edits in the text of a recipe: one value at a time, with comments, order and everything else left as they are.

The YAML library gives the marks of every node; what is edited is the text between them.
"""

from __future__ import annotations

import re
from typing import Any, Final

import yaml

from generator.base.errors import CoverplateError
from generator.base.fields import Kind, Kinds, Spec
from generator.base.frozen_record import frozen_record
from generator.recipe.keys import child_specs, rivals
from generator.recipe.merge import ROOT

_LOADER: Final[Any] = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_STEP = re.compile(r"([^.\[\]]+)|\[([0-9]+)\]")
_PLAIN = re.compile(r"[A-Za-z0-9.+-][A-Za-z0-9 .+/*()_-]*")

Step = str | int


class CannotRewriteError(CoverplateError):
    """The place cannot be edited without changing something else."""


def rewritten(text: str, path: str, value: str | None, kinds: Kinds) -> str:
    """Return a recipe's text with one value set or taken out.

    Args:
        text: the whole recipe, as in the file.
        path: recipe path, such as ``original.bolts[0].hole``.
        value: as it should stand there; None to take the key out.
        kinds: the registered outline kinds, to know which keys exclude each other.
    Raises: CannotRewriteError: the value is shared by an alias, or nothing can be put there.
    """
    steps: list[Step] = [int(m[2]) if m[2] else m[1] for m in _STEP.finditer(path)]
    root = yaml.compose(text, Loader=_LOADER)
    if not isinstance(root, yaml.MappingNode):
        raise CannotRewriteError("the recipe holds no keys")
    _refuse_aliases(text)
    at = _walk(root, steps)
    if value is None:
        return _without(text, at) if not at.missing else text
    if not at.missing:
        return _replaced(text, at.node, value)
    return _inserted(text, at, value, kinds)


def _refuse_aliases(text: str) -> None:
    """Raise if a part of the text stands for several places: an edit of one would change the others."""
    for event in yaml.parse(text, Loader=_LOADER):
        if isinstance(event, yaml.AliasEvent):
            mark: Any = event.start_mark
            raise CannotRewriteError(
                f"the alias on line {mark.line + 1} uses one value in several places: write it out first"
            )


@frozen_record
class _At:
    """How far a path goes in the text.

    Attributes:
        node: the node that it reaches, or the last one on the way.
        missing: steps that are not there.
        parents: the maps and lists passed, the root first.
        done: the steps that are there.
    """

    node: Any
    missing: tuple[Step, ...]
    parents: tuple[Any, ...]
    done: tuple[Step, ...]


def _walk(root: Any, steps: list[Step]) -> _At:
    node = root
    parents: list[Any] = []
    for k, step in enumerate(steps):
        child = _child(node, step)
        if child is None:
            return _At(node, tuple(steps[k:]), tuple(parents), tuple(steps[:k]))
        parents.append(node)
        node = child
    return _At(node, (), tuple(parents), tuple(steps))


def _child(node: Any, step: Step) -> Any:
    if isinstance(node, yaml.SequenceNode) and isinstance(step, int):
        return node.value[step] if step < len(node.value) else None
    if isinstance(node, yaml.MappingNode):
        return next((v for k, v in node.value if k.value == str(step)), None)
    return None


def _replaced(text: str, node: Any, value: str) -> str:
    if isinstance(node, yaml.ScalarNode) and node.style in ("|", ">"):
        raise CannotRewriteError(f"line {node.start_mark.line + 1} holds a text of several lines")
    if not isinstance(node, yaml.ScalarNode) and not node.flow_style:
        raise CannotRewriteError(f"line {node.start_mark.line + 1} holds a group of keys, not one value")
    return text[: node.start_mark.index] + _written(value) + text[node.end_mark.index :]


def _written(value: str) -> str:
    """Return a value as YAML: a list as it is, a word or number plain where that is safe, else in quotes."""
    if value.startswith("[") or _PLAIN.fullmatch(value):
        return value
    return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _inserted(text: str, at: _At, value: str, kinds: Kinds) -> str:
    """Return the text with the missing keys put below the last map that is there."""
    words = [str(s) for s in at.missing]
    new = _written(value)
    for word in reversed(words[1:]):
        new = f"{{{word}: {new}}}"
    if isinstance(at.node, yaml.ScalarNode):  # a word, such as `none`, gives way to a group
        return text[: at.node.start_mark.index] + f"{{{words[0]}: {new}}}" + text[at.node.end_mark.index :]
    if not isinstance(at.node, yaml.MappingNode):
        raise CannotRewriteError(f"line {at.node.start_mark.line + 1} holds a list that is too short")
    excluded = _excluded(at.done, words[0], kinds)
    text = _put(text, at.node, f"{words[0]}: {new}")
    for word in excluded:
        if _child(at.node, word) is not None:
            text = rewritten(text, _path(at.done, word), None, kinds)
    return text


def _path(steps: tuple[Step, ...], last: str) -> str:
    return "".join(f"[{s}]" if isinstance(s, int) else f".{s}" for s in (*steps, last)).lstrip(".")


def _excluded(steps: tuple[Step, ...], word: str, kinds: Kinds) -> list[str]:
    """Return the keys beside ``word`` that must not stand together with it."""
    spec: Spec | None = ROOT
    for step in steps:
        if spec is None:
            return []
        spec = spec.item if spec.kind in (Kind.LIST, Kind.MAP) else child_specs(spec, kinds).get(str(step))
    groups = rivals(spec, kinds) if spec else ()
    return [w for group in groups if word in group for w in group if w != word]


def _put(text: str, node: Any, line: str) -> str:
    """Return the text with ``key: value`` added to a map."""
    if node.flow_style:
        end: int = node.end_mark.index - 1
        return text[:end].rstrip() + (", " if node.value else "") + line + text[end:]
    column: int = node.value[0][0].start_mark.column
    newline = "\r\n" if "\r\n" in text else "\n"
    for _, last in reversed(node.value):
        end = text.find("\n", last.end_mark.index)
        if last.style not in ("|", ">") if isinstance(last, yaml.ScalarNode) else last.flow_style:
            end = len(text) if end < 0 else end
            if text[end - 1 : end + 1] == "\r\n":
                end -= 1
            return text[:end] + newline + " " * column + line + text[end:]
    start: int = node.value[0][0].start_mark.index
    return text[:start] + line + newline + " " * column + text[start:]


def _without(text: str, at: _At) -> str:
    """Return the text without a key; the line goes if nothing else stands on it."""
    parent, word = at.parents[-1], str(at.done[-1])
    if not isinstance(parent, yaml.MappingNode):
        raise CannotRewriteError(f"a member of the list on line {parent.start_mark.line + 1} cannot be left out")
    pairs = parent.value
    k = next(i for i, (key, _) in enumerate(pairs) if key.value == word)
    if len(pairs) == 1:
        return text[: at.node.start_mark.index] + "null" + text[at.node.end_mark.index :]
    if parent.flow_style:
        start = pairs[k][0].start_mark.index if k + 1 < len(pairs) else pairs[k - 1][1].end_mark.index
        end = pairs[k + 1][0].start_mark.index if k + 1 < len(pairs) else at.node.end_mark.index
        return text[:start] + text[end:]
    key = pairs[k][0]
    line = text.rfind("\n", 0, key.start_mark.index) + 1
    if text[line : key.start_mark.index].strip():  # the first key of a member of a list: the next takes its place
        return text[: key.start_mark.index] + text[pairs[k + 1][0].start_mark.index :]
    end = _end_of(text, at.node)
    return text[:line] + text[end:]


def _end_of(text: str, node: Any) -> int:
    """Return where the lines of a value end."""
    end = node.end_mark.index
    if isinstance(node, yaml.CollectionNode) and not node.flow_style:
        return text.rfind("\n", 0, end) + 1 if end < len(text) else len(text)
    newline = text.find("\n", end)
    return len(text) if newline < 0 else newline + 1
