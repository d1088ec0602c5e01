"""Edits put into a recipe file: its text is edited, read again and compared, and only then laid in place of the old."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Sequence
from pathlib import Path

from generator.base.errors import OutputError, RecipeError
from generator.base.remedy import Edit
from generator.build.reading import read
from generator.recipe.load import RecipeSource
from generator.recipe.read import read_recipe
from generator.recipe.rewrite import CannotRewriteError, rewritten
from generator.shapes import KINDS


def edited_text(path: str, edits: Sequence[Edit], *, sets: Sequence[str] = ()) -> str:
    """Return the recipe's text with the edits put in, comments and order kept.

    Raises: OutputError: the text cannot be edited so, or would not be read as what is meant.
    """
    units = read(path, sets=sets).recipe.units
    text = _text_of(path)
    keys = {e.key for e in edits}
    others = [s for s in sets if s.partition("=")[0].strip() not in keys]  # what is written takes their place
    by_hand = "; make the edits by hand: " + ", ".join(f"{e.key}={e.value}" for e in edits)
    try:
        for edit in edits:
            text = rewritten(text, edit.key, _in_units(edit.value, units), KINDS)
        made = read_recipe(RecipeSource(path, text), kinds=KINDS, sets=others).recipe
    except (CannotRewriteError, RecipeError) as error:
        raise OutputError(f"{path}: {error}{by_hand}") from error
    overrides = [f"{e.key}={'null' if e.value is None else e.value}" for e in edits]
    if made != read(path, sets=[*others, *overrides]).recipe:
        raise OutputError(f"{path}: its text cannot be edited without changing something else{by_hand}")
    return text


def write_edits(path: str, edits: Sequence[Edit], *, sets: Sequence[str] = ()) -> None:
    """Put edits into a recipe file; it is the old one or the new one at any moment.

    Raises: OutputError: it cannot be edited or written; nothing was changed.
    """
    text = edited_text(path, edits, sets=sets)
    target = Path(os.path.realpath(path))
    try:
        handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.")
        try:
            with os.fdopen(handle, "wb") as out:
                out.write(text.encode("utf-8"))
                out.flush()
                os.fsync(out.fileno())
            os.chmod(name, target.stat().st_mode & 0o7777)
            os.replace(name, target)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise OutputError(f"{path} cannot be written: {error.strerror or error}; nothing was changed") from error


def _text_of(path: str) -> str:
    """Return the text of a file with its line breaks as they are."""
    try:
        return Path(path).read_bytes().decode("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise OutputError(f"{path} cannot be read: {error}") from error


def _in_units(value: str | None, units: str) -> str | None:
    """Return a value as the recipe's author would write it: bare where its unit is that of the recipe."""
    if value is None:
        return None
    return value.replace(" mm", "") if units == "mm" else value.replace(" in", "")
