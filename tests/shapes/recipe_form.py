"""Outlines from plain data in recipe form, for tests that need no recipe file: mm and degrees."""

from __future__ import annotations

import dataclasses
from math import radians
from typing import Any

from generator.base.fields import SPEC, Kind, OutlineSpec, Spec
from generator.outline.region import Region
from generator.recipe.outline_keys import ATTRIBUTE_OF, OutlineKeys
from generator.shapes.draw import draw_outline, shape_named
from generator.shapes.shape import Context


def outline(data: dict[str, Any], path: str = "footprint") -> OutlineSpec:
    """Return the outline that ``data`` describes, as the recipe's reader would."""
    own = {
        ATTRIBUTE_OF[k]: _value(_spec(OutlineKeys, k), v, f"{path}.{k}") for k, v in data.items() if k in ATTRIBUTE_OF
    }
    (kind,) = (k for k in data if k not in ATTRIBUTE_OF)
    params = _record(shape_named(kind).params, data[kind], f"{path}.{kind}")
    return OutlineSpec(kind=kind, params=params, path=path, **own)


def drawn(data: dict[str, Any], context: Context | None = None) -> Region:
    """Return the region that ``data`` describes."""
    return draw_outline(outline(data), context or Context())


def _spec(record: type, name: str) -> Spec:
    fields = {f.name: f for f in dataclasses.fields(record)}
    return fields[name].metadata[SPEC]


def _record(record: type, data: dict[str, Any], path: str) -> Any:
    return record(**{k: _value(_spec(record, k), v, f"{path}.{k}") for k, v in data.items()})


def _value(spec: Spec, value: Any, path: str) -> Any:
    match spec.kind:
        case Kind.LENGTH | Kind.NUMBER:
            return float(value)
        case Kind.ANGLE:
            return radians(value)
        case Kind.POINT:
            return (float(value[0]), float(value[1]))
        case Kind.LIST:
            return tuple(_value(spec.item, v, f"{path}[{i}]") for i, v in enumerate(value))
        case Kind.OUTLINE:
            return outline(value, path)
        case Kind.RECORD:
            return value if isinstance(value, str) else _record(spec.record, value, path)
        case _:
            return value
