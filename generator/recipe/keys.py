"""The keys of a record as a person writes them, found from its declarations."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from functools import cache
from typing import Any

from generator.base.fields import REQUIRED, SPEC, AnyKind, Kind, Kinds, Spec
from generator.base.frozen_record import frozen_record
from generator.recipe.outline_keys import OutlineKeys

EXACTLY_ONE = "EXACTLY_ONE"
"""Class attribute of a record: groups of keys of which exactly one must be given."""
AT_MOST_ONE = "AT_MOST_ONE"
"""Class attribute of a record: groups of keys of which one may be given, and no two."""


@frozen_record
class Key:
    """One key of a record: as written in the recipe, the attribute it fills, its declaration and its default."""

    word: str
    attribute: str
    spec: Spec
    default: Any

    @property
    def is_required(self) -> bool:
        """Return True if the recipe must give it."""
        return self.default is REQUIRED


@cache
def keys_of(record: type) -> Mapping[str, Key]:
    """Return the keys of ``record`` by word; an attribute such as ``from_`` is the key ``from``."""
    found: dict[str, Key] = {}
    for f in dataclasses.fields(record):
        if SPEC in f.metadata:
            default = f.default_factory() if f.default_factory is not dataclasses.MISSING else f.default
            word = f.name.removesuffix("_")
            found[word] = Key(word, f.name, f.metadata[SPEC], default)
    return found


def groups_of(record: type, spec: Spec | None = None) -> tuple[tuple[str, ...], ...]:
    """Return the groups of keys of which exactly one must be given, from the record and from where it is used."""
    own: tuple[tuple[str, ...], ...] = getattr(record, EXACTLY_ONE, ())
    used = (spec.exactly_one,) if spec and spec.exactly_one else ()
    return tuple(tuple(w.removesuffix("_") for w in group) for group in (*own, *used))


def exclusive_of(record: type) -> tuple[tuple[str, ...], ...]:
    """Return the groups of keys of which one may be given, and no two."""
    own: tuple[tuple[str, ...], ...] = getattr(record, AT_MOST_ONE, ())
    return tuple(tuple(w.removesuffix("_") for w in group) for group in own)


def outline_kinds(kinds: Kinds, family: str) -> Mapping[str, AnyKind]:
    """Return the kinds of ``family`` by name."""
    return {k.name: k for k in kinds.get(family, ())}


def child_specs(spec: Spec, kinds: Kinds) -> Mapping[str, Spec]:
    """Return the declarations of the keys below a record or an outline, by word; empty for anything else."""
    if spec.kind is Kind.RECORD and spec.record:
        return {word: key.spec for word, key in keys_of(spec.record).items()}
    if spec.kind is Kind.OUTLINE:
        named = {k.name: Spec(Kind.RECORD, k.help, record=k.params) for k in kinds.get(spec.family, ())}
        return {**named, **{word: key.spec for word, key in keys_of(OutlineKeys).items()}}
    return {}


def rivals(spec: Spec, kinds: Kinds) -> tuple[tuple[str, ...], ...]:
    """Return the groups of keys that exclude each other below a record or an outline."""
    if spec.kind is Kind.RECORD and spec.record:
        return (*groups_of(spec.record, spec), *exclusive_of(spec.record))
    if spec.kind is Kind.OUTLINE:
        return (tuple(k.name for k in kinds.get(spec.family, ())),)
    return ()
