"""Which characters the face of the pictures has, and what stands in for the others: never an empty box.

Pictures carry their letters as pixels, set in one face on every machine; it has no Chinese, Japanese or Korean
characters and few emoji. Drawings and reports keep the text as it is: there the reader's own faces are used.
"""

from __future__ import annotations

import unicodedata
from functools import cache

from generator.outputs.raster import font_files

__all__ = ["heading", "shown"]

_NOWHERE = "\U0010ffff"
"""No face has this character: Unicode keeps it free for ever."""
_READ = ("L", "N", "M")
"""First letters of the categories (Unicode, general category) without which a text cannot be read: letters, digits."""


def shown(text: str) -> str:
    """Return ``text`` as the face can set it: a missing letter becomes ``?``, a missing emoji or symbol is left out."""
    if text.isascii():
        return text
    out = []
    for char in text:
        if not _is_missing(char):
            out.append(char)
        elif unicodedata.category(char)[0] in _READ:
            out.append("?")
    # the blanks on both sides of what is left out become one
    return "".join(out) if len(out) == len(text) else " ".join("".join(out).split())


def heading(title: str, name: str) -> str:
    """Return the heading of a picture: the title, or the name where letters of the title could not be set.

    The report always carries the title, so the heading then says where it is.
    """
    if not title:
        return shown(name)
    can_be_read = not any(_is_missing(c) and unicodedata.category(c)[0] in _READ for c in title)
    text = shown(title).strip() if can_be_read else ""
    return text or f"{shown(name)} (title in report.md)"


@cache
def _is_missing(char: str) -> bool:
    """Return True if no file of the face has the character; ones that are never set anyway are not missing."""
    if char.isascii() or char.isspace() or unicodedata.category(char) in ("Cc", "Cs"):
        return False
    from PIL import ImageFont

    for file in font_files():
        face = ImageFont.truetype(file, 24, layout_engine=ImageFont.Layout.BASIC)
        if bytes(face.getmask(char)) != bytes(face.getmask(_NOWHERE)):
            return False
    return True
