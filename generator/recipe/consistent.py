"""Values that are sound each by itself and contradict each other: what may be changed, and limits."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, Final

from generator.base.adhesives import KEY_OF
from generator.base.errors import Mistake
from generator.base.fields import Kind, Kinds, Spec
from generator.base.frozen_record import frozen_record
from generator.recipe.context import Origin
from generator.recipe.keys import child_specs, keys_of
from generator.recipe.mistakes import did_you_mean, listed
from generator.recipe.model import Recipe
from generator.recipe.model_suggest import Bounds
from generator.recipe.parameters import UNIT_MM, plain_number

__all__ = ["contradictions"]

RISING: Final = (
    ("walls.thinnest", "walls.sound"),
    ("cutting.depth_good", "cutting.depth_most"),
    ("inserts.gap_tight", "inserts.gap_loose"),
    ("bolts.nut_factor_lubricated", "bolts.nut_factor"),
    ("bolts.nut_factor", "bolts.nut_factor_dry"),
    ("metals.marine", "metals.outdoor"),
    ("metals.outdoor", "metals.indoor"),
    *(
        (f"inserts.{key}_{low}", f"inserts.{key}_{high}")
        for key in KEY_OF.values()
        for low, high in (("thinnest", "best"), ("best", "widest"))
    ),
)
"""Limits of which the first must not be larger than the second: else what warns and what forbids change places."""
_STEP: Final = re.compile(r"([^.\[\]]+)((?:\[\d+\])*)")

Finder = Callable[[str], Origin]
"""Gives the origin of the value at a path, or of the nearest group above it."""


def contradictions(recipe: Recipe, kinds: Kinds, origin_of: Finder) -> Iterator[Mistake]:
    """Yield what contradicts itself in a recipe whose values could all be read."""
    for path, found, expected, remedy in (*_changes(recipe, kinds), *_limits(recipe, origin_of)):
        at = origin_of(path)
        yield Mistake(at.file, at.line, at.column, path, found, expected, remedy, at.snippet)


Fault = tuple[str, str, str, str]
"""Path, what was found, what was expected, how to mend it."""


# ------------------------------------------------------------------ limits
def _limits(recipe: Recipe, origin_of: Finder) -> Iterator[Fault]:
    """Yield limits that stand the wrong way round; told at the one that the recipe itself gives."""
    for low, high in RISING:
        a, b = (_at(recipe.limits, path) for path in (low, high))
        if a.value <= b.value:
            continue
        in_mm = a.unit == "mm"
        told_a, told_b = (_told(x.value, recipe.units, in_mm) for x in (a, b))
        first, second = origin_of(f"limits.{low}"), origin_of(f"limits.{high}")
        if first.line or (first.file and not second.file):  # a value given to a command has no line
            yield (
                f"limits.{low}",
                f"{told_a}, above `limits.{high}` of {told_b}",
                f"no more than `limits.{high}`",
                f"set it to at most {told_b}, or raise limits.{high} to {told_a}",
            )
        else:
            yield (
                f"limits.{high}",
                f"{told_b}, below `limits.{low}` of {told_a}",
                f"no less than `limits.{low}`",
                f"set it to at least {told_a}, or lower limits.{low} to {told_b}",
            )


def _at(record: Any, path: str) -> Any:
    for word in path.split("."):
        record = getattr(record, word)
    return record


def _told(value: float, units: str, is_length: bool = True) -> str:
    if not is_length:
        return plain_number(value, 6)
    return f"{plain_number(value / UNIT_MM[units], 6)} {'in' if units == 'inch' else 'mm'}"


# ------------------------------------------------------------------ what may be changed
def _changes(recipe: Recipe, kinds: Kinds) -> Iterator[Fault]:
    seen: dict[str, int] = {}
    kept = set(recipe.changes.keep)
    for k, key in enumerate(recipe.changes.keep):
        walked = _walked(recipe, kinds, key)
        if not walked.spec:
            yield f"changes.keep[{k}]", f"`{key}`", walked.expected, walked.remedy
    for k, bounds in enumerate(recipe.changes.within):
        path = f"changes.within[{k}]"
        walked = _walked(recipe, kinds, bounds.key)
        if not walked.spec:
            yield f"{path}.key", f"`{bounds.key}`", walked.expected, walked.remedy
        elif walked.spec.kind is not Kind.LENGTH:
            yield (
                f"{path}.key",
                f"`{bounds.key}`, which is no length",
                "the key of a length",
                _lengths_below(walked, bounds.key, kinds),
            )
        if bounds.key in seen:
            first = f"changes.within[{seen[bounds.key]}]"
            yield f"{path}.key", f"`{bounds.key}` a second time", "every key once", f"put all its bounds into {first}"
        seen.setdefault(bounds.key, k)
        yield from _bounds(path, bounds, recipe.units)
        group = next((g for g in kept if bounds.key == g or bounds.key.startswith((f"{g}.", f"{g}["))), "")
        if group:
            found = f"bounds of `{bounds.key}`, which `changes.keep` lets nobody change"
            yield (
                f"{path}.key",
                found,
                "a key that may be changed",
                f"take `{group}` out of changes.keep, or the bounds away",
            )


def _bounds(path: str, bounds: Bounds, units: str) -> Iterator[Fault]:
    """Yield bounds that say nothing, or that no length lies within."""
    low, high = bounds.at_least, bounds.at_most
    if low is None and high is None and not bounds.one_of:
        yield (
            path,
            f"no bounds for `{bounds.key}`",
            "`at_least`, `at_most` or `one_of`",
            "add one, or take the entry away",
        )
    elif low is not None and high is not None and low > high:
        a, b = _told(low, units), _told(high, units)
        found = f"at least {a} and at most {b}: no length is both"
        yield f"{path}.at_least", found, f"no more than the {b} of `at_most`", f"set `at_least: {b}` and `at_most: {a}`"
    elif bounds.one_of and not any(_within(x, low, high) for x in bounds.one_of):
        ends = " and ".join(
            f"{word} {_told(end, units)}" for word, end in (("at least", low), ("at most", high)) if end is not None
        )
        found = f"no length of `one_of` that is {ends}"
        yield f"{path}.one_of", found, "a length within the bounds beside it", "add one, or take the bounds away"


def _within(length: float, low: float | None, high: float | None) -> bool:
    return (low is None or length >= low) and (high is None or length <= high)


# ------------------------------------------------------------------ keys by their path
@frozen_record
class _Walked:
    """Where a path leads: the declaration there, None if there is no such key, and what there is instead."""

    spec: Spec | None
    expected: str = ""
    remedy: str = ""


def _walked(recipe: Recipe, kinds: Kinds, path: str) -> _Walked:
    """Return where a path leads: through the declarations, and the names that the recipe gives."""
    value: Any = recipe
    spec, done = Spec(Kind.RECORD, "", record=Recipe), ""
    for match in _STEP.finditer(path):
        word, numbers = match[1], re.findall(r"\d+", match[2])
        below, words = _below(spec, value, kinds)
        above = f"{done}." if done else ""
        if below is None or (words is not None and word not in words):
            return _missing(path, match, above, words or ())
        found = below(word)
        value, spec, done = _value(spec, value, word), found, f"{above}{word}"
        for number in numbers:
            if spec.kind is not Kind.LIST or spec.item is None:
                return _Walked(None, f"a key without `[{number}]`: `{done}` is no list", f"write `{done}`")
            many = len(value) if isinstance(value, tuple) else None
            if many is not None and int(number) >= many:
                return _Walked(None, f"a number below {many}: `{done}` has {many} members, counted from 0")
            value = value[int(number)] if isinstance(value, tuple) else None
            spec, done = spec.item, f"{done}[{number}]"
    return _Walked(spec)


def _missing(path: str, match: re.Match[str], above: str, words: Iterable[str]) -> _Walked:
    words = list(words)
    if not words:
        return _Walked(None, f"the path of a key: nothing lies below `{above.rstrip('.')}`")
    near = did_you_mean(match[1], words)
    remedy = near.replace("`", f"`{above}", 1).replace("`?", f"{match[2]}{path[match.end() :]}`?") if near else ""
    group = f"a key of `{above.rstrip('.')}`" if above else "the path of a key"
    return _Walked(None, f"{group}: {listed(words)}", remedy)


def _below(spec: Spec, value: Any, kinds: Kinds) -> tuple[Callable[[str], Spec] | None, Iterable[str] | None]:
    """Return the declaration of each key below, and the keys there are; None for any."""
    if spec.kind is Kind.MAP and spec.item is not None:
        item = spec.item
        return (lambda _: item), (list(value) if isinstance(value, Mapping) else None)
    children = child_specs(spec, kinds)
    return (children.__getitem__ if children else None), list(children)


def _value(spec: Spec, value: Any, word: str) -> Any:
    """Return what the recipe has below; None where that is not known."""
    if spec.kind is Kind.MAP:
        return value.get(word) if isinstance(value, Mapping) else None
    if spec.kind is Kind.RECORD and spec.record is not None and isinstance(value, spec.record):
        return getattr(value, keys_of(spec.record)[word].attribute)
    return None


def _lengths_below(walked: _Walked, key: str, kinds: Kinds) -> str:
    """Return which lengths lie below a group, as a remedy; empty if there are none."""
    assert walked.spec is not None
    lengths = [f"{key}.{w}" for w, s in child_specs(walked.spec, kinds).items() if s.kind is Kind.LENGTH]
    return f"name one below it: {listed(lengths, most=6)}" if lengths else "take the entry away"
