"""The box round an element of an SVG drawing, in its own user units: what shares of a clip path or mask are shares of.

W3C, Scalable Vector Graphics 2, section 8.10, bounding boxes: what is filled counts, whether it is painted or not;
strokes, clips and masks do not.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from generator.artwork.svg_curves import runs_of
from generator.artwork.svg_numbers import Matrix, WrongError, transform
from generator.artwork.svg_shapes import DRAWN, Viewport, across, trails_of, up
from generator.artwork.svg_view import window_of
from generator.artwork.svg_xml import DEEPEST, Element
from generator.base.units import MODEL
from generator.outline.measure import bounds
from generator.outline.region import Region

if TYPE_CHECKING:
    from generator.artwork.svg_draw import Walk

_GROUPS = frozenset({"g", "a", "svg", "symbol", "switch"})


class Box(NamedTuple):
    """A box, user units: its corner of least x and y, and its size."""

    x: float
    y: float
    width: float
    height: float

    @property
    def unit(self) -> Matrix:
        """Return the matrix that takes the square from (0, 0) to (1, 1) to the box."""
        return Matrix(self.width, 0.0, 0.0, self.height, self.x, self.y)


def box_of(walk: Walk, element: Element, viewport: Viewport, scale: float) -> Box | None:
    """Return the box round what an element draws, its own transform left aside; None if it draws nothing.

    Args:
        walk: the drawing, and what may still be done.
        element: drawn, a group, or a reference.
        viewport: that it lies in.
        scale: user units to about mm, so that curves are followed as closely as they are drawn.
    Raises: GeometryError: something cannot be read or is too much.
    """
    found = list(_boxes(walk, element, Matrix(scale, 0.0, 0.0, scale), viewport, 0))
    if not found or scale <= 0.0:
        return None
    x, y = min(b[0] for b in found), min(b[1] for b in found)
    x1, y1 = max(b[2] for b in found), max(b[3] for b in found)
    return Box(x / scale, y / scale, (x1 - x) / scale, (y1 - y) / scale)


_Ends = tuple[float, float, float, float]


def _boxes(walk: Walk, element: Element, matrix: Matrix, viewport: Viewport, depth: int) -> Iterator[_Ends]:
    """Yield least and greatest x and y of all that is drawn."""
    walk.visit(element)
    if depth > 2 * DEEPEST:
        raise WrongError("references lie too deep within each other, or lead to themselves")
    if element.tag in DRAWN:
        trails = trails_of(element, viewport, walk.segments)
        for run in runs_of(trails, matrix, MODEL.fit_mm, walk.budget):
            contour = run.contour()
            if contour is not None:
                b = bounds(Region((contour,)))
                yield b.xmin, b.ymin, b.xmax, b.ymax
    elif element.tag == "use":
        target = walk.document.by_id.get(element.attributes.get("href", "").strip().removeprefix("#"))
        if target is not None:
            at = matrix.after(Matrix(e=across(element, "x", viewport), f=up(element, "y", viewport)))
            size = {k: v for k, v in element.attributes.items() if k in ("width", "height")}
            yield from _inner(walk, target, at, viewport, depth, size)
    elif element.tag in _GROUPS:
        for child in walk.children(element):
            if child.tag != "symbol":
                yield from _inner(walk, child, matrix, viewport, depth, {})


def _inner(
    walk: Walk, element: Element, matrix: Matrix, viewport: Viewport, depth: int, size: dict[str, str]
) -> Iterator[_Ends]:
    own = walk.sheet.declared(element)
    if own.get("display", "").strip() == "none":
        return
    matrix = matrix.after(transform(own.get("transform", "")))
    if element.tag in ("svg", "symbol"):
        window = window_of(element, viewport, size)
        if window is None:
            return
        matrix, viewport = matrix.after(window.matrix), window.viewport
    yield from _boxes(walk, element, matrix, viewport, depth + 1)
