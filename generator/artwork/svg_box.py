"""The box round an element of an SVG drawing, in its own user units, and the point about which it is turned.

Shares of clip paths and masks, and points such as ``center``, are reckoned in such a box.

W3C, Scalable Vector Graphics 2, section 8.10, bounding boxes: the tightest box, along the axes of the element itself,
round what is filled in it, whether it is painted or not; strokes, clips and masks do not count. Some viewers put the
boxes of children together instead of what they hold, which makes a larger box where children are turned: such a box is
in doubt, and whoever asks for shares of it refuses.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Final, NamedTuple

from generator.artwork.svg_curves import runs_of
from generator.artwork.svg_numbers import Matrix, WrongError, length, shown, transform
from generator.artwork.svg_shapes import DRAWN, Viewport, across, trails_of, up
from generator.artwork.svg_view import window_of
from generator.artwork.svg_xml import DEEPEST, Element
from generator.base.units import MODEL
from generator.outline.measure import bounds
from generator.outline.region import Region

if TYPE_CHECKING:
    from generator.artwork.svg_draw import Walk

_GROUPS = frozenset({"g", "a", "svg", "symbol", "switch"})
_SIDES: Final = {"left": "0%", "top": "0%", "center": "50%", "right": "100%", "bottom": "100%"}
_UPRIGHT: Final = frozenset({"top", "bottom"})
_UNKNOWN: Final = frozenset({"text", "image", "foreignObject"})
DOUBT_MM: Final = 0.01
"""Boxes that differ by less than this are the same (chosen: a few times what curves deviate by)."""


class Box(NamedTuple):
    """A box, user units: its corner of least x and y, and its size.

    Attributes:
        doubt: why viewers may see another box; nothing where they agree.
    """

    x: float
    y: float
    width: float
    height: float
    doubt: str = ""

    @property
    def unit(self) -> Matrix:
        """Return the matrix that takes the square from (0, 0) to (1, 1) to the box."""
        return Matrix(self.width, 0.0, 0.0, self.height, self.x, self.y)

    def sure(self) -> Box:
        """Return the box itself.

        Raises: WrongError: viewers may see another one.
        """
        if self.doubt:
            raise WrongError(f"shares of the box round it are asked for, but {self.doubt}: cut in user space instead")
        return self


def box_of(walk: Walk, element: Element, viewport: Viewport, scale: float) -> Box | None:
    """Return the box round what an element draws, its own transform left aside; None if it draws nothing.

    Args:
        walk: the drawing, and what may still be done.
        element: drawn, a group, or a reference.
        viewport: that it lies in.
        scale: user units to about mm, so that curves are followed as closely as they are drawn.
    Raises: GeometryError: something cannot be read or is too much.
    """
    if scale <= 0.0:
        return None
    gauge = _Gauge(walk, Matrix(scale, 0.0, 0.0, scale))
    found = gauge.ends(element, Matrix(), viewport, 0)
    if found is None:
        return None
    x, y, x1, y1 = found.tight
    apart = max(abs(a - b) for a, b in zip(found.tight, found.loose, strict=True)) * scale
    doubt = gauge.unknown
    if apart > DOUBT_MM and not doubt:
        doubt = f"viewers differ by {apart:.2g} mm about that box, because something turned lies in it"
    return Box(x, y, x1 - x, y1 - y, doubt)


def put_at(element: Element, viewport: Viewport) -> Matrix:
    """Return by what a reference moves what it refers to.

    Raises: WrongError: its x or y cannot be read.
    """
    return Matrix(e=across(element, "x", viewport), f=up(element, "y", viewport))


def placed_by(walk: Walk, element: Element, own: Mapping[str, str], viewport: Viewport, scale: float) -> Matrix:
    """Return the transform of an element, about the point that it says (W3C, CSS Transforms 1, sections 4 to 6).

    Args:
        walk: the drawing, and what may still be done.
        element: that is moved.
        own: what is declared of it.
        viewport: that it lies in.
        scale: user units to about mm.
    Raises: WrongError: a value cannot be read, or the box asked for is not reckoned.
    """
    text = own.get("transform", "")
    if text.strip() in ("", "none"):
        return Matrix()
    origin, of = own.get("transform-origin", "").strip(), own.get("transform-box", "view-box").strip()
    if of not in ("view-box", "fill-box", "content-box"):
        raise WrongError(f"transform-box: {shown(of)} is not reckoned: flatten transforms in your drawing program")
    box: Box | None = Box(0.0, 0.0, viewport.width, viewport.height)
    if of != "view-box" and (origin not in ("", "none") or "%" in text):
        box = box_of(walk, element, viewport, scale)
    if box is None:
        return Matrix()
    moved = transform(text, (box.sure().width, box.height))
    if origin in ("", "none"):
        return moved
    x, y = _origin(origin, box)
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


_Ends = tuple[float, float, float, float]
"""Least x and y, greatest x and y."""


class _Found(NamedTuple):
    """Ends of what an element draws.

    Attributes:
        tight: of what is drawn, in the units of the element that was asked for.
        loose: of the boxes of its children put together, in its own units.
    """

    tight: _Ends
    loose: _Ends


def _all_of(found: Iterable[_Found]) -> _Found | None:
    there = list(found)
    return _Found(_round([f.tight for f in there]), _round([f.loose for f in there])) if there else None


def _round(ends: list[_Ends]) -> _Ends:
    low, high = [min(e[k] for e in ends) for k in (0, 1)], [max(e[k] for e in ends) for k in (2, 3)]
    return low[0], low[1], high[0], high[1]


def _mapped(ends: _Ends, matrix: Matrix) -> _Ends:
    """Return the ends of a box under a matrix."""
    corners = [matrix.of(x, y) for x in ends[::2] for y in ends[1::2]]
    xs, ys = zip(*corners, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


class _Gauge:
    """Measures elements; notes what it does not know the size of."""

    def __init__(self, walk: Walk, scale: Matrix) -> None:
        self._walk, self._scale = walk, scale
        self.unknown = ""

    def ends(self, element: Element, matrix: Matrix, viewport: Viewport, depth: int) -> _Found | None:
        """Return the ends of what an element draws; ``matrix`` leads from its units to those that are asked for."""
        walk = self._walk
        walk.visit(element)
        if depth > 2 * DEEPEST:
            raise WrongError("references lie too deep within each other, or lead to themselves")
        if element.tag in DRAWN:
            return self._drawn(walk.sheet.sized(element), matrix, viewport)
        if element.tag == "use":
            target = walk.document.by_id.get(element.attributes.get("href", "").strip().removeprefix("#"))
            if target is None:
                return None
            at = put_at(element, viewport)
            size = {k: v for k, v in element.attributes.items() if k in ("width", "height")}
            return self._child(target, matrix, at, viewport, depth, size)
        if element.tag in _UNKNOWN:
            self.unknown = f"there is {element.tag} in line {element.line}, the size of which is not reckoned"
        if element.tag not in _GROUPS:
            return None
        children = [c for c in walk.children(element) if c.tag != "symbol"]
        found = [self._child(c, matrix, Matrix(), viewport, depth, {}) for c in children]
        return _all_of(f for f in found if f is not None)

    def _drawn(self, element: Element, matrix: Matrix, viewport: Viewport) -> _Found | None:
        trails = trails_of(element, viewport, self._walk.segments)

        def measured(at: Matrix) -> list[_Ends]:
            runs = runs_of(trails, self._scale.after(at), MODEL.fit_mm, self._walk.budget)
            boxes = [bounds(Region((c,))) for c in (r.contour() for r in runs) if c is not None]
            return [(b.xmin, b.ymin, b.xmax, b.ymax) for b in boxes]

        tight = measured(matrix)
        if not tight:
            return None
        scale = self._scale.a
        level = abs(matrix.b) + abs(matrix.c) == 0.0 or abs(matrix.a) + abs(matrix.d) == 0.0
        if level and matrix.determinant != 0.0:
            ends = _mapped(_round(tight), _back(self._scale.after(matrix)))
        else:
            ends = _mapped(_round(measured(Matrix())), Matrix(1.0 / scale, 0.0, 0.0, 1.0 / scale))
        return _Found(_mapped(_round(tight), Matrix(1.0 / scale, 0.0, 0.0, 1.0 / scale)), ends)

    def _child(
        self, element: Element, outer: Matrix, at: Matrix, viewport: Viewport, depth: int, size: dict[str, str]
    ) -> _Found | None:
        """Return the ends of an element in another one, the loose ones in the units of that."""
        own = self._walk.sheet.declared(element)
        if own.get("display", "").strip() == "none":
            return None
        scale = self._scale.after(outer).stretch
        at = at.after(placed_by(self._walk, element, own, viewport, scale))
        if element.tag in ("svg", "symbol"):
            window = window_of(element, viewport, size)
            if window is None:
                return None
            at, viewport = at.after(window.matrix), window.viewport
        found = self.ends(element, outer.after(at), viewport, depth + 1)
        return None if found is None else _Found(found.tight, _mapped(found.loose, at))


def _back(m: Matrix) -> Matrix:
    """Return the matrix that undoes another one."""
    n = m.determinant
    a, b, c, d = m.d / n, -m.b / n, -m.c / n, m.a / n
    return Matrix(a, b, c, d, -(a * m.e + c * m.f), -(b * m.e + d * m.f))
