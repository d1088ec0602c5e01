"""How much one recipe may ask to be repeated: a short text must not make hours of work."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, Final

from generator.base.errors import GeometryError
from generator.base.fields import OutlineSpec

MOST_SEGMENTS: Final = 2_000
"""The copies of one repetition have no more lines and arcs than this (chosen: far beyond any bracket, a second's work).
"""
MOST_IN_ALL: Final = 2 * MOST_SEGMENTS
"""Those of all repetitions of a recipe."""


@dataclass
class Budget:
    """The lines and arcs of copies that were drawn so far, counted over all outlines of one recipe."""

    used: int = 0

    def take(self, copies: int, segments: int) -> None:
        """Count the copies of one repetition.

        Args:
            copies: how many.
            segments: lines and arcs of each.

        Raises: GeometryError: they are too many by themselves or together with those before; nothing is counted.
        """
        more = copies * segments
        if more > MOST_SEGMENTS:
            raise GeometryError(
                f"{copies} copies have {more} lines and arcs, more than {MOST_SEGMENTS}: repeat less, {_room(segments)}"
            )
        if self.used + more > MOST_IN_ALL:
            raise GeometryError(
                f"{copies} copies have {more} lines and arcs, with the other repetitions of the recipe "
                f"{self.used + more}, more than {MOST_IN_ALL}: repeat less"
            )
        self.used += more


def _room(segments: int) -> str:
    most = MOST_SEGMENTS // segments
    return f"at most {most}" if most else "or repeat something simpler"


def refuse_copies(count: int, of: OutlineSpec) -> None:
    """Return quietly if the copies, and the copies within them, are few enough to be drawn.

    Raises: GeometryError: they are not; nothing needs to be drawn to know it.
    """
    within = copies_in(of)
    if count * within > MOST_SEGMENTS:
        raise GeometryError(
            f"{count} copies of {within} copies are {count * within}, more than {MOST_SEGMENTS}: repeat less, at most "
            f"{max(1, MOST_SEGMENTS // within)}"
        )


def copies_in(spec: OutlineSpec) -> int:
    """Return how many copies an outline is made of, repetitions of repetitions multiplied; at least one."""
    within = sum(copies_in(o) for o in _outlines(spec.params)) + sum(copies_in(o) for o in (*spec.add, *spec.cut))
    return int(getattr(spec.params, "copies", 1)) * max(1, within)


def _outlines(value: Any) -> Iterator[OutlineSpec]:
    """Yield the outlines that stand in the keys of an outline, not those within them."""
    if isinstance(value, OutlineSpec):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from _outlines(item)
    elif is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            yield from _outlines(getattr(value, field.name))
