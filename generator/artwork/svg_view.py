"""Where the parts of an SVG drawing lie: sizes in real units, viewBox and preserveAspectRatio.

W3C, Scalable Vector Graphics 1.1, section 7; sizes that are not given follow from the viewBox and its proportions.
"""

from __future__ import annotations

from typing import Final, NamedTuple

from generator.artwork.svg_numbers import MM_PER_PX, Matrix, WrongError, length, numbers, shown
from generator.artwork.svg_shapes import Viewport, across, up
from generator.artwork.svg_xml import Element

DEFAULT: Final = Viewport(300.0, 150.0)
"""Of a drawing that says nothing of its size (W3C, CSS 2.1, section 10.3.2)."""
_SHARES: Final = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}


class Page(NamedTuple):
    """The sheet of a drawing.

    Attributes:
        matrix: user units of the outermost element to mm, y up.
        viewport: its width and height in user units.
        note: how units were taken, in words.
        size_mm: width and height; None where the drawing says nothing of them.
        factor: by which it is enlarged.
    """

    matrix: Matrix
    viewport: Viewport
    note: str
    size_mm: tuple[float, float] | None
    factor: float = 1.0

    def enlarged(self, factor: float) -> Page:
        """Return the sheet enlarged about its origin."""
        return self._replace(matrix=Matrix(factor, 0.0, 0.0, factor).after(self.matrix), factor=factor * self.factor)


class Window(NamedTuple):
    """A viewport within the drawing: its matrix, its inner size, and its box as seen from outside (x, y, w, h)."""

    matrix: Matrix
    viewport: Viewport
    box: tuple[float, float, float, float]


def page_of(root: Element) -> Page:
    """Return the sheet. The origin is its lower left corner, or SVG's own origin if there is no sheet.

    Raises: WrongError: a size that cannot be read, or is not more than 0.
    """
    box = view_box(root)
    sizes = [_given(root, key) for key in ("width", "height")]
    if box is not None and None in sizes:
        known = [s / b for s, b in zip(sizes, box[2:], strict=True) if s is not None]
        sizes = [b * (known[0] if known else 1.0) if s is None else s for s, b in zip(sizes, box[2:], strict=True)]
        note = "the drawing says no size in real units" if not known else ""
    else:
        note = "" if None not in sizes else "the drawing says no size in real units"
    w, h = sizes
    if w is not None and h is not None:
        inner = fitted(box, root.attributes.get("preserveAspectRatio", ""), w, h) if box else Matrix()
        sheet: tuple[float, float] | None = (w * MM_PER_PX, h * MM_PER_PX)
        viewport = Viewport(box[2], box[3]) if box else Viewport(w, h)
    else:
        inner, sheet, viewport = Matrix(), None, Viewport(w or DEFAULT.width, h or DEFAULT.height)
    matrix = Matrix(MM_PER_PX, 0.0, 0.0, -MM_PER_PX, 0.0, sheet[1] if sheet else 0.0).after(inner)
    unit = f"one unit of the drawing is {matrix.stretch:.6g} mm"
    return Page(matrix, viewport, f"{note}: {unit} (a pixel is 1/96 in)" if note else unit, sheet)


def _given(root: Element, key: str) -> float | None:
    """Return a size in pixels of CSS; None where there is none or it is a share of what shows the drawing."""
    text = root.attributes.get(key, "auto").strip()
    if text in ("auto", "") or text.endswith("%"):
        return None
    try:
        value = length(text)
    except WrongError as error:
        raise WrongError(f"{key}: {error}") from error
    if value <= 0.0:
        raise WrongError(f"{key}: found {shown(text)}, expected more than 0")
    return value


def view_box(element: Element) -> tuple[float, float, float, float] | None:
    """Return x, y, width and height of the part of the plane that an element shows; None if it does not say.

    Raises: WrongError: not four numbers, or a size of 0 or less.
    """
    text = element.attributes.get("viewBox", "")
    if not text.strip():
        return None
    try:
        found = numbers(text)
    except WrongError as error:
        raise WrongError(f"viewBox: {error}") from error
    if len(found) != 4 or found[2] <= 0.0 or found[3] <= 0.0:
        raise WrongError(f"viewBox: found {shown(text)}, expected x, y, width and height, both more than 0")
    return found[0], found[1], found[2], found[3]


def fitted(box: tuple[float, float, float, float], how: str, w: float, h: float) -> Matrix:
    """Return how a viewBox is laid into a box from (0, 0) to (w, h) as ``preserveAspectRatio`` asks.

    Raises: WrongError: the words are not known.
    """
    words = [p for p in how.split() if p != "defer"] or ["xMidYMid"]
    sx, sy = w / box[2], h / box[3]
    if words[0] == "none":
        return Matrix(sx, 0.0, 0.0, sy, -box[0] * sx, -box[1] * sy)
    ax, ay = words[0][1:4], words[0][5:8]
    if len(words[0]) != 8 or words[0][0] != "x" or words[0][4] != "Y" or {ax, ay} - set(_SHARES):
        raise WrongError(f"preserveAspectRatio: found {shown(how)}, expected such as xMidYMid meet")
    s = max(sx, sy) if words[1:] == ["slice"] else min(sx, sy)
    x, y = _SHARES[ax] * (w - box[2] * s), _SHARES[ay] * (h - box[3] * s)
    return Matrix(s, 0.0, 0.0, s, x - box[0] * s, y - box[1] * s)


def window_of(element: Element, outer: Viewport, size: dict[str, str]) -> Window | None:
    """Return the viewport that a nested svg or a symbol makes; None if it has no extent.

    Args:
        element: the svg or symbol.
        outer: the viewport that it lies in.
        size: width and height that a reference gives instead of the element's own.
    Raises: WrongError: a value cannot be read.
    """
    if element.tag == "symbol":
        _refuse_own_size(element, size)
    given = Element(element.tag, {**element.attributes, **size}, element.line)
    x, y = (across(given, "x", outer), up(given, "y", outer)) if element.tag == "svg" else (0.0, 0.0)
    w, h = across(given, "width", outer, "100%"), up(given, "height", outer, "100%")
    if w <= 0.0 or h <= 0.0:
        return None
    box = view_box(element)
    inner = fitted(box, element.attributes.get("preserveAspectRatio", ""), w, h) if box else Matrix()
    viewport = Viewport(box[2], box[3]) if box else Viewport(w, h)
    return Window(Matrix(e=x, f=y).after(inner), viewport, (x, y, w, h))


def _refuse_own_size(symbol: Element, size: dict[str, str]) -> None:
    """Return quietly unless a symbol says what Scalable Vector Graphics 2 lets it say, and viewers leave out."""
    own = symbol.attributes
    said = [k for k in ("width", "height") if k not in size and own.get(k, "100%").strip() not in ("100%", "auto")]
    said += [k for k in ("x", "y", "refX", "refY") if own.get(k, "0").strip().rstrip("px") not in ("0", "")]
    said += [k for k in ("transform",) if own.get(k, "").strip() not in ("", "none")]
    if said:
        raise WrongError(
            f"symbol in line {symbol.line}: its {' and '.join(said)} counts in some viewers and not in others: "
            "take it off, and say it at the use"
        )
