"""What filters of an SVG drawing do to its elements.

What would change the shape and cannot be followed is refused with its remedy, never left out quietly.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from generator.artwork.svg_numbers import WrongError
from generator.artwork.svg_xml import Element

if TYPE_CHECKING:
    from generator.artwork.svg_draw import Walk

_SOFT: Final = frozenset(
    {"feGaussianBlur", "feDropShadow", "feMerge", "feMergeNode", "feBlend", "feFlood", "feComposite", "feOffset"}
)
_MIXED: Final = frozenset({"feMerge", "feBlend", "feComposite"})
_SOFT_CALLS: Final = frozenset({"blur", "drop-shadow", "opacity", "saturate"})
_CALLED: Final = re.compile(r"([a-z-]+)\(")


def refuse_filter(walk: Walk, element: Element, text: str) -> None:
    """Return quietly if a filter only softens or shadows, which leaves the edges where they are; it is told.

    Raises: WrongError: it alters the shape.
    """
    text = text.strip()
    if text in ("none", ""):
        return
    if text.startswith("url("):
        found = walk.document.by_id.get(text[4:].partition(")")[0].strip("'\" ").removeprefix("#"))
        kinds = {c.tag for c in found.children} if found is not None else set()
        hard = sorted(kinds - _SOFT - {"feColorMatrix"} if kinds & _MIXED else kinds - _SOFT | kinds & {"feOffset"})
    else:
        hard = sorted(set(_CALLED.findall(text.lower())) - _SOFT_CALLS)
    if hard:
        raise WrongError(
            f"its filter ({', '.join(hard)[:60]}) alters what is seen, and is not reckoned: take the filter off, or "
            "turn what it makes into paths in your drawing program"
        )
    walk.tell("filter that softens or shadows", element.line)
