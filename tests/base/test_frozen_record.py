"""Records are told from outside: the same class under ``dataclass(frozen=True)`` is what each must behave like."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from dataclasses import dataclass, field
from typing import ClassVar

import pytest

from generator.base.frozen_record import frozen_record


class Plain:
    """Some stud."""

    unit: ClassVar[str] = "mm"
    size: float
    name: str = "stud"
    marks: list[str] = field(default_factory=list)
    note: str = field(default="", repr=False, compare=False)
    kind: str = field(default_factory=lambda: "steel", init=False)


class One:
    """One field alone."""

    size: float


class Checked:
    """A record that judges what it is given."""

    size: float

    def __post_init__(self) -> None:
        if self.size < 0:
            raise ValueError("negative")


class Hashed:
    """A record with a hash of its own."""

    size: float

    def __hash__(self) -> int:
        return 7


def both(cls: type, **options: bool) -> tuple[type, type]:
    """Return two copies of ``cls``: a record, and the frozen dataclass that it must behave like."""
    body = {k: v for k, v in vars(cls).items() if k not in ("__dict__", "__weakref__")}
    fresh = [type(cls.__name__, (), dict(body)) for _ in range(2)]
    return frozen_record(**options)(fresh[0]), dataclass(frozen=True, **options)(fresh[1])


def outcome(do) -> tuple[str, str]:
    """Return what ``do`` returns, as text, or the error that it raises."""
    try:
        return "returned", repr(do())
    except Exception as error:
        return type(error).__name__, str(error)


CALLS = {
    "everything": ((4.0, "pin", ["a"], "seen"), {}),
    "only what must": ((4.0,), {}),
    "by name": ((), {"note": "n", "size": 5.0}),
    "nothing": ((), {}),
    "too many": ((1.0, "", [], "", "", ""), {}),
    "unknown": ((1.0,), {"colour": 1}),
    "twice": ((1.0,), {"size": 1.0}),
    "not to be given": ((1.0,), {"kind": "brass"}),
}


@pytest.mark.parametrize("call", CALLS)
@pytest.mark.parametrize("kw_only", [False, True])
def test_takes_and_refuses_the_same_arguments(call: str, kw_only: bool) -> None:
    args, named = CALLS[call]
    ours, theirs = both(Plain, kw_only=kw_only)
    for _ in range(2):  # the first record of a class is made another way than those after it
        assert outcome(lambda: ours(*args, **named)) == outcome(lambda: theirs(*args, **named))


@pytest.mark.parametrize("cls", [Plain, One, Checked])
def test_shows_the_same_fields(cls: type) -> None:
    ours, theirs = both(cls)
    for field_ours, field_theirs in zip(dataclasses.fields(ours), dataclasses.fields(theirs), strict=True):
        assert (field_ours.name, field_ours.type) == (field_theirs.name, field_theirs.type)
    assert dataclasses.asdict(ours(3.0)) == dataclasses.asdict(theirs(3.0))
    assert repr(dataclasses.replace(ours(3.0), size=4.0)) == repr(dataclasses.replace(theirs(3.0), size=4.0))
    assert ours.__match_args__ == theirs.__match_args__


def test_equality_and_hash_are_those_of_the_fields_compared() -> None:
    for cls in both(One):
        assert cls(2.0) == cls(2.0)
        assert cls(2.0) != cls(3.0)
        assert cls(2.0) != (2.0,)
        assert hash(cls(2.0)) == hash((2.0,))
    for cls in both(Plain):
        assert cls(2.0, note="a") == cls(2.0, note="b")
        assert cls(2.0, "a") != cls(2.0, "b")
        assert outcome(lambda cls=cls: hash(cls(2.0)))[0] == "TypeError"
    ours, theirs = both(One)
    assert ours(2.0) != theirs(2.0)


def test_own_functions_stay() -> None:
    for cls in both(Hashed):
        assert hash(cls(1.0)) == 7
    for cls in both(Checked):
        assert outcome(lambda cls=cls: cls(-1.0)) == ("ValueError", "negative")


def test_without_equality_each_equals_itself_alone() -> None:
    for cls in both(One, eq=False):
        one = cls(2.0)
        assert one == one
        assert one != cls(2.0)
        assert len({one, cls(2.0)}) == 2


def test_is_frozen() -> None:
    for cls in both(One):
        one = cls(2.0)
        with pytest.raises(dataclasses.FrozenInstanceError):
            one.size = 3.0
        with pytest.raises(dataclasses.FrozenInstanceError):
            del one.size
        assert one.size == 2.0


def test_defaults_that_can_change_are_fresh_for_each() -> None:
    ours, _ = both(Plain)
    first, second = ours(1.0), ours(1.0)
    first.marks.append("x")
    assert second.marks == []


@frozen_record
class Base:
    """What a longer record begins with."""

    size: float
    name: str = "base"


@frozen_record(kw_only=True)
class Longer(Base):
    """A record that goes on from another."""

    depth: float


def test_a_record_goes_on_from_another() -> None:
    made = Longer(1.0, depth=2.0)
    assert (made.size, made.name, made.depth) == (1.0, "base", 2.0)
    assert made == Longer(size=1.0, depth=2.0)
    assert Base(1.0) != made
    assert repr(made) == "Longer(size=1.0, name='base', depth=2.0)"


def test_can_be_copied_and_carried_over() -> None:
    made = Longer(1.0, depth=2.0)
    assert copy.deepcopy(made) == copy.copy(made) == pickle.loads(pickle.dumps(made)) == made
