"""What every reading function is handed: kinds, parameters, unit, and where to put mistakes and origins."""

from __future__ import annotations

from dataclasses import field
from typing import Any, Final

from generator.base.fields import Kinds, OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.recipe.mistakes import Mistakes
from generator.recipe.parameters import Parameters
from generator.recipe.places import Place
from generator.recipe.text import Node, Scalar


class _Bad:
    """Stands for a value whose mistake is already told."""


BAD: Final = _Bad()


@frozen_record
class Origin:
    """Where a value of the recipe comes from.

    Attributes:
        value: as written; empty for a group of keys or what nobody wrote.
        source: ``file``, ``--set``, ``default`` or ``derived``.
        file: the recipe file, or the whole ``--set``; empty for what nobody wrote.
        line, column: 1-based, 0 where there is none.
        snippet: the line of the file.
    """

    value: str
    source: str
    file: str = ""
    line: int = 0
    column: int = 0
    snippet: str = ""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}" if self.source == "file" else self.source


DEFAULT: Final = Origin("", "default")
DERIVED: Final = Origin("", "derived")


@frozen_record
class Context:
    """What every reading function is handed.

    Attributes:
        kinds: the registered outline kinds.
        parameters: the recipe's parameters, worked out; they know the recipe's unit.
        units: ``mm`` or ``inch``.
        mistakes: where mistakes go.
        folder: folder of the recipe that was named, empty for the current one.
        origins: where the origin of every value goes, by recipe path.
        used_files: where the names of used files go, relative to ``folder``.
        outlines: where every outline goes that needs no other to be drawn, those within outlines first.
    """

    kinds: Kinds
    parameters: Parameters
    units: str
    mistakes: Mistakes
    folder: str = ""
    origins: dict[str, Origin] = field(default_factory=dict)
    used_files: list[str] = field(default_factory=list)
    outlines: list[OutlineSpec] = field(default_factory=list)

    def bad(self, place: Place, path: str, found: str, expected: str, remedy: str = "") -> _Bad:
        """Tell a mistake and return the value that stands for it."""
        self.mistakes.add(place, path, found, expected, remedy)
        return BAD

    def note(self, path: str, node: Node) -> None:
        """Remember where the value at ``path`` was written."""
        place = node.place
        written = node.text if isinstance(node, Scalar) else ""
        source = "file" if place.line else "--set"
        self.origins[path] = Origin(written, source, place.source.name, place.line, place.column, place.snippet())


def is_bad(value: Any) -> bool:
    """Return True if the mistake of this value is already told."""
    return value is BAD
