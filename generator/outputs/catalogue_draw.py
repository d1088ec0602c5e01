"""Draws the catalogue's entries the way every cover is drawn: recipe text → recipe → plan, nothing by hand."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from generator.base.errors import GeometryError, ProofError
from generator.base.frozen_record import frozen_record
from generator.outline.distance import Gap, boundary_distance
from generator.outline.predicates import contains_region
from generator.outline.region import Region
from generator.outputs.catalogue_entries import ENTRIES, ORIGINALS, Entry
from generator.part.plan import make_plan
from generator.recipe.read import RecipeSource, read_recipe
from generator.recipe.used import read_used_file
from generator.shapes import KINDS

__all__ = ["Drawn", "draw_all", "recipe_text"]

FOLDER: Final = Path(__file__).parent


@frozen_record
class Drawn:
    """One outer shape round one original.

    Attributes:
        title: what the original is.
        lines: the recipe lines that draw it, as they stand under ``cover.outer``.
        outer: the outer shape.
        pocket: the bottom pocket.
        seats: the bolt seats.
        holes: the bolt holes.
        wall: the least wall, and where it is: first on the pocket or seat, then on the outer shape.
    """

    title: str
    lines: str
    outer: Region
    pocket: Region
    seats: tuple[Region, ...]
    holes: tuple[Region, ...]
    wall: Gap


def recipe_text(original: str, lines: str) -> str:
    """Return the recipe of one of the originals with ``lines`` as its outer shape."""
    base = (FOLDER / original).read_text(encoding="utf-8")
    return base + "".join(f"    {line}\n" for line in lines.splitlines())


def draw_all() -> tuple[tuple[Entry, tuple[Drawn, ...]], ...]:
    """Return every entry with its drawings round each original.

    Raises: ProofError: an outer shape does not hold its pocket and seats.
    """
    return tuple(
        (entry, tuple(_drawn(original, lines) for original, lines in zip(ORIGINALS, entry.lines, strict=True)))
        for entry in ENTRIES
    )


class _Beside:
    """Reads the files that lie beside the originals."""

    def read(self, name: str) -> bytes:
        """Return the bytes of a file.

        Raises: GeometryError: it cannot be read.
        """
        try:
            return read_used_file(str(FOLDER), name)
        except OSError as error:
            raise GeometryError(f"the file {name} cannot be read: {error.strerror or error}") from error

    def tell(self, name: str, what: str) -> None:
        """Do nothing."""


def _drawn(original: str, lines: str) -> Drawn:
    reading = read_recipe(RecipeSource(str(FOLDER / original), recipe_text(original, lines)), kinds=KINDS)
    plan = make_plan(reading.recipe, files=_Beside())
    features = plan.cover.features
    pocket = next(f.region for f in features if f.layer == "bottom-pocket")
    seats = tuple(f.region for f in features if f.layer == "seats")
    holes = tuple(f.region for f in features if f.layer == "bolt-holes")
    for region in (pocket, *seats):
        if not contains_region(plan.outer, region):
            raise ProofError(f"the outer shape of {lines!r} does not hold pocket and seats", feature=original)
    wall = min((boundary_distance(region, plan.outer) for region in (pocket, *seats)), key=lambda g: g.distance_mm)
    return Drawn(plan.title, lines, plan.outer, pocket, seats, holes, wall)
