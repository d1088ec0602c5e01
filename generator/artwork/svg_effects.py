"""What an SVG drawing does to elements besides painting them: where they turn about, and filters.

What would change the shape and cannot be followed is refused with its remedy, never left out quietly.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

from generator.artwork.svg_box import Box, box_of
from generator.artwork.svg_numbers import Matrix, WrongError, length, shown, transform
from generator.artwork.svg_xml import Element

if TYPE_CHECKING:
    from generator.artwork.svg_draw import Walk
    from generator.artwork.svg_state import State

_SIDES: Final = {"left": "0%", "top": "0%", "center": "50%", "right": "100%", "bottom": "100%"}
_UPRIGHT: Final = frozenset({"top", "bottom"})
_SOFT: Final = frozenset(
    {"feGaussianBlur", "feDropShadow", "feMerge", "feMergeNode", "feBlend", "feFlood", "feComposite", "feOffset"}
)
_MIXED: Final = frozenset({"feMerge", "feBlend", "feComposite"})
_SOFT_CALLS: Final = frozenset({"blur", "drop-shadow", "opacity", "saturate"})
_CALLED: Final = re.compile(r"([a-z-]+)\(")


def placed_by(walk: Walk, element: Element, own: Mapping[str, str], state: State) -> Matrix:
    """Return the transform of an element, about the point that it says (W3C, CSS Transforms 1, sections 4 to 6).

    Raises: WrongError: a value cannot be read, or the box asked for is not reckoned.
    """
    moved = transform(own.get("transform", ""))
    origin, of = own.get("transform-origin", "").strip().lower(), own.get("transform-box", "view-box").strip().lower()
    if moved == Matrix() or (origin in ("", "none") and of == "view-box"):
        return moved
    box: Box | None = Box(0.0, 0.0, state.viewport.width, state.viewport.height)
    if of in ("fill-box", "content-box"):
        box = box_of(walk, element, state.viewport, state.matrix.stretch)
    elif of != "view-box":
        raise WrongError(f"transform-box: {shown(of)} is not reckoned: flatten transforms in your drawing program")
    if box is None:
        return moved
    x, y = _origin(origin or "0 0", box)
    return Matrix(e=x, f=y).after(moved).after(Matrix(e=-x, f=-y))


def _origin(text: str, box: Box) -> tuple[float, float]:
    words = text.replace(",", " ").split()[:3]
    if words[0] in _UPRIGHT or (len(words) > 1 and words[1] in ("left", "right")):
        words[:2] = [*words[1:2], words[0]] if len(words) > 1 else ["center", words[0]]
    words = [_SIDES.get(w, w) for w in words] + (["50%"] if len(words) == 1 else [])
    try:
        return box.x + length(words[0], box.width), box.y + length(words[1], box.height)
    except WrongError as error:
        raise WrongError(f"transform-origin: {error}") from error


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
