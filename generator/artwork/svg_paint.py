"""One element of an SVG drawing to the areas that its fill and its stroke cover, mm."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import atan2, cos, sin

from generator.artwork.svg_areas import filled, simple
from generator.artwork.svg_curves import Budget, Run, runs_of
from generator.artwork.svg_numbers import Matrix, WrongError, length, number
from generator.artwork.svg_path import Curve, Line, Oval, Part, Trail
from generator.artwork.svg_shapes import Viewport
from generator.artwork.svg_stroke import BEVEL, BUTT, MITER, ROUND, SQUARE, Pen, stroked
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.clip import FillRule
from generator.outline.contour import Contour, Point
from generator.outline.region import EMPTY, Region

Values = Mapping[str, str]
_SIMPLE = frozenset({"rect", "circle", "ellipse"})
"""Elements whose outline cannot cross itself."""


@frozen_record
class Shape:
    """What an element draws, in user units, and where it lies.

    Attributes:
        tag: of the element.
        trails: its runs.
        matrix: user units to mm.
        viewport: what shares of lengths are shares of.
    """

    tag: str
    trails: list[Trail]
    matrix: Matrix
    viewport: Viewport


def fill_of(shape: Shape, rule: str, budget: Budget) -> Region:
    """Return what the fill of an element covers.

    Raises: GeometryError: it is too much, or lies too far away.
    """
    runs = runs_of(shape.trails, shape.matrix, MODEL.fit_mm, budget)
    contours = [c for c in (r.contour() for r in runs) if c is not None]
    if shape.tag in _SIMPLE and len(contours) == 1:
        return simple(contours[0])
    return filled(contours, FillRule.EVEN_ODD if rule.strip() == "evenodd" else FillRule.NON_ZERO)


def stroke_of(shape: Shape, values: Values, budget: Budget, *, scale: float | None = None) -> Region:
    """Return what the stroke of an element covers; nothing without a width.

    Args:
        shape: what is stroked.
        values: width, caps, corners and dashes.
        budget: what may still be done.
        scale: user units of the width to mm, whatever the shape is scaled by; by default as the shape.

    Raises: GeometryError: it is too much, lies too far away, or a value cannot be read.
    """
    matrix = shape.matrix
    similar = matrix.is_similar or scale is not None
    scale = matrix.stretch if scale is None else scale
    if scale <= 0.0 or matrix.determinant == 0.0:
        return EMPTY
    pen = _pen(values, shape.viewport, scale, atan2(matrix.b, matrix.a) if similar else 0.0)
    if pen is None:
        return EMPTY
    _expect(shape.trails, budget, pressed=not similar)
    # a pen stays round where the matrix only turns and scales; elsewhere the stroke is made first and then pressed
    flat = matrix if similar else Matrix(scale, 0.0, 0.0, scale)
    tol_mm = MODEL.fit_mm if similar else MODEL.fit_mm / 2.0
    runs = runs_of(shape.trails, flat, tol_mm, budget)
    contours = stroked(runs, pen)
    budget.take(0, sum(len(c) for c in contours))
    if not similar:
        contours = _pressed(contours, matrix.after(Matrix(1.0 / scale, 0.0, 0.0, 1.0 / scale)), tol_mm, budget)
    return filled(contours, FillRule.NON_ZERO)


def _expect(trails: Sequence[Trail], budget: Budget, *, pressed: bool) -> None:
    """Return quietly if the stroke may be made, before anything is done: a curve becomes two arcs as a rule, and every
    arc has two sides, each of which is a curve again where it is pressed.
    """
    curves = sum(isinstance(p, Curve) for t in trails for p in t.parts)
    ovals = sum(isinstance(p, Oval) for t in trails for p in t.parts)
    sides = 4 * curves + 2 * ovals
    try:
        budget.expect(curves + ovals + (sides if pressed else 0), 2 * curves + ovals + sides)
    except WrongError as error:
        way = " stretched more one way than the other" if pressed else ""
        raise WrongError(f"a stroke of {curves + ovals} curves{way}: {error}, or give it without strokes") from None


def _pressed(contours: Sequence[Contour], matrix: Matrix, tol_mm: float, budget: Budget) -> list[Contour]:
    """Return contours of lines and arcs under a matrix that makes ellipses of circles."""
    runs: list[Run] = runs_of([_trail(c) for c in contours], matrix, tol_mm, budget)
    return [c for c in (r.contour() for r in runs) if c is not None]


def _trail(contour: Contour) -> Trail:
    parts: list[Part] = []
    for s in contour.segments():
        if not s.is_arc:
            parts.append(Line(s.end))
            continue
        c, r = s.centre, s.radius_mm
        parts.append(Oval(c, (r, 0.0), (0.0, r), atan2(s.start.y - c.y, s.start.x - c.x), s.sweep, s.end))
    first = contour.vertices[0]
    return Trail((first.x, first.y), parts, closed=True)


# ------------------------------------------------------------------ how it is widened
def _pen(values: Values, viewport: Viewport, scale: float, turn_rad: float) -> Pen | None:
    """Return how a stroke is drawn, mm; None if it has no width."""
    width = _value(values, "stroke-width", "1", viewport) * scale
    if width < 0.0:
        raise WrongError(f"stroke-width: found {values['stroke-width']}, expected 0 or more")
    if width <= MODEL.same_mm:
        return None
    cap = values.get("stroke-linecap", BUTT).strip()
    join = values.get("stroke-linejoin", MITER).strip()
    if join in ("miter-clip", "arcs"):
        raise WrongError(f"stroke-linejoin: found {join}, which viewers draw differently; write miter, round or bevel")
    limit = _named("stroke-miterlimit", lambda: number(values.get("stroke-miterlimit", "4")))
    return Pen(
        width,
        cap if cap in (ROUND, SQUARE) else BUTT,
        join if join in (ROUND, BEVEL) else MITER,
        max(limit, 1.0),
        tuple(d * scale for d in _dashes(values, viewport)),
        _value(values, "stroke-dashoffset", "0", viewport) * scale,
        Point(cos(turn_rad), sin(turn_rad)),
    )


def _value(values: Values, key: str, default: str, viewport: Viewport) -> float:
    return _named(key, lambda: length(values.get(key, default), viewport.other))


def _named(key: str, read: Callable[[], float]) -> float:
    try:
        return read()
    except WrongError as error:
        raise WrongError(f"{key}: {error}") from error


def _dashes(values: Values, viewport: Viewport) -> tuple[float, ...]:
    """Return the lengths of dashes and gaps, user units; none where the pattern says nothing."""
    text = values.get("stroke-dasharray", "none").strip()
    if text in ("none", ""):
        return ()
    try:
        found = tuple(length(p, viewport.other) for p in text.replace(",", " ").split())
    except WrongError as error:
        raise WrongError(f"stroke-dasharray: {error}") from error
    return found if sum(found) > 0.0 and min(found) >= 0.0 else ()
