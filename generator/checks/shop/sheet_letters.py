"""Can the sheets write what the recipe says?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final
from unicodedata import bidirectional

from generator.artwork.text_faces import shipped_font
from generator.artwork.text_shaping import character_list
from generator.base.finding import Finding, Severity
from generator.checks.check import Check
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID: Final = "sheet-letters"
SURE: Final = 0x250
"""Characters below this, those of European languages in Latin letters, are in the sheets' face."""
BACKWARDS: Final = ("R", "AL")
"""Classes of characters that are written from right to left: Unicode Standard Annex 9, table 4."""
SOURCE: Final = "characters of the face that the sheets embed, DejaVu Sans; Unicode Standard Annex 9"
ORDER: Final = ("number", "owner", "drawn_by", "approved_by", "date", "contact", "finish", "insert_finish")


def run(recipe: Recipe, _plan: Plan) -> Iterator[Finding]:
    """Yield ``not-in-face`` for texts with characters that come out as ?, ``right-to-left`` for those set backwards."""
    for path, text in _texts(recipe):
        unsure = [c for c in text if ord(c) >= SURE]
        if not unsure:
            continue
        backwards = [c for c in unsure if bidirectional(c) in BACKWARDS]
        missing = [c for c in _missing(unsure) if c not in backwards]
        if missing:
            yield _finding(
                "not-in-face",
                path,
                f"the letters of the sheets lack {character_list(missing)}: it is written as ? on every sheet",
                f"write {path} in Latin, Greek or Cyrillic letters, or leave these out",
            )
        if backwards:
            yield _finding(
                "right-to-left",
                path,
                f"{character_list(backwards)} is written from left to right, unjoined, on every sheet",
                f"write {path} in letters that run from left to right, or leave these out",
            )


def _texts(recipe: Recipe) -> Iterator[tuple[str, str]]:
    """Yield recipe paths of the texts that stand on sheets, with the texts."""
    yield from (("title", recipe.title), ("revision", recipe.revision), ("notes", recipe.notes))
    yield from ((f"order.{name}", getattr(recipe.order, name)) for name in ORDER)
    yield "tolerances.general", recipe.tolerances.general


def _missing(characters: list[str]) -> list[str]:
    from generator.artwork.text_font import open_font  # heavy: few recipes need it

    known = open_font(shipped_font("sans")).characters
    return [c for c in characters if ord(c) not in known and c.isprintable()]


def _finding(code: str, path: str, message: str, remedy: str) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=Severity.WARNS,
        message=f"{path}: {message}",
        feature="cover",
        source=SOURCE,
        remedy=remedy,
        path=path,
    )


CHECK = Check(
    ID,
    "letters of the sheets",
    "A sheet whose title is a row of question marks cannot be told from another one.",
    SOURCE,
    run,
)
