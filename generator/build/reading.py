"""The very first step of the way through: a recipe read, with every outline tried. Loads no check."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from generator.base.errors import GeometryError, Mistake
from generator.base.fields import OutlineSpec
from generator.recipe.read import Reading, read_recipe
from generator.recipe.used import read_used_file
from generator.shapes import KINDS
from generator.shapes.budget import Budget
from generator.shapes.draw import draw_outline
from generator.shapes.shape import Context, NoRoomError

__all__ = ["UsedFiles", "placed", "read"]


def read(path: str | Path, *, sets: Sequence[str] = ()) -> Reading:
    """Return the recipe at ``path`` with ``sets`` (``parameters.plot=21``) laid over it.

    Raises: RecipeError: with every mistake found.
    """
    budget = Budget()

    def undrawable(outline: OutlineSpec, folder: str) -> tuple[str, str] | None:
        """Return path and reason if an outline cannot be drawn, None if it can."""
        try:
            draw_outline(outline, Context(files=UsedFiles(folder), budget=budget))
        except NoRoomError:
            return None  # the room is only known once the inlay is drawn
        except GeometryError as error:
            return error.path, str(error)
        return None

    return read_recipe(path, kinds=KINDS, sets=sets, undrawable=undrawable)


class UsedFiles:
    """Reads the files that a recipe names, and remembers what had to be assumed of them."""

    def __init__(self, folder: str) -> None:
        self._folder = folder
        self._told: dict[str, str] = {}

    def read(self, name: str) -> bytes:
        """Return the bytes of a file.

        Raises: GeometryError: the file cannot be read.
        """
        try:
            return read_used_file(self._folder, name)
        except OSError as error:
            raise GeometryError(f"the file {name} cannot be read: {error.strerror or error}") from error

    def tell(self, name: str, what: str) -> None:
        """Keep what was said of a file; saying it again changes nothing."""
        self._told[name] = what

    def told(self) -> Iterator[tuple[str, str]]:
        """Yield every file of which something was said, and what."""
        yield from self._told.items()


def placed(reading: Reading, mistake: Mistake) -> Mistake:
    """Return ``mistake`` with file, line and column filled in from its recipe path."""
    origin = reading.origin_of(mistake.path)
    return replace(mistake, file=origin.file, line=origin.line, column=origin.column, snippet=origin.snippet)
