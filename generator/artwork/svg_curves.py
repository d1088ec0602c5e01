"""Runs of an SVG drawing under a matrix, as lines and arcs in mm."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import atan2, ceil, hypot, isfinite, pi, tan
from typing import Final

import numpy as np

from generator.artwork.dxf_curves import EllipseCurve
from generator.artwork.svg_numbers import Matrix, WrongError
from generator.artwork.svg_path import Curve, Oval, Part, Trail
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.fit import Bezier, fit_arcs, fit_bezier

LARGEST_MM: Final = 10_000.0
"""Coordinates beyond this are no cover (ten metres; chosen)."""
SMALLEST_MM: Final = 1e-7
"""Segments shorter than this have no direction that can be told (a thousandth of the model's tolerance and less)."""
STRAIGHT_MM: Final = 1e-5
"""Arcs that leave their chord by less are lines (a hundredth of the model's tolerance)."""
_ROUND: Final = 1e-9
_HALVINGS: Final = 10
"""A curve that cannot be followed in one go is halved so often before it becomes a polyline (chosen)."""


@frozen_record
class Run:
    """A run of lines and arcs, mm.

    Attributes:
        vertices: starts of the segments.
        end: where the last one ends; that of a closed run is its start.
        closed: whether it has no ends.
    """

    vertices: tuple[Vertex, ...]
    end: Point
    closed: bool = False

    @property
    def is_a_point(self) -> bool:
        """Return whether it has no length."""
        return len(self.vertices) == 1 and _gap(self.vertices[0], self.end) <= SMALLEST_MM

    def contour(self) -> Contour | None:
        """Return what it bounds when filled; a straight line closes it. None if there is nothing in it."""
        far = _gap(self.vertices[0], self.end) > SMALLEST_MM
        vertices = (*self.vertices, Vertex(*self.end)) if far else self.vertices
        return Contour(vertices) if len(vertices) > 1 else None


def _gap(a: Vertex, b: Point) -> float:
    return hypot(a.x - b.x, a.y - b.y)


@dataclass
class Budget:
    """How much may still be fitted; shared by everything in one drawing.

    Attributes:
        curves: number of curves.
        segments: number of lines and arcs.
    """

    curves: int
    segments: int

    def take(self, curves: int, segments: int) -> None:
        """Count what was done.

        Raises: WrongError: it is too much.
        """
        self.expect(curves, segments)
        self.curves -= curves
        self.segments -= segments

    def expect(self, curves: int, segments: int) -> None:
        """Return quietly if so much may still be done.

        Raises: WrongError: it is too much; says of what.
        """
        for need, left, what in ((curves, self.curves, "curves"), (segments, self.segments, "lines and arcs")):
            if need > left:
                raise WrongError(
                    f"the drawing has far more curves and segments than an outline needs: here are at least {need} "
                    f"{what}, and {left} are left of what may be done: simplify it"
                )


def runs_of(trails: list[Trail], matrix: Matrix, tol_mm: float, budget: Budget) -> list[Run]:
    """Return every trail as lines and arcs that stay within ``tol_mm`` of it.

    Args:
        trails: in user units.
        matrix: user units to mm.
        tol_mm: greatest distance between curves and arcs.
        budget: what may still be done.
    Returns: runs; one without length has a single vertex, its end.
    Raises: WrongError: a coordinate is far away or no finite number, or too much.
    """
    budget.take(sum(isinstance(p, Curve | Oval) for t in trails for p in t.parts), 0)
    return [_run(t, matrix, tol_mm, budget) for t in trails if t.parts or t.closed]


def _run(trail: Trail, matrix: Matrix, tol_mm: float, budget: Budget) -> Run:
    at = _placed(matrix, trail.start)
    start = at
    vertices: list[Vertex] = []
    for part in trail.parts:
        end = _placed(matrix, part.end)
        if isinstance(part, Curve | Oval):
            vertices += _bent(part, at, end, matrix, tol_mm)
        elif end != at:
            vertices.append(Vertex(*at))
        at = end
    vertices = _with_length(vertices, at)
    budget.take(0, len(vertices))
    return Run(tuple(vertices) or (Vertex(*start),), Point(*at), trail.closed)


def _placed(matrix: Matrix, point: tuple[float, float]) -> tuple[float, float]:
    x, y = matrix.of(*point)
    if not (isfinite(x) and isfinite(y)):
        raise WrongError("a coordinate is not a finite number")
    if max(abs(x), abs(y)) > LARGEST_MM:
        raise WrongError(f"a point lies at ({x:g}, {y:g}) mm, more than {LARGEST_MM:g} mm away: wrong unit?")
    return x, y


def _with_length(vertices: list[Vertex], end: tuple[float, float]) -> list[Vertex]:
    """Return the vertices without segments of no length; what was left out is added to the one before or after."""
    kept: list[Vertex] = []
    for v in vertices:
        if kept and hypot(v.x - kept[-1].x, v.y - kept[-1].y) <= SMALLEST_MM:
            kept[-1] = Vertex(kept[-1].x, kept[-1].y, v.bulge)
        else:
            kept.append(v)
    while kept and hypot(kept[-1].x - end[0], kept[-1].y - end[1]) <= SMALLEST_MM:
        kept.pop()
    ends = [*kept[1:], Vertex(*end)]
    return [
        v if abs(v.bulge) * hypot(w.x - v.x, w.y - v.y) / 2.0 >= STRAIGHT_MM else v._replace(bulge=0.0)
        for v, w in zip(kept, ends, strict=False)
    ]


# ------------------------------------------------------------------ curves
def _bent(part: Part, at: tuple[float, float], end: tuple[float, float], matrix: Matrix, tol_mm: float) -> list[Vertex]:
    if isinstance(part, Oval):
        return _oval(part, at, end, matrix, tol_mm)
    assert isinstance(part, Curve)
    controls = (at, *(_placed(matrix, p) for p in part.between), end)
    return _bezier(controls, tol_mm, _HALVINGS)


def _bezier(controls: tuple[tuple[float, float], ...], tol_mm: float, halvings: int) -> list[Vertex]:
    """Return a Bézier curve as lines and arcs; one that has a cusp is halved there and about."""
    if _is_short(controls):
        return [Vertex(*controls[0])]
    try:
        return fit_bezier(controls, tol_mm=tol_mm)
    except GeometryError:
        if not halvings:
            return _faceted(controls, tol_mm)
    t = _slowest(controls)
    before, behind = _halved(controls, t)
    return [*_bezier(before, tol_mm, halvings - 1), *_bezier(behind, tol_mm, halvings - 1)]


def _is_short(controls: tuple[tuple[float, float], ...]) -> bool:
    """Return whether all control points lie within the model's noise of each other."""
    x, y = controls[0]
    return all(hypot(p[0] - x, p[1] - y) <= MODEL.same_mm for p in controls)


def _slowest(controls: tuple[tuple[float, float], ...]) -> float:
    """Return where the curve is slowest, away from its ends: near a cusp, or the middle."""
    t = np.linspace(0.0, 1.0, 257)[16:-16]
    speed = np.gradient(Bezier(tuple(Point(*p) for p in controls)).point(t), t, axis=0)
    size = np.hypot(speed[:, 0], speed[:, 1])
    return float(t[int(size.argmin())]) if size.min() < 0.2 * size.mean() else 0.5


def _halved(
    controls: tuple[tuple[float, float], ...], t: float
) -> tuple[tuple[tuple[float, float], ...], tuple[tuple[float, float], ...]]:
    """Return both parts of a Bézier curve cut at t (de Casteljau)."""
    rows = [list(controls)]
    while len(rows[-1]) > 1:
        rows.append([((1 - t) * a[0] + t * b[0], (1 - t) * a[1] + t * b[1]) for a, b in pairwise(rows[-1])])
    return tuple(r[0] for r in rows), tuple(r[-1] for r in reversed(rows))


def _faceted(controls: tuple[tuple[float, float], ...], tol_mm: float) -> list[Vertex]:
    """Return a curve as a polyline within the tolerance: its second differences bound how far it leaves the chord."""
    size = max(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(controls))
    count = min(64, max(1, ceil((2.0 * size / tol_mm) ** 0.5)))
    points = Bezier(tuple(Point(*p) for p in controls)).point(np.linspace(0.0, 1.0, count + 1)[:-1])
    return [Vertex(float(x), float(y)) for x, y in points]


def _oval(part: Oval, at: tuple[float, float], end: tuple[float, float], matrix: Matrix, tol_mm: float) -> list[Vertex]:
    """Return an elliptic arc: circular where both half axes are as long and square to each other."""
    u, v = matrix.way(*part.u), matrix.way(*part.v)
    long, wide = hypot(*u), hypot(*v)
    size = max(long, wide)
    if size <= tol_mm / 4.0:
        return [Vertex(*at)]
    if abs(long - wide) <= _ROUND * size and abs(u[0] * v[0] + u[1] * v[1]) <= _ROUND * size * size:
        return _circular(part, at, u, v, matrix)
    if abs(u[0] * v[1] - u[1] * v[0]) <= tol_mm / 4.0 * size:
        return _flat(part, at, u, v, matrix)
    curve = EllipseCurve(np.array(matrix.of(*part.centre)), np.array(u), np.array(v))
    cuts = _cuts(part, u, v)
    try:
        vertices = [w for a, b in pairwise(cuts) for w in fit_arcs(curve, a, b, tol_mm=tol_mm)]
    except GeometryError:  # all but flat: its ends are too tight to be followed
        count = min(2000, ceil(abs(part.sweep) * (size / (8.0 * tol_mm)) ** 0.5))
        points = curve.point(np.linspace(cuts[0], cuts[-1], count + 1)[:-1])
        vertices = [Vertex(float(x), float(y)) for x, y in points]
    vertices[0] = Vertex(*at, vertices[0].bulge)
    return vertices


def _circular(
    part: Oval, at: tuple[float, float], u: tuple[float, float], v: tuple[float, float], matrix: Matrix
) -> list[Vertex]:
    sense = 1.0 if u[0] * v[1] - u[1] * v[0] > 0.0 else -1.0
    pieces = 1 if abs(part.sweep) <= pi else 2
    bulge = sense * tan(part.sweep / pieces / 4.0)
    if pieces == 1:
        return [Vertex(*at, bulge)]
    return [Vertex(*at, bulge), Vertex(*_on(part, part.first + part.sweep / 2.0, u, v, matrix), bulge)]


def _on(part: Oval, t: float, u: tuple[float, float], v: tuple[float, float], matrix: Matrix) -> tuple[float, float]:
    x, y = matrix.of(*part.centre)
    c, s = float(np.cos(t)), float(np.sin(t))
    return x + c * u[0] + s * v[0], y + c * u[1] + s * v[1]


def _flat(
    part: Oval, at: tuple[float, float], u: tuple[float, float], v: tuple[float, float], matrix: Matrix
) -> list[Vertex]:
    """Return an ellipse pressed flat: straight to where it turns back."""
    return [Vertex(*at), *(Vertex(*_on(part, t, u, v, matrix)) for t in _cuts(part, u, v)[1:-1])]


def _cuts(part: Oval, u: tuple[float, float], v: tuple[float, float]) -> list[float]:
    """Return both ends and the ends of the ellipse's own axes between them, so that it comes out symmetric."""
    lead = 0.5 * atan2(2.0 * (u[0] * v[0] + u[1] * v[1]), hypot(*u) ** 2 - hypot(*v) ** 2)
    low, high = sorted((part.first, part.first + part.sweep))
    margin = 1e-3
    k = ceil((low - lead) / (pi / 2.0))
    inner: list[float] = []
    while lead + k * pi / 2.0 < high:
        t = lead + k * pi / 2.0
        if low + margin < t < high - margin:
            inner.append(t)
        k += 1
    cuts = [low, *inner, high]
    return cuts if part.sweep > 0.0 else cuts[::-1]
