"""Reading a recipe: text in, the typed recipe with the origin of every value out, or every mistake at once."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from generator.base.errors import DRAWABLE, Mistake, RecipeError
from generator.base.fields import Kinds, OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.recipe.consistent import contradictions
from generator.recipe.context import DERIVED, Context, Origin
from generator.recipe.load import Loaded, Opener, RecipeSource, TextFile, load, open_source, read_bytes
from generator.recipe.merge import overridden
from generator.recipe.mistakes import Mistakes
from generator.recipe.model import Recipe
from generator.recipe.parameters import read_parameters
from generator.recipe.plain import plain_recipe
from generator.recipe.records import read_record
from generator.recipe.text import MapNode, Scalar

__all__ = ["Origin", "Reading", "RecipeSource", "TextFile", "located", "origin_of", "read_recipe"]


Undrawable = Callable[[OutlineSpec, str], tuple[str, str] | None]
"""Says why an outline cannot be drawn (recipe path and message); called with it and the recipe's folder."""


def draws_nothing(_outline: OutlineSpec, _folder: str) -> None:
    """Say of no outline that it cannot be drawn."""


@frozen_record
class Reading:
    """A recipe that was read.

    Attributes:
        recipe: the typed recipe.
        origins: where each value comes from, by recipe path (``original.bolts[0].at[1]``).
        files: every recipe file that was read, the named one first.
        resolved: everything resolved, as plain data in the recipe's units.
        folder: folder of the recipe that was named; names of used files are relative to it.
        used_files: every file that the recipe uses, such as a drawing.
    """

    recipe: Recipe
    origins: Mapping[str, Origin]
    files: tuple[TextFile, ...]
    resolved: dict[str, Any]
    folder: str = ""
    used_files: tuple[str, ...] = ()

    def origin_of(self, path: str) -> Origin:
        """Return where the value at ``path`` was written, or the nearest group above it that somebody wrote."""
        origin = origin_of(self, path)
        while path and not origin.file:
            path = _above(path)
            origin = origin_of(self, path)
        return origin


def read_recipe(
    source: RecipeSource | str | os.PathLike[str],
    *,
    kinds: Kinds,
    sets: Sequence[str] = (),
    opener: Opener = read_bytes,
    undrawable: Undrawable = draws_nothing,
) -> Reading:
    """Return the recipe in ``source``, merged over what it is based on.

    Args:
        source: path of a recipe file, or a recipe held in memory.
        kinds: the registered outline kinds.
        sets: overrides such as ``parameters.plot=21``, in order.
        opener: gives the bytes of a file by its path.
        undrawable: says why an outline cannot be drawn; asked only when the recipe has mistakes, so that these do not
            hide the others.
    Raises: RecipeError: carries every mistake found.
    """
    if not isinstance(source, RecipeSource):
        source = open_source(os.fspath(source), opener)
    loaded = load(source, kinds, opener)
    mistakes = Mistakes()
    root = overridden(loaded.root, sets, kinds, mistakes)
    return _read(root, loaded, kinds, mistakes, undrawable)


def _read(root: MapNode, loaded: Loaded, kinds: Kinds, mistakes: Mistakes, undrawable: Undrawable) -> Reading:
    units = _units(root)
    parameters = read_parameters(root.get("parameters"), units, mistakes)
    folder = os.path.dirname(loaded.files[0].name)
    context = Context(kinds, parameters, units, mistakes, folder)
    recipe = read_record(context, Recipe, root, "", root.place)
    if isinstance(recipe, Recipe):
        mistakes.extend(contradictions(recipe, kinds, lambda path: _nearest(context.origins, path) or DERIVED))
    if mistakes:
        mistakes.extend(_undrawable(context, undrawable))
    mistakes.raise_any()
    if not isinstance(recipe, Recipe):
        raise AssertionError("a recipe that cannot be read has a mistake")
    used = tuple(dict.fromkeys(context.used_files))
    return Reading(recipe, context.origins, loaded.files, plain_recipe(recipe, parameters), folder, used)


def _undrawable(context: Context, undrawable: Undrawable) -> list[Mistake]:
    """Return a mistake for every outline that was read and cannot be drawn; one within another only once."""
    paths = [o.path for o in context.outlines]
    whole = [o for o in context.outlines if not any(o.path.startswith(f"{p}.") for p in paths)]
    out = []
    for outline in whole:
        if why := undrawable(outline, context.folder):
            path, message = why
            at = _nearest(context.origins, path) or DERIVED
            out.append(Mistake(at.file, at.line, at.column, path, message, DRAWABLE, snippet=at.snippet))
    return out


def _units(root: MapNode) -> str:
    """Return the recipe's unit before anything else is read; a wrong one is told later, where it stands."""
    node = root.get("units")
    return node.text if isinstance(node, Scalar) and node.text in ("mm", "inch") else "mm"


def _above(path: str) -> str:
    cut = max(path.rfind("."), path.rfind("["))
    return path[:cut] if cut > 0 else ""


def _nearest(origins: Mapping[str, Origin], path: str) -> Origin | None:
    """Return the origin of the value at ``path``, or of the nearest group above it that has one; None without any."""
    while path and path not in origins:
        path = _above(path)
    return origins.get(path)


def origin_of(reading: Reading, path: str) -> Origin:
    """Return the origin of the value at ``path``, or of the nearest group above it that has one."""
    return _nearest(reading.origins, path) or Origin("", "file", reading.files[0].name)


def located(reading: Reading, error: RecipeError) -> RecipeError:
    """Return ``error`` with file, line and column given to the mistakes that know only their recipe path."""
    return RecipeError([m if m.file else _located(reading, m) for m in error.mistakes])


def _located(reading: Reading, mistake: Mistake) -> Mistake:
    origin = reading.origin_of(mistake.path)
    return replace(mistake, file=origin.file, line=origin.line, column=origin.column, snippet=origin.snippet)
