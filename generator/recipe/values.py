"""Reading single values: numbers with units and bounds, texts, names, files, words, points."""

from __future__ import annotations

import math
import os
import re
from collections.abc import Callable
from typing import Any, Final

from generator.base.fields import Kind, Spec
from generator.recipe import quantity as q
from generator.recipe.context import BAD, Context, is_bad
from generator.recipe.expression import ExpressionError
from generator.recipe.mistakes import did_you_mean
from generator.recipe.parameters import BrokenParameterError, fill_in, node_quantity, plain_number, quote_it
from generator.recipe.places import shown
from generator.recipe.quantity import Quantity, QuantityError
from generator.recipe.text import ListNode, Node, Scalar, described
from generator.recipe.used import wrong_used_file
from generator.recipe.wording import expectation, in_unit

WIDEST: Final = {Kind.LENGTH: 1e5, Kind.POINT: 1e5, Kind.ANGLE: 3.6e4, Kind.NUMBER: 1e12, Kind.COUNT: 1e6}
"""Bounds in either direction where a key declares none (mm, degrees, plain): our choice, far beyond any cover."""

_RESERVED_NAMES = re.compile(r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\..*)?", re.IGNORECASE)
"""Names that Windows keeps for devices. Source: Microsoft's naming rules for files, from memory."""


def read_scalar(context: Context, spec: Spec, node: Node, path: str) -> Any:
    """Return the value of a key that takes one value or a point, or ``BAD`` once the mistake is told."""
    if spec.kind is not Kind.WORD and isinstance(node, Scalar) and node.text in spec.words:
        return node.text
    return _READERS[spec.kind](context, spec, node, path)


def _number(context: Context, spec: Spec, node: Node, path: str) -> Any:
    """Return a length in mm, an angle in radians, a plain or a whole number."""
    quantity = _quantity(context, spec, node, path)
    if quantity is None:
        return BAD
    number = quantity.number
    if spec.kind is Kind.COUNT:
        if abs(number - round(number)) > 1e-9 * max(1.0, abs(number)):
            return context.bad(node.place, path, _value_text(context, spec, node, number), "a whole number")
        number = float(round(number))
    if not _within(spec, number):
        expected = expectation(_with_widest(spec), context.units)
        return context.bad(node.place, path, _value_text(context, spec, node, number), expected)
    if spec.kind is Kind.COUNT:
        return int(number)
    return math.radians(number) if spec.kind is Kind.ANGLE else number


def _quantity(context: Context, spec: Spec, node: Node, path: str) -> Quantity | None:
    """Return the quantity that ``node`` says, of the sort that ``spec`` wants, or None once the mistake is told."""
    expected = expectation(spec, context.units)
    if not isinstance(node, Scalar) or not node.text.strip() or (node.plain and isinstance(node.value, bool | None)):
        context.bad(node.place, path, described(node), expected)
        return None
    try:
        quantity = node_quantity(node, context.parameters)
        return _as_wanted(quantity, spec.kind, context.parameters.unit_mm)
    except ExpressionError as error:
        is_whole = f"`{shown(node.text)}`" in error.found
        found = error.found if is_whole else f"{error.found} in `{shown(node.text)}`"
        wanted = expected if is_whole or not error.expected else error.expected
        context.bad(node.place_of(error.offset), path, found, wanted, _number_remedy(error, spec))
    except QuantityError as error:
        context.bad(node.place, path, f"`{shown(node.text)}`, {error.found}", expected, error.remedy)
    except BrokenParameterError:
        pass
    return None


def _number_remedy(error: ExpressionError, spec: Spec) -> str:
    if error.remedy or not spec.words:
        return error.remedy
    return f"or write {expectation(Spec(Kind.WORD, '', words=spec.words))}"


def _as_wanted(quantity: Quantity, kind: Kind, unit_mm: float) -> Quantity:
    if kind in (Kind.LENGTH, Kind.POINT):
        return q.as_length(quantity, unit_mm)
    return q.as_angle(quantity) if kind is Kind.ANGLE else q.as_plain(quantity)


def _with_widest(spec: Spec) -> Spec:
    """Return ``spec`` with bounds on both sides."""
    widest = WIDEST[spec.kind]
    low = None if spec.above is not None or spec.at_least is not None else -widest
    high = None if spec.at_most is not None or spec.below is not None else widest
    return Spec(
        spec.kind,
        spec.help,
        above=spec.above,
        at_least=spec.at_least if low is None else low,
        at_most=spec.at_most if high is None else high,
        below=spec.below,
        words=spec.words,
    )


def _within(spec: Spec, number: float) -> bool:
    return (
        abs(number) <= WIDEST[spec.kind]
        and (spec.above is None or number > spec.above)
        and (spec.at_least is None or number >= spec.at_least)
        and (spec.at_most is None or number <= spec.at_most)
        and (spec.below is None or number < spec.below)
    )


def _value_text(context: Context, spec: Spec, node: Node, number: float) -> str:
    """Return the value as written, with what it comes to if that is not plain to see."""
    written = node.text if isinstance(node, Scalar) else ""
    value = in_unit(number, spec.kind, context.units)
    same = {written, f"{written} mm", f"{written} in", f"{written}°"}
    return f"`{shown(written)}`" if value in same else f"`{shown(written)}`, which is {value}"


def _text(context: Context, spec: Spec, node: Node, path: str) -> Any:
    filled = _filled(context, spec, node, path)
    if is_bad(filled):
        return BAD
    assert isinstance(node, Scalar)
    if spec.pattern and not re.fullmatch(spec.pattern, filled):
        expected = expectation(spec) if spec.kind is Kind.NAME else f"a text like `{spec.example}`"
        remedy = _good_name(filled) if spec.kind is Kind.NAME else ""
        return context.bad(node.place, path, _filled_text(node, filled), expected, remedy)
    if spec.kind is Kind.NAME and is_reserved_name(filled):
        found = f"{_filled_text(node, filled)}, which Windows keeps for itself"
        return context.bad(node.place, path, found, "another name", "choose another name")
    return filled


def _filled(context: Context, spec: Spec, node: Node, path: str) -> Any:
    """Return a text with its parameters filled in."""
    if not isinstance(node, Scalar):
        return context.bad(node.place, path, described(node), expectation(spec))
    if not isinstance(node.value, str):
        return context.bad(node.place, path, _misread(node), expectation(spec), quote_it(node))
    try:
        return fill_in(node, context.parameters)
    except ExpressionError as error:
        place = node.place_of(error.offset)
        return context.bad(place, path, f"{error.found} in `{shown(node.text)}`", error.expected, error.remedy)
    except BrokenParameterError:
        return BAD


def _misread(node: Scalar) -> str:
    kinds = {bool: "true or false", type(None): "nothing"}
    what = kinds.get(type(node.value), "a number")
    value = node.value
    reads = f" ({plain_number(float(value))})" if isinstance(value, int | float) and abs(value) < 1e15 else ""
    exact = reads if what == "a number" and reads != f" ({node.text})" else ""
    return f"`{shown(node.text)}`, which YAML reads as {what}{exact}"


def _filled_text(node: Scalar, filled: str) -> str:
    return f"`{shown(filled)}`" + (f" (from `{shown(node.text)}`)" if filled != node.text else "")


def _good_name(text: str) -> str:
    """Return a remedy with a name made of what is good in ``text``."""
    words = re.findall(r"[A-Za-z0-9_]+", text)
    good = "-".join(words)[:64]
    return f"for example `{good}`" if good and good != text and not is_reserved_name(good) else ""


def is_reserved_name(name: str) -> bool:
    """Return True if some system keeps this file name for itself."""
    return bool(_RESERVED_NAMES.fullmatch(name))


def _file(context: Context, spec: Spec, node: Node, path: str) -> Any:
    filled = _filled(context, spec, node, path)
    if is_bad(filled):
        return BAD
    wrong = wrong_file(filled)
    name = "" if wrong else _from_recipe_folder(context, node, filled)
    wrong = wrong or wrong_used_file(context.folder, name)
    if wrong:
        return context.bad(node.place, path, f"`{shown(filled)}`, {wrong}", expectation(spec))
    context.used_files.append(name)
    return name


def _from_recipe_folder(context: Context, node: Node, name: str) -> str:
    """Return a file named in a recipe that another is based on as the named recipe would call it."""
    home = os.path.dirname(node.place.source.name) if node.place.line else context.folder
    if home == context.folder:
        return name
    return os.path.relpath(os.path.join(home, name), context.folder or os.curdir).replace(os.sep, "/")


def wrong_file(name: str) -> str:
    """Return what is wrong with a file name in a recipe, empty if nothing is. One ``../`` at the front is allowed."""
    parts = name.split("/")
    inner = parts[1:] if parts[0] == ".." else parts
    if not name.strip():
        return "an empty name"
    if name.startswith(("/", "~")) or name[1:2] == ":":
        return "an absolute path"
    if "\\" in name:
        return "a path with backslashes (write `/`)"
    if ".." in inner or not name.isprintable() or len(name) > 250:
        return "a path that leads outside the recipe's surroundings" if ".." in inner else "not a good file name"
    return "a name that Windows keeps for itself" if any(is_reserved_name(p) for p in parts) else ""


def _flag(context: Context, spec: Spec, node: Node, path: str) -> Any:
    if isinstance(node, Scalar) and isinstance(node.value, bool):
        return node.value
    word = node.text.lower() if isinstance(node, Scalar) else ""
    meant = {"yes": "true", "on": "true", "true": "true", "no": "false", "off": "false", "false": "false"}.get(word, "")
    return context.bad(node.place, path, described(node), "`true` or `false`", f"write `{meant}`" if meant else "")


def _word(context: Context, spec: Spec, node: Node, path: str) -> Any:
    if isinstance(node, Scalar) and node.text in spec.words:
        return node.text
    remedy = did_you_mean(node.text, spec.words) if isinstance(node, Scalar) else ""
    return context.bad(node.place, path, described(node), expectation(spec), remedy)


def _point(context: Context, spec: Spec, node: Node, path: str) -> Any:
    if not isinstance(node, ListNode) or len(node.items) != 2:
        return context.bad(node.place, path, described(node), expectation(spec), "for example `[32, 0]`")
    item = Spec(Kind.LENGTH, "", above=spec.above, at_least=spec.at_least, at_most=spec.at_most, below=spec.below)
    both = tuple(_number(context, item, n, f"{path}[{i}]") for i, n in enumerate(node.items))
    return BAD if any(is_bad(v) for v in both) else both


def _as_it_is(context: Context, spec: Spec, node: Node, path: str) -> Any:
    """Return the node itself, for what only gets its meaning later."""
    scalar = isinstance(node, Scalar) and not isinstance(node.value, bool)
    several = spec.family == "some" and isinstance(node, ListNode) and all(isinstance(n, Scalar) for n in node.items)
    if spec.family == "any" or scalar or several:
        return node
    quote = quote_it(node) if isinstance(node, Scalar) else ""
    return context.bad(node.place, path, described(node), expectation(spec), quote)


_READERS: Final[dict[Kind, Callable[[Context, Spec, Node, str], Any]]] = {
    Kind.LENGTH: _number,
    Kind.ANGLE: _number,
    Kind.NUMBER: _number,
    Kind.COUNT: _number,
    Kind.TEXT: _text,
    Kind.NAME: _text,
    Kind.FILE: _file,
    Kind.FLAG: _flag,
    Kind.WORD: _word,
    Kind.POINT: _point,
    Kind.VALUE: _as_it_is,
}
