"""Frozen records: what ``@dataclass(frozen=True)`` gives, made in a fraction of the time.

``dataclass`` compiles six functions for every class while a module loads; with hundreds of classes that is a sixth of a
short command. Here equality, hash and text are shared functions over the fields, and ``__init__`` is compiled when the
first record of its class is made. ``fields``, ``replace`` and ``asdict`` of ``dataclasses`` work as ever.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import MISSING, Field, FrozenInstanceError
from operator import attrgetter
from typing import Any, TypeVar, dataclass_transform, overload

_T = TypeVar("_T")


@overload
def frozen_record(cls: type[_T], /) -> type[_T]: ...
@overload
def frozen_record(*, eq: bool = True, kw_only: bool = False) -> Callable[[type[_T]], type[_T]]: ...
@dataclass_transform(frozen_default=True, field_specifiers=(dataclasses.field,))
def frozen_record(cls: Any = None, /, *, eq: bool = True, kw_only: bool = False) -> Any:
    """Make a class of annotated names a frozen record; written above the class, with or without arguments.

    Args:
        cls: the class.
        eq: records with equal fields are equal and have the same hash; False: each equals itself alone.
        kw_only: fields are given by name only.
    """
    if cls is None:
        return lambda named: _make(named, eq, kw_only)
    return _make(cls, eq, kw_only)


def _make(cls: Any, eq: bool, kw_only: bool) -> Any:
    """Return ``cls`` itself, made a record; functions of its own stay."""
    dataclasses.dataclass(init=False, repr=False, eq=False, kw_only=kw_only)(cls)
    functions = {"__init__": _first_init(cls), "__repr__": _text, "__setattr__": _locked, "__delattr__": _locked}
    if eq:
        values = _values_of([f.name for f in dataclasses.fields(cls) if f.compare])
        functions |= {"__eq__": _equality(values), "__hash__": _hash(values)}
    for name, function in functions.items():
        if name not in cls.__dict__:
            setattr(cls, name, function)
    return cls


def _values_of(names: list[str]) -> Callable[[Any], Any]:
    """Return the function from a record to the tuple of what its fields ``names`` hold."""
    if len(names) > 1:
        return attrgetter(*names)
    return lambda held: tuple(getattr(held, name) for name in names)


def _equality(values: Callable[[Any], Any]) -> Callable[[Any, object], Any]:
    def equal(self: Any, other: object) -> Any:
        if other.__class__ is not self.__class__:
            return NotImplemented
        return values(self) == values(other)

    return equal


def _hash(values: Callable[[Any], Any]) -> Callable[[Any], int]:
    return lambda self: hash(values(self))


def _text(self: Any) -> str:
    shown = [f"{f.name}={getattr(self, f.name)!r}" for f in dataclasses.fields(self) if f.repr]
    return f"{type(self).__qualname__}({', '.join(shown)})"


def _locked(self: Any, name: str, value: object = None) -> None:
    raise FrozenInstanceError(f"{type(self).__qualname__} is frozen: {name!r} stays as it is")


def _first_init(cls: Any) -> Callable[..., None]:
    """Return an ``__init__`` that puts the compiled one in its own place when it is first called."""

    def first(self: Any, *args: Any, **named: Any) -> None:
        cls.__init__ = _compiled_init(cls)
        cls.__init__(self, *args, **named)

    return first


def _compiled_init(cls: Any) -> Any:
    """Return the function that takes the fields of ``cls`` as arguments and puts them past the lock."""
    fields = dataclasses.fields(cls)
    taken = [f for f in fields if f.init]
    by_name = [_parameter(f) for f in taken if f.kw_only]
    parameters = ["self", *(_parameter(f) for f in taken if not f.kw_only), *(["*", *by_name] if by_name else [])]
    lines = [f"    _put(self, {f.name!r}, {_value(f)})" for f in fields if f.init or f.default_factory is not MISSING]
    if hasattr(cls, "__post_init__"):
        lines.append("    self.__post_init__()")
    usual = {f"_usual_{f.name}": f.default if f.default_factory is MISSING else f.default_factory for f in fields}
    scope: dict[str, Any] = {"_put": object.__setattr__, "_MISSING": MISSING, **usual}
    exec("\n".join([f"def __init__({', '.join(parameters)}):", *lines, "    return None"]), scope)
    scope["__init__"].__qualname__ = f"{cls.__qualname__}.__init__"
    return scope["__init__"]


def _parameter(field: Field[Any]) -> str:
    """Return ``field`` as a parameter, with what it is by default."""
    if field.default_factory is not MISSING:
        return f"{field.name}=_MISSING"
    return field.name if field.default is MISSING else f"{field.name}=_usual_{field.name}"


def _value(field: Field[Any]) -> str:
    """Return the expression for what ``field`` is set to."""
    if field.default_factory is MISSING:
        return field.name
    fresh = f"_usual_{field.name}()"
    return f"{fresh} if {field.name} is _MISSING else {field.name}" if field.init else fresh
