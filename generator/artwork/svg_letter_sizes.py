"""Lengths in sizes of letters (``em``, ``rem``, ``ex``): refused where a drawing says how large letters are.

Without a word on letters an em is 16 pixels (W3C, Cascading Style Sheets 2.1, section 15.7: ``medium``, as viewers have
it, from memory). With one, size would have to be followed through styles, shares and shorthands, and viewers differ.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from generator.artwork.svg_numbers import NUMBER, shown
from generator.artwork.svg_xml import Document, Element, SvgError

_SAYS: Final = re.compile(r"(?<![\w-])font(?:-size)?\s*:", re.I)
_LETTERS: Final = re.compile(rf"(?<![\w.#-])(?:{NUMBER})\s*(?:em|rem|ex|ch)(?![\w-])", re.I)
_LENGTHS: Final = frozenset(
    {
        "cx", "cy", "height", "r", "rx", "ry", "stroke-dasharray", "stroke-dashoffset", "stroke-width", "transform",
        "transform-origin", "width", "x", "x1", "x2", "y", "y1", "y2",
    }
)  # fmt: skip
_TEXTS: Final = frozenset({"text", "tspan", "textPath", "foreignObject"})
"""Elements that are left out anyway, with all that lies in them."""


def refuse_letter_sizes(document: Document) -> None:
    """Return quietly unless a drawing says how large letters are and measures shapes by them.

    Raises: SvgError: it does; says the line, and what stands there.
    """
    if not any(_says(e) for e in document.root.walk()):
        return
    for element in _drawn(document.root):
        for key, value in _lengths(element):
            if found := _LETTERS.search(value):
                raise SvgError(
                    element.line,
                    f"{element.tag}: {key}: found {shown(found[0])}, a length in sizes of letters, in a drawing that "
                    "says their size (font-size): write it in px or mm",
                )


def _says(element: Element) -> bool:
    a = element.attributes
    return "font-size" in a or "font" in a or bool(_SAYS.search(a.get("style", "")) or _SAYS.search(element.text))


def _drawn(element: Element) -> Iterator[Element]:
    """Yield an element and what lies in it, without texts."""
    waiting = [element]
    while waiting:
        here = waiting.pop()
        if here.tag not in _TEXTS:
            yield here
            waiting += reversed(here.children)


def _lengths(element: Element) -> Iterator[tuple[str, str]]:
    """Yield names and values of the lengths that an element says of itself, or a style sheet of others."""
    yield from ((k, v) for k, v in element.attributes.items() if k in _LENGTHS)
    for text in (element.attributes.get("style", ""), element.text):
        for part in re.split(r"[;{}]", text):
            name, _, value = part.partition(":")
            if name.strip().lower() in _LENGTHS:
                yield name.strip().lower(), value
