"""Records from plain data as JSON gives it: every type is looked at, so that nothing odd is believed and fails late."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping
from dataclasses import fields
from functools import lru_cache
from typing import Any, Final, TypeVar, get_args, get_origin, get_type_hints

__all__ = ["plain_text", "record_of"]

_T = TypeVar("_T")
_Reader = Callable[[Any], Any]


def plain_text(data: object, *, sort_keys: bool = False) -> str:
    """Return data and records in it as JSON, for ``record_of``, without the copies that ``asdict`` makes."""
    return json.dumps(data, separators=(",", ":"), sort_keys=sort_keys, default=vars)


def record_of(kind: type[_T], data: object) -> _T:
    """Return the record of class ``kind`` that ``data`` says, as ``plain_text`` or ``dataclasses.asdict`` told it.

    Fields may be texts, whole numbers, finite numbers, records, tuples of one length or of any, and maps of names.

    Raises: ValueError: a field is missing, is not known, or is of another type.
    """
    asked: Any = kind
    read: _T = _reader(asked)(data)
    return read


@lru_cache(maxsize=64)
def _reader(kind: Any) -> _Reader:
    """Return the function that reads one value of a type."""
    if kind in _PLAIN:
        return _PLAIN[kind]
    origin, inner = get_origin(kind), get_args(kind)
    if origin is tuple and inner[1:] == (...,):
        return _many(_reader(inner[0]))
    if origin is tuple:
        return _some(tuple(_reader(i) for i in inner))
    if origin is Mapping:
        return _named(_reader(inner[1]))
    return _record(kind)


def _record(kind: Any) -> _Reader:
    hints = get_type_hints(kind)
    readers = {f.name: _reader(hints[f.name]) for f in fields(kind)}

    def read(data: object) -> Any:
        if not isinstance(data, dict) or data.keys() != readers.keys():
            raise ValueError(f"no record of {kind.__name__}")
        return kind(**{name: reader(data[name]) for name, reader in readers.items()})

    return read


def _many(one: _Reader) -> _Reader:
    return lambda data: tuple(one(d) for d in _list(data))


def _some(each: tuple[_Reader, ...]) -> _Reader:
    return lambda data: tuple(reader(d) for reader, d in zip(each, _list(data), strict=True))


def _named(one: _Reader) -> _Reader:
    def read(data: object) -> dict[str, Any]:
        if not isinstance(data, dict):
            raise ValueError("no map")
        return {_text(name): one(d) for name, d in data.items()}

    return read


def _list(data: object) -> list[Any] | tuple[Any, ...]:
    if not isinstance(data, list | tuple):  # what comes from elsewhere may have tuples in their place
        raise ValueError("no list")
    return data


def _text(data: object) -> str:
    if not isinstance(data, str):
        raise ValueError("no text")
    return data


def _whole(data: object) -> int:
    if type(data) is not int:
        raise ValueError("no whole number")
    return data


def _number(data: object) -> float:
    if type(data) not in (int, float):
        raise ValueError("no number")
    try:
        value = float(data)  # type: ignore[arg-type]
    except OverflowError:
        value = math.inf
    if not math.isfinite(value):
        raise ValueError("no finite number")
    return value


_PLAIN: Final[Mapping[Any, _Reader]] = {str: _text, int: _whole, float: _number}
