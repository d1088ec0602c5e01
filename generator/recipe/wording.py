"""What a key expects, in words: for messages, schema and reference page."""

from __future__ import annotations

import json
from typing import Any

from generator.base.fields import Kind, Spec
from generator.recipe.keys import keys_of
from generator.recipe.mistakes import listed
from generator.recipe.parameters import UNIT_MM, plain_number

_NOUNS = {
    Kind.LENGTH: "a length",
    Kind.ANGLE: "an angle",
    Kind.NUMBER: "a number",
    Kind.COUNT: "a whole number",
    Kind.TEXT: "a text",
    Kind.NAME: "a name",
    Kind.FLAG: "`true` or `false`",
    Kind.POINT: "a point `[x, y]`",
    Kind.FILE: "a file named from the recipe's folder",
    Kind.RECORD: "a group of keys",
    Kind.LIST: "a list",
    Kind.MAP: "names with a value each, such as `{name: …}`",
    Kind.OUTLINE: "an outline",
    Kind.PARAMETER: "a number, an expression or a text",
    Kind.VALUE: "a number or a text",
}


def bounds_text(spec: Spec, units: str = "mm") -> str:
    """Return the bounds of a number with their unit, empty if there are none.

    >>> bounds_text(Spec(Kind.LENGTH, "", above=0, at_most=127), "inch")
    'above 0 in, at most 5 in'
    """
    words = (("above", spec.above), ("at least", spec.at_least), ("at most", spec.at_most), ("below", spec.below))
    return ", ".join(f"{word} {in_unit(value, spec.kind, units, 6)}" for word, value in words if value is not None)


def in_unit(value: float, kind: Kind, units: str, digits: int = 10) -> str:
    """Return a number in mm, degrees or plain as a person reads it in a recipe of ``units``."""
    if kind in (Kind.LENGTH, Kind.POINT):
        return f"{plain_number(value / UNIT_MM[units], digits)} {'in' if units == 'inch' else 'mm'}"
    return plain_number(value, digits) + ("°" if kind is Kind.ANGLE else "")


def expectation(spec: Spec, units: str = "mm") -> str:
    """Return what a value must be, as the end of ``expected …``."""
    if spec.kind is Kind.WORD:
        return listed(spec.words)
    noun = _NOUNS[spec.kind] + (", or a list of them" if spec.family == "some" else "")
    bounds = bounds_text(spec, units)
    if spec.kind is Kind.LIST and spec.item:
        noun = f"a list{_how_many(spec)}, each member: {expectation(spec.item, units)}"
    elif spec.kind is Kind.NAME and spec.pattern:
        noun = "a name of letters, digits, `-` and `_`"
    elif spec.kind is Kind.RECORD and spec.record:
        noun = f"the keys {listed(keys_of(spec.record), 'and')}"
    words = f", or {listed(spec.words)}" if spec.words else ""
    of = "of " if bounds.startswith("at") else ""
    return f"{noun} {of}{bounds.replace(', ', ' and ')}{words}" if bounds else f"{noun}{words}"


def name_like(spec: Spec) -> str:
    """Return what the names of a map must be like, by its declared example."""
    return f"a name like `{next(iter(spec.example), '')}`"


def _how_many(spec: Spec) -> str:
    return f" of at least {spec.fewest}" if spec.fewest else ""


def example_text(spec: Spec, units: str = "mm") -> str:
    """Return the declared example as it stands in a recipe of ``units``, empty if there is none."""
    if spec.example is None:
        return ""
    if units == "inch" and spec.kind is Kind.LENGTH:
        return f"{spec.example} mm"
    return flow(spec.example)


def flow(value: Any) -> str:
    """Return a plain value as YAML on one line.

    >>> flow({"disc": {"radius": 8}, "at": [0, 20]})
    '{disc: {radius: 8}, at: [0, 20]}'
    """
    if isinstance(value, dict):
        return "{" + ", ".join(f"{k}: {flow(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(flow(v) for v in value) + "]"
    if isinstance(value, str):
        return value if value and all(c.isalnum() or c in " ._/+-" for c in value) else json.dumps(value)
    return json.dumps(value) if isinstance(value, bool) else str(value)
