"""What the values of a variant do to the recipe: overrides in the form that ``coverplate build --set`` takes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from generator.base.errors import RecipeError
from generator.family.family_file import Family, GivenRow
from generator.family.pack_name import in_a_family
from generator.recipe.expression import ExpressionError
from generator.recipe.mistakes import mistake_at
from generator.recipe.model_family import COLUMN
from generator.recipe.parameters import Parameter, Parameters, fill_in, has_names
from generator.recipe.resolve import flow_text, quoted
from generator.recipe.scalars import is_number, resolve_scalar
from generator.recipe.text import ListNode, MapNode, Node, Scalar

__all__ = ["Setter", "number_or_text"]

_ONE_NAME = re.compile(rf"\{{\s*({COLUMN})\s*\}}")


class Setter:
    """Knows where the values of a family go."""

    def __init__(self, family: Family, parameters: frozenset[str]) -> None:
        self._family = family
        said = {path.removeprefix("parameters.") for path in family.file.sets if path.startswith("parameters.")}
        self._by_name = parameters - said

    def sets(self, row: GivenRow, values: Mapping[str, Parameter], overrides: Iterable[int]) -> Iterator[str]:
        """Yield what is set for one variant, in order: parameters by name, paths of the table, `sets`, `overrides`.

        Args:
            row: that it comes from.
            values: that it has.
            overrides: numbers of those that it gets.

        Raises: RecipeError: a text names a value that the variant does not have.
        """
        for name, value in values.items():
            if name in self._by_name:
                yield f"parameters.{name}={_written(value)}"
        for path, cell in row.values.items():
            if not path.isidentifier():
                yield f"{path}={cell.text if cell.plain else number_or_text(_unescaped(cell.text))}"
        yield from self._filled("sets", self._family.file.sets, values)
        for i in overrides:
            yield from self._filled(f"overrides[{i}].set", self._family.file.overrides[i].set_, values)

    def _filled(self, key: str, sets: Mapping[str, Node], values: Mapping[str, Parameter]) -> Iterator[str]:
        for path, node in sets.items():
            try:
                yield f"{path}={_node_text(node, values)}"
            except _NotThereError as error:
                # a variant whose row leaves the cell empty keeps what the recipe says
                if error.name in self._known():
                    continue
                raise RecipeError([mistake_at(error.place, f"{key}.{path}", *error.told)]) from None

    def _known(self) -> set[str]:
        return {n for row in self._family.rows for n in row.values}


class _NotThereError(Exception):
    """A text names a value that the variant does not have, or its braces are wrong."""

    def __init__(self, node: Scalar, error: ExpressionError) -> None:
        super().__init__(error.found)
        self.place = node.place_of(error.offset)
        self.told = (error.found, error.expected or "the name of a value", in_a_family(error.remedy))
        match = re.search(rf"unknown name `({COLUMN})`", error.found)
        self.name = match[1] if match else ""


def _node_text(node: Node, values: Mapping[str, Parameter]) -> str:
    """Return what stands behind ``path=``; braces in it are filled in, in lists and groups, too."""
    if isinstance(node, Scalar):
        whole = _ONE_NAME.fullmatch(node.text.strip())
        if whole and whole[1] in values and not node.block:
            return _written(values[whole[1]])
        filled = _filled_text(node, values)
        return node.text if node.plain and filled == node.text else _as_text(filled)
    return flow_text(_plain(node, values))


def _plain(node: Node, values: Mapping[str, Parameter]) -> object:
    """Return a node as plain data with braces filled in: as texts, which a key for a number takes as well."""
    if isinstance(node, ListNode):
        return [_plain(n, values) for n in node.items]
    if isinstance(node, MapNode):
        return {k: _plain(n, values) for k, (_, n) in node.entries.items()}
    filled = _filled_text(node, values)
    return node.value if filled == node.text and "{" not in filled else _escaped(filled)


def _filled_text(node: Scalar, values: Mapping[str, Parameter]) -> str:
    try:
        return fill_in(node, Parameters(1.0, values))
    except ExpressionError as error:
        raise _NotThereError(node, error) from None


def _written(value: Parameter) -> str:
    return value.written if not value.is_text and value.quantity is not None else _as_text(value.written)


def number_or_text(text: str) -> str:
    """Return a cell as it stands behind ``path=``: as it is if it reads as a number or true or false, else a text."""
    plain = resolve_scalar(text)
    return text if is_number(plain) or isinstance(plain, bool) else _as_text(text)


def _as_text(text: str) -> str:
    """Return a text so that the recipe's reader takes it for that, whatever it holds."""
    safe = _escaped(text)
    return f"|{safe}" if has_names(text) else quoted(safe)


def _escaped(text: str) -> str:
    return text.replace("{", "{{").replace("}", "}}")


def _unescaped(text: str) -> str:
    return text.replace("{{", "{").replace("}}", "}")
