"""JSON Schema 2020-12 of the recipe, made from the declarations, for completion and hover text in editors.

The schema says what an editor can say while one file is typed: keys, words, sorts of values, plain bounds. What needs
the whole recipe (expressions, units, files, alternatives across recipes) is the reader's. What must be given is
demanded only where the recipe is not based on another; members of lists are always demanded whole, for lists are never
merged.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Any, Final

from generator.base.fields import REQUIRED, Kind, Kinds, Spec
from generator.base.figures import Figure
from generator.recipe.keys import Key, exclusive_of, groups_of, keys_of
from generator.recipe.model import Recipe
from generator.recipe.model_caliper import CaliperFile
from generator.recipe.model_family import FamilyFile
from generator.recipe.model_printer import Printer
from generator.recipe.outline_keys import OutlineKeys
from generator.recipe.plain import degrees
from generator.recipe.wording import bounds_text

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
SCHEMA_ID: Final = "urn:coverplate:recipe"
PRINTER_SCHEMA_ID: Final = "urn:coverplate:printer"
READINGS_SCHEMA_ID: Final = "urn:coverplate:readings"
FAMILY_SCHEMA_ID: Final = "urn:coverplate:family"
MEMBER_NAMES: Final = "^[A-Za-z0-9][A-Za-z0-9_-]{0,63}$"
PARAMETER_NAMES: Final = "^[A-Za-z_][A-Za-z0-9_]{0,63}$"
_NUMBERS: Final = (Kind.LENGTH, Kind.ANGLE, Kind.NUMBER, Kind.COUNT)
_TEXTS: Final = (Kind.TEXT, Kind.NAME, Kind.FILE)

Schema = dict[str, Any]


def recipe_schema(kinds: Kinds) -> Schema:
    """Return the JSON Schema of a recipe that may use ``kinds``."""
    return {
        "$schema": DIALECT,
        "$id": SCHEMA_ID,
        "title": "coverplate recipe",
        "description": "Everything that one cover is made from.",
        "type": "object",
        "properties": {"based_on": _based_on(), **_properties(Recipe)},
        "additionalProperties": False,
        "if": {"required": ["based_on"], "properties": {"based_on": {"type": "string"}}},
        "else": {"$ref": _ref("Recipe", whole=True)},
        "$defs": dict(sorted(_definitions(kinds))),
    }


def printer_schema() -> Schema:
    """Return the JSON Schema of a printer's settings file."""
    return _alone(Printer, PRINTER_SCHEMA_ID, "coverplate printer")


def readings_schema() -> Schema:
    """Return the JSON Schema of a file of caliper readings."""
    return _alone_with_members(CaliperFile, READINGS_SCHEMA_ID, "coverplate caliper readings")


def family_schema() -> Schema:
    """Return the JSON Schema of the file of a family."""
    return _alone_with_members(FamilyFile, FAMILY_SCHEMA_ID, "coverplate family")


def _alone_with_members(record: type, name: str, title: str) -> Schema:
    """Return the JSON Schema of a file that is one record and has others in lists."""
    made = _alone(record, name, title)
    members = {_name(r, whole=True): _whole_record(r) for r in records_below([record]) if r is not record}
    return {**made, **_required(record), "$defs": {**made["$defs"], **members}}


def _alone(record: type, name: str, title: str) -> Schema:
    """Return the JSON Schema of a file that is one record and stands beside recipes."""
    records = [r for r in records_below([record]) if r is not record]
    return {
        "$schema": DIALECT,
        "$id": name,
        "title": title,
        "description": first_sentence(record.__doc__),
        "type": "object",
        "properties": _properties(record),
        "additionalProperties": False,
        "$defs": {_name(r): {**_record(r), **_required(r)} for r in records},
    }


def _required(record: type) -> Schema:
    return {"required": [w for w, k in keys_of(record).items() if k.is_required]}


def _based_on() -> Schema:
    return {
        "title": "based_on",
        "description": "Another recipe that this one is laid over: groups of keys merge, everything else replaces, "
        "`null` takes a key away. The path is relative to this file.",
        "type": ["string", "null"],
        "examples": ["gate-latch.yaml"],
    }


def _definitions(kinds: Kinds) -> Iterator[tuple[str, Schema]]:
    """Yield every record and outline twice: what may stand there, and what must."""
    records = records_below([Recipe, OutlineKeys, *(k.params for ks in kinds.values() for k in ks)])
    for record in records:
        if record is not Recipe and record is not OutlineKeys:
            yield _name(record), _record(record)
        if record is not OutlineKeys:
            yield _name(record, whole=True), _whole_record(record)
    for family in kinds:
        yield f"{family}", _outline(family, kinds)
        yield f"{family}.whole", _whole_outline(family, kinds)


def records_below(records: list[type]) -> list[type]:
    """Return ``records`` and every record that they hold."""
    found: dict[type, None] = {}
    rest = list(records)
    while rest:
        record = rest.pop(0)
        if record not in found:
            found[record] = None
            rest.extend(r for key in keys_of(record).values() if (r := _innermost(key.spec).record))
    return list(found)


def _innermost(spec: Spec) -> Spec:
    while spec.kind in (Kind.LIST, Kind.MAP) and spec.item:
        spec = spec.item
    return spec


def _name(record: type, *, whole: bool = False) -> str:
    return record.__name__ + (".whole" if whole else "")


def _ref(name: str, *, whole: bool = False) -> str:
    return f"#/$defs/{name}{'.whole' if whole else ''}"


def first_sentence(text: str | None) -> str:
    """Return the first paragraph of a docstring on one line."""
    return re.sub(r"\s+", " ", (text or "").strip().split("\n\n")[0]).replace("``", "`")


def _record(record: type) -> Schema:
    pairs = [pair for group in exclusive_of(record) for pair in combinations(group, 2)]
    return {
        **({"allOf": [_not_both(pair) for pair in pairs]} if pairs else {}),
        "title": record.__name__,
        "description": first_sentence(record.__doc__),
        "type": "object",
        "properties": _properties(record),
        "additionalProperties": False,
    }


def _not_both(words: tuple[str, str]) -> Schema:
    """Return that at most one of two keys is given; ``null`` gives none."""
    return {"not": {"required": list(words), "properties": {w: {"not": {"type": "null"}} for w in words}}}


def _properties(record: type) -> Schema:
    return {word: key_schema(key) for word, key in keys_of(record).items()}


def key_schema(key: Key) -> Schema:
    """Return the schema of one key: title, description with unit, default, examples, and what may stand there."""
    schema = {"title": key.word, "description": description(key), **_value(key.spec, may_be_null=not key.is_required)}
    default = default_of(key)
    if default is not None:
        schema["default"] = default
    schema["examples"] = [example_of(key.spec)]
    return schema


def description(key: Key) -> str:
    """Return the hover text of a key: what it is, its unit and bounds, its default."""
    spec = key.spec
    parts = [spec.help]
    if spec.kind in (Kind.LENGTH, Kind.POINT):
        parts.append("Length: a bare number is in the recipe's units; `6 mm` or `1/4 in` carry their own.")
    elif spec.kind is Kind.ANGLE:
        parts.append("Angle in degrees (°).")
    bounds = bounds_text(spec)
    if bounds:
        parts.append(f"{bounds[0].upper()}{bounds[1:]}.")
    if spec.kind is Kind.LIST and spec.fewest:
        parts.append(f"At least {spec.fewest}.")
    if key.is_required:
        parts.append("Must be given.")
    return " ".join(parts)


def default_of(key: Key) -> Any:
    """Return the default as it would stand in a recipe in mm, None if there is none that could be written."""
    value, spec = key.default, key.spec
    if isinstance(value, Figure):
        value = value.value
    if value is REQUIRED or value is None or (value == "" and spec.kind is not Kind.TEXT):
        return None
    if isinstance(value, str | bool):
        return value
    if spec.kind in (Kind.LIST, Kind.MAP):
        return None if len(value) < spec.fewest or len(value) else ([] if spec.kind is Kind.LIST else {})
    if spec.kind is Kind.RECORD and spec.record:
        return {w: d for w, k in keys_of(spec.record).items() if (d := default_of(k)) is not None}
    if spec.kind is Kind.POINT:
        return [_tidy(v) for v in value]
    return degrees(value) if spec.kind is Kind.ANGLE else _tidy(value)


def _tidy(value: Any) -> Any:
    return int(value) if isinstance(value, float) and value.is_integer() else value


def example_of(spec: Spec) -> Any:
    """Return the declared example, or one made of the examples of what is inside."""
    if spec.example is not None:
        return spec.example
    if spec.kind is Kind.RECORD and spec.record:
        keys = keys_of(spec.record)
        second = {w for group in groups_of(spec.record, spec) for w in group[1:]}
        chosen = {w: k for w, k in keys.items() if w not in second and k.is_required} or dict(list(keys.items())[:1])
        first = {group[0] for group in groups_of(spec.record, spec)}
        return {w: example_of(keys[w].spec) for w in keys if w in chosen or w in first}
    if spec.kind is Kind.OUTLINE:
        return {"disc": {"radius": 30}}
    if spec.kind is Kind.MAP and spec.item:
        return {"first": example_of(spec.item)}
    if spec.kind is Kind.LIST and spec.item:
        return [example_of(spec.item)] * max(1, spec.fewest)
    return spec.words[0] if spec.words else ""


def _value(spec: Spec, *, may_be_null: bool = False, in_list: bool = False) -> Schema:
    """Return what may stand at a key. ``null`` takes a key of the recipe below away, so optional keys allow it."""
    schema = _bare_value(spec, in_list=in_list)
    if not may_be_null:
        return schema
    if "enum" in schema:
        return {**schema, "enum": [*schema["enum"], None]}
    if "type" in schema:
        types = schema["type"] if isinstance(schema["type"], list) else [schema["type"]]
        return {**schema, "type": [*types, "null"]}
    if "anyOf" in schema:
        return {**schema, "anyOf": [*schema["anyOf"], {"type": "null"}]}
    return {"anyOf": [schema, {"type": "null"}]}


def _bare_value(spec: Spec, *, in_list: bool) -> Schema:
    if spec.kind in _NUMBERS:
        return {"type": ["number", "string"], **_bounds(spec)}
    if spec.kind in _TEXTS:
        return {"type": "string"}
    if spec.kind is Kind.FLAG:
        return {"type": "boolean"}
    if spec.kind is Kind.WORD:
        return {"enum": list(spec.words)}
    if spec.kind is Kind.PARAMETER:
        return {"type": ["number", "string"]}
    if spec.kind is Kind.VALUE:
        return _value_as_written(spec)
    if spec.kind is Kind.POINT:
        return {"type": "array", "items": {"type": ["number", "string"]}, "minItems": 2, "maxItems": 2}
    return _group(spec, in_list=in_list)


def _value_as_written(spec: Spec) -> Schema:
    one: Schema = {"type": ["number", "string"]}
    if spec.family == "one":
        return one
    return {} if spec.family == "any" else {"anyOf": [one, {"type": "array", "items": one}]}


def _bounds(spec: Spec) -> Schema:
    """Return the bounds that hold for a bare number whatever the recipe's unit: an inch is more mm, never fewer."""
    any_unit = spec.kind is not Kind.LENGTH
    bounds: Schema = {}
    for word, value, is_upper in (
        ("exclusiveMinimum", spec.above, False),
        ("minimum", spec.at_least, False),
        ("maximum", spec.at_most, True),
        ("exclusiveMaximum", spec.below, True),
    ):
        if value is not None and (any_unit or (value >= 0 if is_upper else value <= 0)):
            bounds[word] = value
    return bounds


def _group(spec: Spec, *, in_list: bool) -> Schema:
    if spec.kind is Kind.LIST and spec.item:
        items = _value(spec.item, in_list=True)
        return {"type": "array", "items": items, "minItems": spec.fewest, "maxItems": spec.most}
    if spec.kind is Kind.MAP and spec.item:
        names = PARAMETER_NAMES if spec.item.kind is Kind.PARAMETER else MEMBER_NAMES
        names = f"^{spec.pattern}$" if spec.pattern else names
        member = {"description": spec.item.help, **_value(spec.item, may_be_null=True)}
        least = {"minProperties": spec.fewest} if spec.fewest else {}
        return {"type": "object", "propertyNames": {"pattern": names}, "additionalProperties": member, **least}
    name = spec.family if spec.kind is Kind.OUTLINE else _name(spec.record or Recipe)
    both = [{"$ref": _ref(name)}, {"$ref": _ref(name, whole=True)}] if in_list else []
    group: Schema = {"allOf": both} if both else {"$ref": _ref(name)}
    return {"anyOf": [{"enum": list(spec.words)}, group]} if spec.words else group


def _outline(family: str, kinds: Kinds) -> Schema:
    named = {
        k.name: {
            "title": k.name,
            "description": k.help,
            "anyOf": [{"$ref": _ref(_name(k.params))}, {"type": "null"}],
            "examples": [example_of(Spec(Kind.RECORD, k.help, record=k.params))],
        }
        for k in kinds[family]
    }
    return {
        "title": family,
        "description": "An outline: exactly one kind with its keys, and what is done to it.",
        "type": "object",
        "properties": {**named, **_properties(OutlineKeys)},
        "additionalProperties": False,
    }


def _whole_outline(family: str, kinds: Kinds) -> Schema:
    """Return what an outline must have when nothing lies below it: exactly one kind, with what that kind needs."""
    below = {k.name: {"$ref": _ref(_name(k.params), whole=True)} for k in kinds[family]}
    return {"type": "object", "properties": below, "oneOf": [{"required": [k.name]} for k in kinds[family]]}


def _whole_record(record: type) -> Schema:
    """Return what a record must have when nothing lies below it: required keys, alternatives, and the same inside."""
    keys = keys_of(record)
    groups = groups_of(record)
    grouped = {word for group in groups for word in group}
    must = [w for w, k in keys.items() if k.is_required and w not in grouped]
    below = {w: s for w, k in keys.items() if (s := _whole_value(k.spec)) is not None}
    schema: Schema = {"properties": below} if below else {}
    if must:
        schema["required"] = must
    if groups:
        schema["allOf"] = [{"oneOf": [{"required": [w]} for w in group]} for group in groups]
    return schema


def _whole_value(spec: Spec) -> Schema | None:
    """Return what must stand inside a key's value, None if nothing must. Conditions on keys hold for groups only."""
    if (spec.kind is Kind.RECORD and spec.record) or spec.kind is Kind.OUTLINE:
        name = _name(spec.record) if spec.record else spec.family
        # a word or null may stand there instead, and would satisfy every alternative at once
        return {"if": {"type": "object"}, "then": {"$ref": _ref(name, whole=True)}}
    if spec.kind is Kind.MAP and spec.item:
        member = _whole_value(spec.item)
        return {"additionalProperties": member} if member else None
    return None


def schema_keys(schema: Mapping[str, Any]) -> Iterator[tuple[str, Schema]]:
    """Yield every key that the schema describes, by its address, with its schema."""
    yield from schema.get("properties", {}).items()
    for group, definition in schema.get("$defs", {}).items():
        if not group.endswith(".whole"):
            yield from ((f"{group}.{n}", s) for n, s in definition.get("properties", {}).items())
