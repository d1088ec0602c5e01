"""The name of a variant's pack, made from its values."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from typing import Final

from generator.base.errors import RecipeError
from generator.family.family_file import Family, GivenRow
from generator.recipe.expression import ExpressionError
from generator.recipe.mistakes import mistake_at, one_mistake
from generator.recipe.parameters import Parameter, Parameters, fill_in
from generator.recipe.places import shown
from generator.recipe.text import Scalar
from generator.recipe.values import is_reserved_name

__all__ = ["LONGEST", "in_a_family", "pack_name", "plain_letters"]

LONGEST: Final = 64
"""Letters of a name: our choice, so that paths of packs stay within what every file system takes."""
_UNWRITTEN: Final = {
    "ß": "ss",
    "æ": "ae",
    "Æ": "AE",
    "ø": "o",
    "Ø": "O",
    "ł": "l",
    "Ł": "L",
    "œ": "oe",
    "Œ": "OE",
    "đ": "d",
}
"""Letters that do not fall apart into a plain one and a mark."""


def pack_name(family: Family, row: GivenRow, values: Mapping[str, Parameter], number: int) -> tuple[str, bool]:
    """Return the name of variant ``number``: letters, digits, ``-`` and ``_``, made of what `names` says.

    With it comes whether it had more than ``LONGEST`` of them and was cut.

    Raises: RecipeError: nothing is left of it, or a name that it asks for is not there.
    """
    pattern = family.file.names
    if not isinstance(pattern, Scalar):
        return f"{family.file.family}-{number:03d}", False
    try:
        text = fill_in(pattern, Parameters(1.0, values))
    except ExpressionError as error:
        place, remedy = pattern.place_of(error.offset), in_a_family(error.remedy)
        raise RecipeError([mistake_at(place, "names", error.found, "the name of a value", remedy)]) from None
    whole = plain_letters(text)
    name = whole[:LONGEST].rstrip("-")
    if not name or is_reserved_name(name):
        found = f"`{shown(text)}`, of which {'nothing is left' if not name else 'Windows makes a device'}"
        where = f" for the row at {row.place.source.name}:{row.place.line}" if row.place.line else ""
        remedy = "put a word before the value: `plot-{plot}`"
        raise one_mistake(pattern.place, f"{found}{where}", "a name of letters, digits, `-` and `_`", remedy, "names")
    return name, len(whole) > LONGEST


def in_a_family(remedy: str) -> str:
    """Return the remedy for a name that a recipe does not have as it is meant in a family."""
    return remedy.replace("under `parameters`", "to the table, the rows or the rules")


def plain_letters(text: str) -> str:
    """Return ``text`` as a file name: accents dropped, everything but letters, digits and ``_`` made into ``-``.

    >>> plain_letters("Plot 7: Ähre & Söhne")
    'Plot-7-Ahre-Sohne'
    """
    spelled = "".join(_UNWRITTEN.get(c, c) for c in text)
    bare = unicodedata.normalize("NFKD", spelled)
    kept = "".join(c for c in bare if not unicodedata.combining(c))
    return re.sub(r"[^A-Za-z0-9_]+", "-", kept).strip("-_")
