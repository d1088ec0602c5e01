"""Collecting mistakes while reading goes on, and telling them with snippet and caret."""

from __future__ import annotations

import difflib
import itertools
from collections.abc import Iterable

from generator.base.errors import Mistake, RecipeError
from generator.recipe.places import Place, shown

MOST_MISTAKES = 100
"""A recipe with more mistakes than this is told so: our choice."""

MOST_SOUGHT = 300
"""After so many mistakes reading stops, so that a file full of nonsense is refused quickly."""

SNIPPET_COLUMNS = 100


class Mistakes:
    """Collects mistakes so that all of them can be told at once."""

    def __init__(self) -> None:
        self._found: list[Mistake] = []

    def add(self, place: Place, path: str, found: str, expected: str, remedy: str = "") -> None:
        """Add one mistake at ``place``.

        Raises: RecipeError: with what was collected, when there are too many to go on.
        """
        self._found.append(mistake_at(place, path, found, expected, remedy))
        if len(self._found) >= MOST_SOUGHT:
            raise self.error()

    def extend(self, mistakes: Iterable[Mistake]) -> None:
        """Add mistakes made elsewhere."""
        self._found.extend(mistakes)

    def __len__(self) -> int:
        return len(self._found)

    def raise_any(self) -> None:
        """Raise RecipeError with everything collected, in the order of the files, each once; else do nothing."""
        if self._found:
            raise self.error()

    def error(self) -> RecipeError:
        """Return the error that carries everything collected."""
        files = list(dict.fromkeys(m.file for m in self._found))
        ordered = sorted(dict.fromkeys(self._found), key=lambda m: (files.index(m.file), m.line, m.column))
        if len(ordered) > MOST_MISTAKES:
            found = f"more than {MOST_MISTAKES} mistakes"
            last = Mistake(ordered[0].file, 0, 0, "", found, "", "mend those above first")
            ordered = [*ordered[:MOST_MISTAKES], last]
        return RecipeError(ordered)


def mistake_at(place: Place, path: str, found: str, expected: str, remedy: str = "") -> Mistake:
    """Return a mistake with the address of ``place``."""
    return Mistake(place.source.name, place.line, place.column, path, found, expected, remedy, place.snippet())


def one_mistake(place: Place, found: str, expected: str, remedy: str = "", path: str = "") -> RecipeError:
    """Return the error for a mistake after which reading cannot go on."""
    return RecipeError([mistake_at(place, path, found, expected, remedy)])


MOST_COMPARED = 500
"""Words that a misspelt one is compared with."""


def nearest(word: str, words: Iterable[str]) -> str:
    """Return the word most like ``word``, empty if none is near; case does not count.

    >>> nearest("thicknes", ["margin", "thickness"])
    'thickness'
    """
    by_lower = {w.lower().replace("-", "_"): w for w in itertools.islice(words, MOST_COMPARED)}
    near = difflib.get_close_matches(word.lower().replace("-", "_"), by_lower, n=1, cutoff=0.6)
    return by_lower[near[0]] if near else ""


def did_you_mean(word: str, words: Iterable[str]) -> str:
    """Return ``did you mean `…`?`` or an empty text."""
    near = nearest(word, words)
    return f"did you mean `{near}`?" if near else ""


def listed(words: Iterable[str], joint: str = "or", most: int = 16) -> str:
    """Return the words in backquotes, joined for a sentence.

    >>> listed(["x", "y", "both"])
    '`x`, `y` or `both`'
    """
    quoted = [f"`{w}`" for w in words]
    if len(quoted) > most:
        quoted = [*quoted[: most - 1], f"{len(quoted) - most + 1} others"]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} {joint} {quoted[-1]}" if quoted else ""


def render_mistakes(error: RecipeError) -> str:
    """Return every mistake as an address, a sentence and the source line with a caret; ends without a line break."""
    return "\n\n".join(_render(m) for m in error.mistakes)


def _render(mistake: Mistake) -> str:
    if not mistake.snippet.strip():
        return mistake.sentence()
    line, caret = _window(mistake.snippet, mistake.column)
    number = str(mistake.line)
    blank = " " * len(number)
    rows = [mistake.sentence(), f"  {number} | {line}"]
    if mistake.column:
        rows.append(f"  {blank} | {' ' * caret}^")
    return "\n".join(rows)


def _window(line: str, column: int) -> tuple[str, int]:
    """Return the part of a line that fits a terminal, made printable, and where the caret goes."""
    start = max(0, column - SNIPPET_COLUMNS * 3 // 4) if len(line) > SNIPPET_COLUMNS else 0
    part = line[start : start + SNIPPET_COLUMNS]
    before = part[: max(0, column - 1 - start)]
    safe = [shown(piece.replace("\t", " "), limit=10 * SNIPPET_COLUMNS) for piece in (before, part)]
    lead = "…" if start else ""
    tail = "…" if start + SNIPPET_COLUMNS < len(line) else ""
    return lead + safe[1] + tail, len(lead) + len(safe[0])
