"""Results of pure functions kept at hand: checks ask for an offset again, variants share outlines."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, update_wrapper
from typing import Any, Final, ParamSpec, TypeVar, cast

__all__ = ["REMEMBERED", "remembered", "remembered_of_the_same"]

REMEMBERED: Final = 256
"""Results of one function that a process keeps: those of a plan and of the plans before it."""

P = ParamSpec("P")
R = TypeVar("R")


def remembered(function: Callable[P, R]) -> Callable[P, R]:
    """Return a function that keeps its last results; its arguments are frozen values, and so is what it returns.

    Not for functions that tell by giving back an argument itself that nothing has changed (``cut_by``, ``mated``): an
    equal one from an earlier call would say the contrary.
    """
    kept = lru_cache(maxsize=REMEMBERED)(function)
    return cast("Callable[P, R]", update_wrapper(kept, function))


def remembered_of_the_same(function: Callable[P, R]) -> Callable[P, R]:
    """Return a function that keeps its last result, and gives it again to who asks with the very same objects.

    For arguments that take long to be compared, such as a whole plan; they are given by place.
    """
    last: list[tuple[tuple[Any, ...], R]] = []

    def asked(*given: Any) -> R:
        if last and len(last[0][0]) == len(given) and all(a is b for a, b in zip(last[0][0], given, strict=True)):
            return last[0][1]
        made = function(*given)  # type: ignore[call-arg]
        last[:] = [(given, made)]
        return made

    return cast("Callable[P, R]", update_wrapper(asked, function))
