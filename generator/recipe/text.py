"""Safe YAML with places: text in, nodes out that know their file, line and column.

Only what a recipe needs is let through: one document, maps with plain keys, lists, scalars of the YAML 1.2 core schema,
anchors and aliases within bounds. Tags, merge keys, duplicate keys, control characters, deep nesting, large files and
alias bombs are located mistakes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, Final

import yaml

from generator.base.errors import RecipeError
from generator.base.frozen_record import frozen_record
from generator.recipe.mistakes import Mistakes, one_mistake
from generator.recipe.places import Place, SourceText, shown
from generator.recipe.scalars import Plain, resolve_scalar

MOST_BYTES: Final = 1_000_000
MOST_NODES: Final = 20_000
"""Nodes of one file, every alias counted as often as it is used."""
MOST_DEPTH: Final = 40

_UNPRINTABLE = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@frozen_record
class Scalar:
    """A scalar as written.

    ``plain``: unquoted, so that the core schema says what it means; ``block``: written as ``|`` or ``>``.
    """

    text: str
    plain: bool
    place: Place
    block: bool = False

    @property
    def value(self) -> Plain:
        """Return what the scalar means."""
        return resolve_scalar(self.text) if self.plain else self.text

    def place_of(self, offset: int) -> Place:
        """Return the place of character ``offset`` of the text, or of the scalar where lines fold."""
        start = self.place.shifted(0 if self.plain else 1)
        written = self.place.snippet()[start.column - 1 :] if start.column else ""
        return start.shifted(offset) if written.startswith(self.text) else self.place


@frozen_record
class ListNode:
    """A list."""

    items: tuple[Node, ...]
    place: Place


@frozen_record
class MapNode:
    """A map: key to (key's own place, value), in the order of the file."""

    entries: dict[str, tuple[Place, Node]]
    place: Place

    def get(self, key: str) -> Node | None:
        """Return the value of ``key``, None if it is not there."""
        entry = self.entries.get(key)
        return entry[1] if entry else None


Node = Scalar | ListNode | MapNode


def is_null(node: Node | None) -> bool:
    """Return True if nothing stands there."""
    return isinstance(node, Scalar) and node.plain and node.value is None


def described(node: Node) -> str:
    """Return what stands there, for a message."""
    if isinstance(node, MapNode):
        return "a group of keys" if node.entries else "an empty group of keys"
    if isinstance(node, ListNode):
        return f"a list of {len(node.items)}" if node.items else "an empty list"
    if is_null(node):
        return f"nothing (`{node.text}`)" if node.text else "nothing"
    return f"`{shown(node.text)}`" if node.text else "an empty text"


def source_text(name: str, data: bytes) -> SourceText:
    """Return the text of a recipe file.

    Raises: RecipeError: too large, empty, not text, or with characters that no recipe needs.
    """
    whole = Place(SourceText(name))
    if len(data) > MOST_BYTES:
        raise one_mistake(whole, f"more than {MOST_BYTES // 1000} kB", "a recipe", "a recipe has a few hundred lines")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise one_mistake(whole, "a UTF-16 file", "a UTF-8 text file", "save the file as UTF-8")
    if b"\0" in data:
        raise one_mistake(whole, "a binary file", "a UTF-8 text file", "is this the right file?")
    text = _decoded(name, data)
    source = SourceText(name, text)
    odd = _UNPRINTABLE.search(text)
    if odd:
        place = _place_at(source, odd.start())
        found = f"the control character U+{ord(odd[0]):04X}"
        raise one_mistake(place, found, "readable text", "delete it")
    return source


def _decoded(name: str, data: bytes) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        good = SourceText(name, data[: error.start].decode("utf-8-sig"))
        place = _place_at(good, len(good.text))
        found = f"the byte 0x{data[error.start]:02X}, which is not UTF-8"
        raise one_mistake(place, found, "a UTF-8 text file", "save the file as UTF-8") from None


def _place_at(source: SourceText, index: int) -> Place:
    before = SourceText("", source.text[:index]).lines or ("",)
    return Place(source, len(before), len(before[-1]) + 1)


RECIPE: Final = ("a recipe: keys with values, such as `name: garden-gate`", "see docs/recipe.md")
"""What is expected of a whole file, and where to look it up."""


def parse_text(source: SourceText, expected: tuple[str, str] = RECIPE) -> MapNode:
    """Return the root map of the text of a recipe, or of another file of keys with values.

    Args:
        source: the text.
        expected: what is expected of the whole file, and how to mend one that is something else.

    Raises: RecipeError: not YAML, not one map, or beyond the bounds; duplicate keys and the like all at once.
    """
    return _Composer(source).document(expected)


def parse_value(source: SourceText) -> Node:
    """Return the one value that a short text such as that of ``--set`` holds.

    Raises: RecipeError: not YAML.
    """
    return _Composer(source).value()


class _Composer:
    """Turns the events of one text into nodes, counting as it goes."""

    def __init__(self, source: SourceText) -> None:
        self._source = source
        self._mistakes = Mistakes()
        self._anchors: dict[str, tuple[Node, int]] = {}
        self._open: set[str] = set()
        self._nodes = 0

    def document(self, whole: tuple[str, str]) -> MapNode:
        root = self.value()
        if not isinstance(root, MapNode):
            found = "an empty file" if is_null(root) else described(root)
            self._mistakes.add(root.place, "", found, *whole)
        self._mistakes.raise_any()
        assert isinstance(root, MapNode)
        return root

    def value(self) -> Node:
        try:
            root = self._one_document()
        except yaml.YAMLError as error:
            raise _syntax_error(self._source, error) from None
        self._mistakes.raise_any()
        return root

    def _one_document(self) -> Node:
        events = yaml.parse(self._source.text, Loader=_LOADER)
        root: Node = Scalar("", True, Place(self._source))
        documents = 0
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents == 2:
                    place = self._place(event)
                    raise one_mistake(place, "a second document (`---`)", "one recipe a file", "split the file")
            elif isinstance(event, yaml.NodeEvent):
                root = self._node(event, events, 0)[0]
        return root

    def _place(self, event: Any) -> Place:
        return Place(self._source, event.start_mark.line + 1, event.start_mark.column + 1)

    def _node(self, event: Any, events: Iterator[Any], depth: int) -> tuple[Node, int]:
        """Return a node and how many nodes it stands for with every alias followed."""
        place = self._place(event)
        if isinstance(event, yaml.AliasEvent):
            return self._alias(str(event.anchor), place)
        if event.tag is not None:
            found = f"the tag `{shown(event.tag)}`"
            self._mistakes.add(place, "", found, "a plain value", "delete the tag; quote the value if it is text")
        if depth > MOST_DEPTH:
            raise one_mistake(place, f"nesting deeper than {MOST_DEPTH} levels", "a recipe", "nest less deeply")
        self._count(1, place)
        if event.anchor:
            self._open.add(event.anchor)
        node, size = self._content(event, events, depth, place)
        if event.anchor:
            self._open.discard(event.anchor)
            self._anchors[event.anchor] = (node, size)
        return node, size

    def _content(self, event: Any, events: Iterator[Any], depth: int, place: Place) -> tuple[Node, int]:
        if isinstance(event, yaml.ScalarEvent):
            if _UNPRINTABLE.search(event.value):
                self._mistakes.add(place, "", "an escaped control character", "readable text", "delete it")
                return Scalar("", False, place), 1
            return Scalar(event.value, bool(event.implicit[0]), place, event.style in ("|", ">")), 1
        if isinstance(event, yaml.SequenceStartEvent):
            return self._list(events, depth, place)
        return self._map(events, depth, place)

    def _count(self, more: int, place: Place) -> None:
        self._nodes += more
        if self._nodes > MOST_NODES:
            found = f"more than {MOST_NODES:,} values (aliases counted each time)".replace(",", " ")
            raise one_mistake(place, found, "a recipe", "a recipe has a few hundred values")

    def _alias(self, name: str, place: Place) -> tuple[Node, int]:
        if name in self._open:
            raise one_mistake(place, f"the alias `*{name}` inside its own anchor", "a value", "write the value out")
        if name not in self._anchors:
            raise one_mistake(place, f"the alias `*{name}` of no anchor", "a value", f"put `&{name}` where it is meant")
        node, size = self._anchors[name]
        self._count(size, place)
        return _moved(node, place), size

    def _list(self, events: Iterator[Any], depth: int, place: Place) -> tuple[Node, int]:
        items: list[Node] = []
        size = 1
        for event in events:
            if isinstance(event, yaml.SequenceEndEvent):
                break
            node, n = self._node(event, events, depth + 1)
            items.append(node)
            size += n
        return ListNode(tuple(items), place), size

    def _map(self, events: Iterator[Any], depth: int, place: Place) -> tuple[Node, int]:
        entries: dict[str, tuple[Place, Node]] = {}
        size = 1
        for event in events:
            if isinstance(event, yaml.MappingEndEvent):
                break
            key, n = self._node(event, events, depth + 1)
            value, m = self._node(next(events), events, depth + 1)
            size += n + m
            name = self._key(key, entries)
            if name is not None:
                entries[name] = (key.place, value)
        return MapNode(entries, place), size

    def _key(self, key: Node, entries: dict[str, tuple[Place, Node]]) -> str | None:
        """Return the key if it is a good one."""
        if not isinstance(key, Scalar) or not key.text:
            self._mistakes.add(key.place, "", f"{described(key)} as a key", "a word", "")
        elif key.text == "<<" and key.plain:
            remedy = "repeat the keys, or build a recipe on another with `based_on: other.yaml`"
            self._mistakes.add(key.place, "", "the merge key `<<`", "a key of the recipe", remedy)
        elif key.text in entries:
            first = entries[key.text][0].line
            found = f"the key `{shown(key.text)}` a second time (first on line {first})"
            self._mistakes.add(key.place, "", found, "each key once", "delete one of them")
        else:
            return key.text
        return None


def _moved(node: Node, place: Place) -> Node:
    """Return an aliased scalar as if it stood at the alias; groups keep the places of their parts."""
    return replace(node, place=place) if isinstance(node, Scalar) else node


_REMEDIES: Final = (
    ("mapping values are not allowed", "put quotes around a text that holds a colon, or mend the indentation"),
    ("found unexpected end of stream", "close the quotes or brackets"),
    ("could not find expected ':'", "put a colon after the key"),
    ("did not find expected key", "mend the indentation, or put quotes around the text"),
    ("did not find expected ',' or ']'", "close the bracket with `]`, separate with commas"),
    ("did not find expected ',' or '}'", "close the brace with `}`, separate with commas"),
    ("expected ',' or ']'", "close the bracket with `]`, separate with commas"),
    ("expected ',' or '}'", "close the brace with `}`, separate with commas"),
    ("cannot start any token", "put quotes around the text"),
    ("expected alphabetic or numeric", "put quotes around a text that begins with `*` or `&`"),
    ("unknown escape character", "in double quotes write `\\\\` for a backslash, or use single quotes"),
)


def _syntax_error(source: SourceText, error: yaml.YAMLError) -> RecipeError:
    """Return the located mistake for text that is not YAML."""
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    place = Place(source, mark.line + 1, mark.column + 1) if mark else Place(source)
    problem = str(getattr(error, "problem", None) or "text that is not YAML")
    remedy = next((r for key, r in _REMEDIES if key in problem), "mend the punctuation or the indentation")
    if place.snippet()[place.column - 1 : place.column] == "\t":
        remedy = "indent with spaces, not with tabs"
    return one_mistake(place, f"text that is not YAML ({shown(problem, 100)})", "YAML", remedy)
