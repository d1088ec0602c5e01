"""The smallest changes that mend a shape whose numbers do not go together or leave too thin a wall.

Nothing is guessed: every change that a message names was drawn and measured. A record of params is tried with one key
made larger or smaller, then with two sizes grown together, then with several keys changed; the first kind that helps
is told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import MISSING, fields, replace
from enum import Enum
from math import ceil, floor, inf
from typing import Any, NamedTuple

from generator.base.fields import Kind, Spec, spec_of
from generator.base.frozen_record import frozen_record

STEP_MM = 0.01
"""Sizes, and shares of a size, are named to a hundredth."""
_DOUBLINGS = 12
_GROWTH = 1.3
"""Each larger size is looked for so many times farther on than the one before it."""
_PARTS = 8
"""What may be less still is looked for at so many parts of what is left."""
_SHARES = (0.9, 0.8, 0.65, 0.5, 0.4, 0.3, 0.22, 0.16, 0.12, 0.085, 0.06, 0.04, 0.02, 0.005)
"""Smaller sizes are looked for at these shares of the one given."""
_NUDGES = (0, 1, 2, 5)
"""By so many steps a rounded figure is moved on where the rounding itself has spoilt it."""

OR = ", or "
"""Stands between alternatives."""


class Verdict(Enum):
    """What came of a record of params; true if it is drawn with its wall."""

    KEPT = "kept"
    THIN = "the wall is too thin"
    NOT_DRAWN = "cannot be drawn"

    def __bool__(self) -> bool:
        return self is Verdict.KEPT

    @classmethod
    def of(cls, drawn: bool) -> Verdict:
        """Return the verdict of a shape that has its wall where it can be drawn at all."""
        return cls.KEPT if drawn else cls.NOT_DRAWN


Works = Callable[[Any], Verdict]
"""Tries a record of params."""


@frozen_record
class Sizes:
    """Which keys may be named as a remedy; a key within a record is written ``sides.hollow``.

    Attributes:
        grow: those that help when they grow.
        shrink: those that help when they shrink.
        pair: two sizes that may have to grow together.
    """

    grow: tuple[str, ...] = ()
    shrink: tuple[str, ...] = ()
    pair: tuple[str, ...] = ()

    @property
    def keys(self) -> tuple[str, ...]:
        """Return every key once."""
        return tuple(dict.fromkeys((*self.pair, *self.grow, *self.shrink)))


def remedies(params: Any, works: Works, sizes: Sizes) -> str:
    """Return the smallest changes that do, as in ``count: at most 40, or depth: at most 2.1 mm``; empty if none does.

    Args:
        params: the shape's record, which does not work as it is.
        works: tries a record.
        sizes: keys that may be named.
    """
    ways = [change.told for change in _single(params, works, sizes)]
    ways = ways or _told(_pair(params, works, sizes.pair))
    ways = ways or _told(_several(params, works, sizes))
    return OR.join(ways)


class Change(NamedTuple):
    """A key, the value that it must be given (None: left out), and ``least``, ``most`` or nothing for just that."""

    key: _Key
    value: float | None
    word: str = ""

    @property
    def told(self) -> str:
        """Return the change as a remedy."""
        if self.value is None:
            return f"leave out `{self.key.name}`"
        return f"{self.key.name}: {f'at {self.word} ' if self.word else ''}{self.value:.10g}{self.key.unit}"


def _told(changes: Sequence[Change]) -> list[str]:
    return [" and ".join(c.told for c in changes)] if changes else []


# ------------------------------------------------------------------ keys
class _Key(NamedTuple):
    """A key with a number: where it lies in a record, its bounds and the step to which it is told."""

    path: str
    low: float
    high: float
    step: float
    unit: str

    @classmethod
    def of(cls, params: Any, path: str) -> _Key:
        """Return the key as it is declared."""
        record = type(params)
        *outer, name = path.split(".")
        for part in outer:
            record = spec_of(record, part).record or record
        spec = spec_of(record, name)
        whole = spec.kind is Kind.COUNT
        unit = " mm" if spec.kind is Kind.LENGTH else ""
        return cls(path, _least(spec), inf if spec.at_most is None else spec.at_most, 1 if whole else STEP_MM, unit)

    @property
    def name(self) -> str:
        """Return the key as a person writes it."""
        return self.path.rpartition(".")[2]

    def given(self, params: Any) -> float | None:
        """Return its value in a record; None when it is not given."""
        value = params
        for part in self.path.split("."):
            value = getattr(value, part, None)
        return value if isinstance(value, int | float) else None

    def put(self, params: Any, value: float | None) -> Any:
        """Return the record with another value."""
        first, _, rest = self.path.partition(".")
        if rest:
            inner = replace(getattr(params, first), **{rest: value})
            return replace(params, **{first: inner})
        return replace(params, **{first: value})

    def rounded(self, value: float, way: int, nudge: int = 0) -> float:
        """Return the value at a whole number of steps, no smaller (``way`` 1) or no larger (-1), some steps on."""
        steps = value / self.step
        number = (ceil(steps - 1e-9) if way > 0 else floor(steps + 1e-9)) + way * nudge
        return number if self.step == 1 else round(number * self.step, 6)

    @property
    def near(self) -> float:
        """Return how close two values are looked at apart."""
        return 1.0 if self.step == 1 else self.step / 4.0

    def middle(self, one: float, other: float) -> float:
        """Return the value half way between."""
        return (one + other) // 2 if self.step == 1 else (one + other) / 2.0

    def allows(self, value: float) -> bool:
        """Return whether the declaration allows a value."""
        return self.low <= value <= self.high

    def default(self, params: Any) -> float | None:
        """Return what stands where the key is not given; its own value where it must be given."""
        if "." in self.path:
            return self.given(params)
        (default,) = (f.default for f in fields(params) if f.name == self.path)
        return self.given(params) if default is MISSING else default


def _least(spec: Spec) -> float:
    if spec.above is not None:
        return spec.above + STEP_MM
    return spec.at_least if spec.at_least is not None else -inf


# ------------------------------------------------------------------ one key
def _single(params: Any, works: Works, sizes: Sizes) -> Iterator[Change]:
    """Yield the single keys that mend it."""
    for way, names in ((1, sizes.grow), (-1, sizes.shrink)):
        for name in names:
            change = _nearest(params, works, _Key.of(params, name), way)
            if change is not None:
                yield change


def _nearest(params: Any, works: Works, key: _Key, way: int) -> Change | None:
    """Return the nearest larger (``way`` 1) or smaller (-1) value of a key that does; None if none is found."""
    given = key.given(params)
    if given is None:
        return None
    bad: float = given
    was = works(params)
    for value in _larger(given, key) if way > 0 else _smaller(given, key):
        now = works(key.put(params, value))
        good = value if now else None if now is was else _switch(params, works, key, (bad, value), was)
        if good is not None:
            change = _settled(params, works, key, way, _least_between(params, works, key, bad, good))
            if change is not None:
                return change
        bad, was = value, now
    return None


def _switch(params: Any, works: Works, key: _Key, span: tuple[float, float], was: Verdict) -> float | None:
    """Return a value that does where too thin a wall on one side meets what cannot be drawn on the other."""
    one, other = span
    while abs(other - one) > key.near:
        middle = key.middle(one, other)
        now = works(key.put(params, middle))
        if now:
            return middle
        if now is was:
            one = middle
        else:
            other = middle
    return None


def _larger(given: float, key: _Key) -> Iterator[float]:
    stride = max(given / 16.0, 1.0)
    value = given
    while True:
        value = key.rounded(value + stride, 1)
        stride *= _GROWTH
        if value >= min(key.high, given * 2.0**_DOUBLINGS + 100.0):
            break
        yield value
    if given < key.high < inf:
        yield key.rounded(key.high, 1)


def _smaller(given: float, key: _Key) -> Iterator[float]:
    last = given
    for share in _SHARES:
        value = key.rounded(given * share, -1)
        if key.allows(value) and value < last:
            yield value
            last = value
    if key.low < last and key.low > -inf:
        yield key.low


def _between(params: Any, works: Works, key: _Key, bad: float, good: float) -> float:
    """Return the value nearest to ``bad`` that does, to less than a step."""
    while abs(good - bad) > key.near:
        middle = key.middle(bad, good)
        if works(key.put(params, middle)):
            good = middle
        else:
            bad = middle
    return good


def _least_between(params: Any, works: Works, key: _Key, bad: float, good: float) -> float:
    """Return the same; what does not do may lie between values that do."""
    good = _between(params, works, key, bad, good)
    for part in range(1, _PARTS):
        value = key.rounded(bad + (good - bad) * part / _PARTS, 1)
        if min(bad, good) < value < max(bad, good) and works(key.put(params, value)):
            return _between(params, works, key, bad, value)
    return good


def _settled(params: Any, works: Works, key: _Key, way: int, good: float) -> Change | None:
    """Return the change to a rounded value that was tried itself."""
    for nudge in _NUDGES:
        value = key.rounded(good, way, nudge)
        if key.allows(value) and works(key.put(params, value)):
            return Change(key, value, "least" if way > 0 else "most")
    return None


# ------------------------------------------------------------------ two sizes
def _pair(params: Any, works: Works, names: tuple[str, ...]) -> list[Change]:
    """Return two sizes that do when both are larger: grown alike, then each made as small as the other allows."""
    keys = [_Key.of(params, name) for name in names]
    sizes = [size for key in keys if (size := key.given(params)) is not None]
    if len(sizes) < 2:
        return []
    for part in (sizes, [1.0, 1.0]):  # in their proportion; or both by the same length

        def scaled(t: float, part: Sequence[float] = part) -> Any:
            out = params
            for key, size, more in zip(keys, sizes, part, strict=True):
                out = key.put(out, key.rounded(size + t * more, 1))
            return out

        def fits(record: Any) -> Verdict:
            allowed = all(key.allows(key.given(record) or 0.0) for key in keys)
            return works(record) if allowed else Verdict.NOT_DRAWN

        found = _least_scale(scaled, fits, max(size / p for size, p in zip(sizes, part, strict=True)) / 16.0, min(part))
        if found is not None:
            return _shaved(scaled(found), works, keys, sizes)
    return []


def _least_scale(scaled: Callable[[float], Any], works: Works, stride: float, part: float) -> float | None:
    low = 0.0
    for _ in range(_DOUBLINGS):
        high = low + stride
        if works(scaled(high)):
            break
        low, stride = high, stride * 2.0
    else:
        return None
    while (high - low) * part > STEP_MM / 2.0:
        middle = (low + high) / 2.0
        if works(scaled(middle)):
            high = middle
        else:
            low = middle
    return high


def _shaved(params: Any, works: Works, keys: Sequence[_Key], sizes: Sequence[float]) -> list[Change]:
    """Return the changes to sizes that work, each made as small as the others allow."""
    now, changes = params, []
    for key, given in zip(keys, sizes, strict=True):
        large = key.given(now) or given
        if works(key.put(now, given)):
            now = key.put(now, given)
            continue
        change = _settled(now, works, key, 1, _between(now, works, key, given, large)) or Change(key, large, "least")
        now = key.put(now, change.value)
        changes.append(change)
    return changes


# ------------------------------------------------------------------ several keys
def _several(params: Any, works: Works, sizes: Sizes) -> list[Change]:
    """Return changes to several keys that do together, if possible without leaving one out.

    All keys are left out; then each is put back as it was given, or as near to that as goes.
    """
    keys = [k for k in (_Key.of(params, name) for name in sizes.keys) if k.given(params) is not None]
    plain = params
    for key in keys:
        plain = key.put(plain, key.default(params))
    if not works(plain):
        return []
    orders = keys, keys[::-1]
    found = [_put_back(plain, params, works, order) for order in orders[: 2 if len(keys) > 1 else 1]]
    return min(found, key=lambda changes: (sum(not c.word for c in changes), not any(c.word for c in changes)))


def _put_back(plain: Any, params: Any, works: Works, keys: Sequence[_Key]) -> list[Change]:
    """Return the changes that are needed when the keys are put back one by one."""
    now, changes = plain, []
    for key in keys:
        asked = key.put(now, key.given(params))
        if works(asked):
            now = asked
            continue
        change = _closest(asked, works, key) or Change(key, key.default(params))
        now = key.put(now, change.value)
        changes.append(change)
    return changes


def _closest(params: Any, works: Works, key: _Key) -> Change | None:
    """Return the larger or smaller value that is nearest to the one given."""
    given = key.given(params) or 0.0
    found = [c for way in (1, -1) if (c := _nearest(params, works, key, way)) is not None]
    return min(found, key=lambda c: abs((c.value or 0.0) - given), default=None)
