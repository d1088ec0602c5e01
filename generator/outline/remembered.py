"""Results of pure functions of regions kept at hand: checks ask for an offset again, variants share outlines."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, update_wrapper
from typing import Final, ParamSpec, TypeVar, cast

__all__ = ["REMEMBERED", "remembered"]

REMEMBERED: Final = 256
"""Results of one function that a process keeps: those of a plan and of the plans before it."""

P = ParamSpec("P")
R = TypeVar("R")


def remembered(function: Callable[P, R]) -> Callable[P, R]:
    """Return a function that keeps its last results; its arguments are frozen values, and so is what it returns."""
    kept = lru_cache(maxsize=REMEMBERED)(function)
    return cast("Callable[P, R]", update_wrapper(kept, function))
