"""A typed recipe as plain data in its own units: what a person would write with nothing left to work out."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from typing import Any

from generator.base.fields import REQUIRED, Kind, OutlineSpec, Spec
from generator.base.figures import Figure
from generator.recipe.keys import Key, exclusive_of, groups_of, keys_of
from generator.recipe.model import Recipe
from generator.recipe.outline_keys import ATTRIBUTE_OF, OutlineKeys
from generator.recipe.parameters import UNIT_MM, Parameter, Parameters

_BRACE = re.compile(r"[{}]")


def plain_recipe(recipe: Recipe, parameters: Parameters) -> dict[str, Any]:
    """Return everything the recipe says as maps, lists, texts and numbers; read again it is the same recipe.

    What is derived from other keys is None; a length that its unit cannot hold exactly is a text in mm.
    """
    plain = _record(recipe, UNIT_MM[recipe.units], Recipe)
    own = {name: _parameter(p) for name, p in parameters.known.items() if p}
    return {**plain, "parameters": own}


def _parameter(parameter: Parameter) -> Any:
    """Return a parameter as it could be written: a number with its unit, or a text."""
    quantity = parameter.quantity
    if parameter.is_text or quantity is None:
        return _text(parameter.written, Spec(Kind.PARAMETER, ""))
    if quantity.is_length or quantity.is_angle:
        return f"{_number(quantity.number)} {'mm' if quantity.is_length else 'deg'}"
    return _number(quantity.number)


def _record(value: Any, unit_mm: float, record: type, spec: Spec | None = None) -> dict[str, Any]:
    grouped = {word for group in groups_of(record, spec) for word in group}
    exclusive = {word for group in exclusive_of(record) for word in group}
    out: dict[str, Any] = {}
    for word, key in keys_of(record).items():
        given = getattr(value, key.attribute)
        if is_unset(key, given):
            if word not in grouped:
                out[word] = None
        elif word in grouped and given == key.default and given in ("", ()):
            continue  # one of several of which another is given
        elif word in exclusive and given == key.default:
            continue  # written beside another it would say the same thing twice
        else:
            out[word] = _plain(given, unit_mm, key.spec)
    return out


def is_unset(key: Key, value: Any) -> bool:
    """Return True for a default that nobody could write: it stands for something derived."""
    if key.default is REQUIRED or value != key.default:
        return False
    spec = key.spec
    if value is None or (spec.kind is Kind.WORD and value not in spec.words):
        return True
    if spec.kind in (Kind.TEXT, Kind.NAME, Kind.FILE) and value == "":
        return spec.kind is not Kind.TEXT or bool(spec.pattern)
    return isinstance(value, tuple) and spec.kind is Kind.LIST and len(value) < spec.fewest


def _plain(value: Any, unit_mm: float, spec: Spec) -> Any:
    if isinstance(value, Figure):
        value = value.value
    if isinstance(value, str):
        return _text(value, spec)
    if spec.kind is Kind.RECORD and spec.record:
        return _record(value, unit_mm, spec.record, spec)
    if spec.kind is Kind.OUTLINE:
        return plain_outline(value, unit_mm)
    if spec.kind is Kind.MAP and spec.item:
        return {k: _plain(v, unit_mm, spec.item) for k, v in value.items()}
    if spec.kind is Kind.LIST and spec.item:
        return [_plain(v, unit_mm, spec.item) for v in value]
    if spec.kind is Kind.POINT:
        return [_length(v, unit_mm) for v in value]
    if spec.kind is Kind.LENGTH:
        return _length(value, unit_mm)
    return degrees(value) if spec.kind is Kind.ANGLE else _number(value)


def plain_outline(outline: OutlineSpec, unit_mm: float) -> dict[str, Any]:
    """Return an outline as plain data: its kind with all its keys, and the modifiers that do something."""
    out: dict[str, Any] = {outline.kind: _record(outline.params, unit_mm, type(outline.params))}
    for word, key in keys_of(OutlineKeys).items():
        value = getattr(outline, ATTRIBUTE_OF[word])
        if value != key.default:
            out[word] = _plain(value, unit_mm, key.spec)
    return out


def _text(value: str, spec: Spec) -> str:
    """Return a text with its braces doubled, where braces mean something."""
    fills = spec.kind in (Kind.TEXT, Kind.NAME, Kind.FILE, Kind.PARAMETER)
    return _BRACE.sub(lambda m: m[0] * 2, value) if fills and value not in spec.words else value


def _number(value: Any) -> Any:
    if isinstance(value, bool) or not isinstance(value, float):
        return value
    return int(value) if value.is_integer() and abs(value) < 1e15 else value


def _length(value_mm: float, unit_mm: float) -> Any:
    """Return a length in the recipe's unit if that gives the very same number of mm back, else a text in mm."""
    quotient = value_mm / unit_mm
    exact = next((x for x in (round(quotient, 9), quotient) if x * unit_mm == value_mm), None)
    return _number(exact) if exact is not None else f"{_number(value_mm)} mm"


def degrees(radians: float) -> Any:
    """Return the angle in degrees that gives the very same number of radians back, if there is one."""
    middle = math.degrees(radians)
    near = [middle, math.nextafter(middle, math.inf), math.nextafter(middle, -math.inf)]
    tries: Iterable[float] = (round(middle, 9), *near)
    return _number(next((x for x in tries if math.radians(x) == radians), middle))
