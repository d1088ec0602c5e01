"""Mistakes in a variant's recipe as a family has them: nobody has typed ``--set``, the family's file has set it."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from generator.base.errors import Mistake, RecipeError
from generator.recipe.merge import SET

__all__ = ["first_told", "in_a_file", "of_a_variant"]

BY_FAMILY: Final = "what the family sets"


def of_a_variant(mistake: Mistake) -> Mistake:
    """Return a mistake in the recipe of a variant: what was set is said to be the family's."""
    remedy = in_a_file(mistake.remedy)
    if not mistake.file.startswith(f"{SET} "):
        return replace(mistake, remedy=remedy)
    return replace(mistake, file=BY_FAMILY, line=0, column=0, remedy=remedy, snippet="")


def first_told(error: RecipeError) -> str:
    """Return the first mistake as a sentence, and how many more there are."""
    more = len(error.mistakes) - 1
    return of_a_variant(error.mistakes[0]).sentence() + (f" (and {more} more)" if more else "")


def in_a_file(remedy: str) -> str:
    """Return a remedy that names ``--set path=value`` as a key of a file.

    >>> in_a_file("set the whole list: `--set original.bolts=[…]`")
    'set the whole list: `original.bolts: […]`'
    """
    return re.sub(r"`--set ([^`=]+)=([^`]*)`", r"`\1: \2`", remedy)
