"""The recipe's own parameters: which are numbers and which texts, worked out in the order that they need each other.

A parameter that reads as an expression over known names is one; everything else is a text, in which ``{name}`` stands
for another parameter. Quoted, a bare quantity (``"1/4 in"``) is a text that may also be used as a number, and one word
or words with hyphens are a text. What is written as a block (``|``) is always a text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Final

from generator.base.errors import CoverplateError
from generator.base.frozen_record import frozen_record
from generator.base.units import MM_PER_INCH
from generator.recipe.expression import (
    RESERVED,
    Constant,
    Expression,
    ExpressionError,
    Name,
    Operation,
    evaluate,
    names_in,
    parse_expression,
)
from generator.recipe.mistakes import Mistakes, did_you_mean
from generator.recipe.places import shown
from generator.recipe.quantity import Quantity, QuantityError, checked
from generator.recipe.scalars import is_number
from generator.recipe.text import MapNode, Node, Scalar, described, is_null

MOST_TEXT: Final = 10_000
"""Characters of a text once its parameters are filled in."""
MOST_NAMED: Final = 30
"""Names of a circle of parameters that are told."""
UNIT_MM: Final = {"mm": 1.0, "inch": MM_PER_INCH}

_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")
_HOLE = re.compile(r"\{\{|\}\}|\{([^{}]*)\}|[{}]")
_PATH = "parameters"


class BrokenParameterError(CoverplateError):
    """A parameter whose own mistake is already told; what uses it says nothing more."""


@frozen_record
class Parameter:
    """A parameter worked out.

    Attributes:
        quantity: its value as a number, None if it is only a text.
        written: what stands for ``{name}`` in a text.
        is_text: whether the recipe's record holds the text.
    """

    quantity: Quantity | None
    written: str
    is_text: bool


@frozen_record
class _Draft:
    """A parameter as read: an expression, or a text (that may be a quantity too), and what it needs."""

    node: Scalar
    expression: Expression | None
    needs: frozenset[str]
    is_text: bool = False


@frozen_record
class Parameters:
    """All parameters of a recipe, and the unit of its bare numbers."""

    unit_mm: float
    known: Mapping[str, Parameter | None]

    def quantity(self, name: str) -> Quantity:
        """Return the number that ``name`` stands for.

        Raises: QuantityError: unknown, or a text. BrokenParameterError: its own mistake is told already.
        """
        parameter = self._get(name)
        if parameter.quantity is None:
            remedy = f"in a text write `{{{name}}}`; a number must not be quoted"
            found = f"the parameter `{name}`, which is the text `{shown(parameter.written)}`"
            raise QuantityError(found, "a number", remedy)
        return parameter.quantity

    def written(self, name: str) -> str:
        """Return what stands for ``{name}`` in a text; raises like ``quantity``."""
        return self._get(name).written

    def _get(self, name: str) -> Parameter:
        if name not in self.known:
            raise QuantityError(f"the unknown name `{shown(name)}`", *_known_names(name, self.known))
        parameter = self.known[name]
        if parameter is None:
            raise BrokenParameterError(name)
        return parameter


def _known_names(name: str, known: Mapping[str, object]) -> tuple[str, str]:
    if not known:
        return "a number", f"add `{name}` under `parameters`"
    return "the name of a parameter", did_you_mean(name, known) or f"add `{name}` under `parameters`"


def read_parameters(node: Node | None, units: str, mistakes: Mistakes) -> Parameters:
    """Return the parameters of a recipe; mistakes are added to ``mistakes``."""
    unit_mm = UNIT_MM.get(units, 1.0)
    if not isinstance(node, MapNode):  # told where the recipe's keys are read
        return Parameters(unit_mm, {})
    scalars = _good_scalars(node, mistakes)
    names = frozenset(k for k, (_, v) in node.entries.items() if not is_null(v))
    known: dict[str, Parameter | None] = dict.fromkeys(names)
    drafts = {k: d for k, s in scalars.items() if (d := _draft(k, s, names, mistakes))}
    for name in _in_order(drafts, mistakes):
        known[name] = _worked_out(name, drafts[name], Parameters(unit_mm, known), mistakes)
    return Parameters(unit_mm, {k: known[k] for k in node.entries if k in known})


def _good_scalars(node: MapNode, mistakes: Mistakes) -> dict[str, Scalar]:
    """Return the parameters with a good name and a scalar value."""
    good = {}
    for key, (place, value) in node.entries.items():
        path = f"{_PATH}.{key}"
        if not _NAME.fullmatch(key) or len(key) > 64:
            expected = "a letter followed by letters, digits and `_`"
            mistakes.add(place, path, f"the parameter name `{shown(key)}`", expected, "rename it")
        elif key in RESERVED:
            found = f"the parameter name `{key}`, which means something else in expressions"
            mistakes.add(place, path, found, "another name", f"rename it, for example to `{key}_value`")
        elif not isinstance(value, Scalar):
            mistakes.add(value.place, path, described(value), "a number, an expression or a text")
        elif isinstance(value.value, bool) or (is_null(value) and value.text in ("Null", "NULL")):
            mistakes.add(value.place, path, described(value), "a number, an expression or a text", quote_it(value))
        elif not is_null(value):
            good[key] = value
    return good


def quote_it(node: Scalar) -> str:
    """Return the remedy for a text that YAML takes for something else."""
    return f'quote it if it is a text: "{shown(node.text)}"'


def _draft(name: str, node: Scalar, names: frozenset[str], mistakes: Mistakes) -> _Draft | None:
    if node.plain and is_number(node.value):
        return _Draft(node, Constant(Quantity(0.0), 0), frozenset())
    expression = None if node.block else _parsed(node.text)
    if expression is None:
        return _Draft(node, None, holes(node.text))
    used = names_in(expression)
    text_like = _reads_as_text(expression, node.text)
    if used <= names and (node.plain or (used and not text_like)):
        return _Draft(node, expression, used)
    if node.plain and not text_like:
        _tell_unknown(name, node, sorted(used - names)[0], names, mistakes)
        return None
    return _Draft(node, None if used else expression, holes(node.text), is_text=True)


def _parsed(text: str) -> Expression | None:
    try:
        return parse_expression(text)
    except ExpressionError:
        return None


def _tell_unknown(name: str, node: Scalar, unknown: str, names: frozenset[str], mistakes: Mistakes) -> None:
    _, remedy = _known_names(unknown, dict.fromkeys(sorted(names - {name})))
    found = f"the unknown name `{shown(unknown)}` in `{shown(node.text)}`"
    place = node.place_of(max(node.text.find(unknown), 0))
    expected = "names of parameters, or a quoted text"
    mistakes.add(place, f"{_PATH}.{name}", found, expected, f"{remedy}; {quote_it(node)}")


def _reads_as_text(expression: Expression, text: str) -> bool:
    """Return True for one word, or words with hyphens such as ``A-frame``: nobody means these as sums."""
    if isinstance(expression, Name):
        return True
    parts: list[Expression] = [expression]
    signs: set[str] = set()
    while parts:
        part = parts.pop()
        if isinstance(part, Operation):
            signs.add(part.sign)
            parts.extend(part.operands)
    return signs <= {"-"} and " - " not in text


def has_names(text: str) -> bool:
    """Return True for a text that would be worked out, were it not written as a block: an expression with names."""
    expression = _parsed(text)
    return expression is not None and bool(names_in(expression))


def holes(text: str) -> frozenset[str]:
    """Return the names that stand in braces in a text."""
    return frozenset(m[1].strip() for m in _HOLE.finditer(text) if m[1] is not None)


def _in_order(drafts: Mapping[str, _Draft], mistakes: Mistakes) -> Iterator[str]:
    """Yield names after everything they need; a cycle is told once and its members are left out."""
    done: set[str] = set()
    for start in (n for n in drafts if n not in done):
        chain = [start]
        stack = [(start, iter(sorted(drafts[start].needs)))]
        while stack:
            name, rest = stack[-1]
            following = next((n for n in rest if n in drafts and n not in done), None)
            if following is None:
                stack.pop()
                chain.pop()
                if name not in done:
                    done.add(name)
                    yield name
            elif following in chain:
                cycle = chain[chain.index(following) :]
                _tell_cycle(cycle, drafts, mistakes)
                done.update(cycle)
            else:
                stack.append((following, iter(sorted(drafts[following].needs))))
                chain.append(following)


def _tell_cycle(cycle: list[str], drafts: Mapping[str, _Draft], mistakes: Mistakes) -> None:
    first = min(cycle, key=lambda n: (drafts[n].node.place.line, n))
    at = cycle.index(first)
    names = [*cycle[at:], *cycle[:at], first]
    way = " → ".join(names if len(names) <= MOST_NAMED else [*names[: MOST_NAMED - 2], "…", *names[-2:]])
    remedy = "give one of them a value of its own" if len(cycle) > 1 else quote_it(drafts[first].node)
    mistakes.add(drafts[first].node.place, f"{_PATH}.{first}", f"a circle of parameters: {way}", "an end", remedy)


def _worked_out(name: str, draft: _Draft, so_far: Parameters, mistakes: Mistakes) -> Parameter | None:
    node, path = draft.node, f"{_PATH}.{name}"
    try:
        if node.plain and is_number(node.value):
            return Parameter(number_quantity(node), node.text, is_text=False)
        if draft.expression is not None and not draft.is_text:
            value = evaluate(draft.expression, so_far.quantity, so_far.unit_mm)
            return Parameter(value, _as_written(draft.expression, value, node, so_far.unit_mm), is_text=False)
        text = fill_in(node, so_far)
        value_of_text = evaluate(draft.expression, so_far.quantity, so_far.unit_mm) if draft.expression else None
        return Parameter(value_of_text, text, is_text=True)
    except ExpressionError as error:
        mistakes.add(node.place_of(error.offset), path, error.found, error.expected, error.remedy)
    except BrokenParameterError:
        pass
    return None


def number_quantity(node: Scalar) -> Quantity:
    """Return the plain number of an unquoted YAML number.

    Raises: ExpressionError: infinite, not a number or beyond all bounds.
    """
    value = node.value
    assert isinstance(value, int | float)
    try:
        return checked(float(value))
    except (QuantityError, OverflowError) as error:
        expected = error.expected if isinstance(error, QuantityError) else "a number of sensible size"
        raise ExpressionError(0, f"`{shown(node.text)}`", expected or "a finite number") from None


def _as_written(expression: Expression, value: Quantity, node: Scalar, unit_mm: float) -> str:
    """Return what stands for a number in a text: as written if it is a bare quantity, else its value."""
    if not names_in(expression) and not any(c in node.text for c in "+*()-"):
        return node.text
    if value.is_length:
        return f"{plain_number(value.number / unit_mm)} {'mm' if unit_mm == 1.0 else 'in'}"
    return plain_number(value.number) + ("°" if value.is_angle else "")


def plain_number(value: float, digits: int = 10) -> str:
    """Return a number for people: no trailing zeros, at most so many digits.

    >>> plain_number(21.0), plain_number(0.1 + 0.2)
    ('21', '0.3')
    """
    return f"{value + 0.0:.{digits}g}"


def fill_in(node: Scalar, parameters: Parameters) -> str:
    """Return the text with every ``{name}`` replaced; ``{{`` and ``}}`` stand for braces.

    Raises: ExpressionError: a brace that does not belong, an unknown name, a text beyond bounds.
    BrokenParameterError: a parameter has its own mistake.
    """
    parts: list[str] = []
    at = size = 0
    for match in _HOLE.finditer(node.text):
        parts.append(node.text[at : match.start()])
        parts.append(_hole(match, parameters))
        size += len(parts[-2]) + len(parts[-1])
        at = match.end()
        if size > MOST_TEXT:
            break
    parts.append(node.text[at:])
    if size + len(parts[-1]) > MOST_TEXT:
        raise ExpressionError(0, f"a text of more than {MOST_TEXT} characters", "a shorter text")
    return "".join(parts)


def _hole(match: re.Match[str], parameters: Parameters) -> str:
    whole, name = match[0], (match[1] or "").strip()
    if whole in ("{{", "}}"):
        return whole[0]
    if match[1] is None:
        remedy = f"write `{whole}{whole}` for the brace itself"
        raise ExpressionError(match.start(), f"a single `{whole}`", "`{name}` of a parameter", remedy)
    if not _NAME.fullmatch(name):
        remedy = "only plain names stand in braces: give the expression a name under `parameters`"
        raise ExpressionError(match.start(), f"`{shown(whole)}`", "`{name}` of a parameter", remedy)
    try:
        return parameters.written(name)
    except QuantityError as error:
        raise ExpressionError(match.start(1), error.found, error.expected, error.remedy) from None


def node_quantity(node: Scalar, parameters: Parameters) -> Quantity:
    """Return the value of a number or an expression in the recipe.

    Raises: ExpressionError: neither, or without an answer. BrokenParameterError: a parameter has its own mistake.
    """
    if node.plain and is_number(node.value):
        return number_quantity(node)
    return evaluate(parse_expression(node.text), parameters.quantity, parameters.unit_mm)
