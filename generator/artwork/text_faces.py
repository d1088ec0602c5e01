"""The faces that letters come in without a font file: free ones installed with a dependency, found by a word.

DejaVu Sans, Serif and Mono are installed with the library that draws charts. They are found without importing it.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Final

from generator.base.errors import GeometryError

__all__ = ["ENGRAVING", "FACE_WORDS", "SHIPPED", "faces_that_have", "shipped_font", "shipped_path"]

ENGRAVING: Final = "engraving"
"""The project's own face of single strokes; no font file."""

SHIPPED: Final = {
    "sans": "DejaVuSans.ttf",
    "sans bold": "DejaVuSans-Bold.ttf",
    "sans oblique": "DejaVuSans-Oblique.ttf",
    "sans bold oblique": "DejaVuSans-BoldOblique.ttf",
    "serif": "DejaVuSerif.ttf",
    "serif bold": "DejaVuSerif-Bold.ttf",
    "serif italic": "DejaVuSerif-Italic.ttf",
    "serif bold italic": "DejaVuSerif-BoldItalic.ttf",
    "mono": "DejaVuSansMono.ttf",
    "mono bold": "DejaVuSansMono-Bold.ttf",
    "mono oblique": "DejaVuSansMono-Oblique.ttf",
    "mono bold oblique": "DejaVuSansMono-BoldOblique.ttf",
}
"""Word in the recipe → font file."""

FACE_WORDS: Final = (*SHIPPED, ENGRAVING)
"""Every word that names a face."""


def shipped_path(file_name: str) -> Path | None:
    """Return where a font file of the dependency lies; None if it is not installed."""
    spec = find_spec("matplotlib")
    if spec is None or spec.origin is None:
        return None
    path = Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf" / file_name
    return path if path.is_file() else None


@cache
def shipped_font(word: str) -> bytes:
    """Return the bytes of the font file that a word of ``SHIPPED`` names; read once.

    Raises: GeometryError: it is not installed or cannot be read; says how to mend it.
    """
    path = shipped_path(SHIPPED[word])
    try:
        if path is not None:
            return path.read_bytes()
    except OSError as error:
        raise GeometryError(f"the font file of the face `{word}` cannot be read: {error.strerror or error}") from error
    raise GeometryError(
        f"the face `{word}` is missing; mend it with: pip install --force-reinstall matplotlib, or name a `font`"
    )


def faces_that_have(characters: Iterable[str]) -> list[str]:
    """Return the words of the shipped outline faces that have every one of the characters, in their order."""
    from generator.artwork.text_font import open_font

    wanted = {ord(c) for c in characters}
    found = []
    for word in SHIPPED:
        try:
            font = open_font(shipped_font(word))
        except GeometryError:
            continue
        if wanted <= font.characters:
            found.append(word)
    return found
