"""Reading the file of a family: safe YAML and its table, every mistake located."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from generator.base.errors import Mistake, RecipeError
from generator.base.frozen_record import frozen_record
from generator.family.table import MOST_BYTES, Row, read_table
from generator.recipe.context import Context
from generator.recipe.load import Opener, opened, read_bytes
from generator.recipe.mistakes import Mistakes
from generator.recipe.model_family import FamilyFile
from generator.recipe.parameters import has_names, read_parameters
from generator.recipe.places import Place
from generator.recipe.records import read_record
from generator.recipe.scalars import is_number
from generator.recipe.text import MapNode, Scalar, parse_text, source_text

__all__ = ["Family", "GivenRow", "read_family"]


_FAR: Final = "a path that leads outside the recipe's surroundings"
FAMILY: Final = ("a family: keys with values, such as `family: plots`", "see docs/families.md")
"""What is expected of a whole file, and where to look it up."""


@frozen_record
class GivenRow:
    """The values that one row gives, by name or by path in the recipe, and where it stands."""

    values: Mapping[str, Scalar]
    place: Place


@frozen_record
class Family:
    """A family as read.

    Attributes:
        file: what the file says.
        path: of the file.
        root: its keys with their places.
        rows: the rows of the table or of the file; one that gives nothing if there are neither.
        recipe: path of the recipe that all variants begin with.
    """

    file: FamilyFile
    path: str
    root: MapNode
    rows: tuple[GivenRow, ...]
    recipe: str

    def place_of(self, key: str, name: str = "") -> Place:
        """Return the place of a key of the file, or of ``name`` below it; of what is above where it is not there."""
        entry = self.root.entries.get(key)
        if entry is None:
            return self.root.place
        below = entry[1].entries.get(name) if isinstance(entry[1], MapNode) else None
        return below[0] if below else entry[0]


def read_family(path: str, *, opener: Opener = read_bytes) -> Family:
    """Return the family in a file.

    Args:
        path: of the file.
        opener: gives the bytes of a file by its path.

    Raises: RecipeError: with every mistake found.
    """
    data = opened(path, "a readable file of a family", opener)
    root = parse_text(source_text(path, data), FAMILY)
    mistakes = Mistakes()
    folder = os.path.dirname(path)
    context = Context({}, read_parameters(None, "mm", mistakes), "mm", mistakes, folder)
    file = read_record(context, FamilyFile, root, "", root.place)
    if mistakes:
        raise RecipeError([_in_a_family(m) for m in mistakes.error().mistakes])
    assert isinstance(file, FamilyFile)
    rows = _table(file, folder, root, mistakes) if file.table else _rows(file, root)
    mistakes.raise_any()
    return Family(file, path, root, rows, os.path.join(folder, file.recipe))


def _in_a_family(mistake: Mistake) -> Mistake:
    """Return a mistake told as it is meant here: files are named from elsewhere, and no parameters are known."""
    expected = mistake.expected.replace("the recipe's folder", "the folder of the family's file")
    found, remedy = mistake.found, mistake.remedy
    if remedy.endswith("under `parameters`"):
        remedy = "write the number itself: parameters of the recipe are not known here"
    if found.endswith(_FAR):
        found = f"{found.removesuffix(_FAR)}a path that leads up more than one folder"
        remedy = "one `../` at most, so that a file from elsewhere does not reach all over the disk: lay it nearer"
    return replace(mistake, found=found, expected=expected, remedy=remedy)


def _table(file: FamilyFile, folder: str, root: MapNode, mistakes: Mistakes) -> tuple[GivenRow, ...]:
    path = os.path.join(folder, file.table)
    try:
        with open(path, "rb") as handle:
            data = handle.read(MOST_BYTES + 1)
    except OSError as error:
        place, _ = root.entries["table"]
        mistakes.add(place, "table", f"{path} cannot be read ({error.strerror})", "a readable CSV file")
        return ()
    try:
        rows = read_table(path, data, file.columns, mistakes)
    except RecipeError as error:
        mistakes.extend(error.mistakes)
        return ()
    return tuple(_of_cells(row) for row in rows)


def _of_cells(row: Row) -> GivenRow:
    return GivenRow({n: _cell(c, row.place) for n, c in row.cells.items()}, row.place)


def _cell(text: str, place: Place) -> Scalar:
    """Return a cell as a number if it reads as one, else as a text, whatever names it holds."""
    plain = Scalar(text, True, place)
    if is_number(plain.value):
        return plain
    return Scalar(text.replace("{", "{{").replace("}", "}}"), False, place, block=has_names(text))


def _rows(file: FamilyFile, root: MapNode) -> tuple[GivenRow, ...]:
    if not file.rows:
        return (GivenRow({}, root.place),)
    node = root.get("rows")
    places = [n.place for n in getattr(node, "items", ())]
    return tuple(GivenRow(dict(row), place) for row, place in zip(file.rows, places, strict=True))
