"""Ellipses and splines of a DXF file made into arcs that stay within 2 µm of them."""

from __future__ import annotations

from itertools import pairwise
from math import pi
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from generator.artwork.chain import Chain
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.contour import Point, Vertex
from generator.outline.fit import fit_arcs

Floats = NDArray[np.float64]

MOST_CONTROLS: Final = 5_000
"""More control points than any drawn curve needs (chosen); bounds the time."""
FULL_RAD: Final = 1e-9
"""A sweep within this of a full turn is a full ellipse."""


# ------------------------------------------------------------------ ellipses
@frozen_record
class EllipseCurve:
    """``centre + cos t · major + sin t · minor``, mm."""

    centre: Floats
    major: Floats
    minor: Floats

    def point(self, t: Floats) -> Floats:
        """Return the points, mm."""
        out: Floats = self.centre + np.cos(t)[:, None] * self.major + np.sin(t)[:, None] * self.minor
        return out

    def tangent(self, t: Floats) -> Floats:
        """Return directions of travel."""
        out: Floats = np.cos(t)[:, None] * self.minor - np.sin(t)[:, None] * self.major
        return out


def ellipse_chain(entity: Any, scale: float) -> Chain:
    """Return an ellipse, or a part of one, as arcs.

    Raises: GeometryError: an axis has no length.
    """
    dxf = entity.dxf
    up = 1.0 if dxf.get("extrusion", (0.0, 0.0, 1.0))[2] > 0.0 else -1.0
    centre = np.array([dxf.center.x, dxf.center.y]) * scale
    major = np.array([dxf.major_axis.x, dxf.major_axis.y]) * scale
    minor = up * dxf.ratio * np.array([-major[1], major[0]])
    if abs(dxf.major_axis.z) > FULL_RAD * float(np.hypot(*major)):
        raise GeometryError("its long axis climbs: draw the outline flat")
    if not float(np.hypot(*major)) > 0.0 or not float(np.hypot(*minor)) > 0.0:
        raise GeometryError("an axis has no length")
    curve = EllipseCurve(centre, major, minor)
    first = float(dxf.get("start_param", 0.0))
    sweep = (float(dxf.get("end_param", 2.0 * pi)) - first) % (2.0 * pi)
    if sweep < FULL_RAD or sweep > 2.0 * pi - FULL_RAD:
        # in quarters, so that it comes out symmetric to its axes
        quarters = [k * pi / 2.0 for k in range(5)]
        vertices = [v for a, b in pairwise(quarters) for v in fit_arcs(curve, a, b)]
        return Chain(tuple(vertices))
    return Chain(tuple(fit_arcs(curve, first, first + sweep)), _at(curve, first + sweep))


def _at(curve: Any, t: float) -> Point:
    x, y = curve.point(np.array([t]))[0]
    return Point(float(x), float(y))


# ------------------------------------------------------------------ splines
@frozen_record
class _Spline:
    """A B-spline by the library's evaluator, mm."""

    tool: Any
    scale: float
    low: float
    high: float

    def point(self, t: Floats) -> Floats:
        """Return the points, mm."""
        return self._rows(t)[0]

    def tangent(self, t: Floats) -> Floats:
        """Return directions within this piece; where the speed is 0, the direction towards a point near by."""
        inset = (self.high - self.low) * 1e-9  # at a knot that allows a corner the evaluator takes the next piece
        _, u = self._rows(np.clip(t, self.low + inset, self.high - inset))
        still = np.hypot(u[:, 0], u[:, 1]) < 1e-12 * max(float(np.hypot(u[:, 0], u[:, 1]).max()), 1e-12)
        for row in np.flatnonzero(still):
            step = (self.high - self.low) * 1e-6
            a, b = max(self.low, t[row] - step), min(self.high, t[row] + step)
            ends = self._rows(np.array([a, b]))[0]
            u[row] = ends[1] - ends[0]
        return u

    def _rows(self, t: Floats) -> tuple[Floats, Floats]:
        rows = [[(v.x, v.y) for v in row[:2]] for row in self.tool.derivatives(t.tolist(), n=1)]
        both = np.array(rows, dtype=np.float64) * self.scale
        return both[:, 0, :], both[:, 1, :]


def spline_chain(entity: Any, scale: float) -> Chain:
    """Return a spline as lines and arcs, cut where its knots allow a corner.

    Raises: GeometryError: it has too many control points, or none.
    """
    if max(len(entity.control_points), len(entity.fit_points)) > MOST_CONTROLS:
        raise GeometryError(f"it has more than {MOST_CONTROLS} control points: simplify it in the drawing")
    tool = entity.construction_tool()
    knots, degree = list(tool.knots()), tool.degree
    low, high = knots[degree], knots[len(knots) - degree - 1]
    if not high > low:
        raise GeometryError("its knots span nothing")
    cuts = [low, *(k for k in sorted(set(knots)) if low < k < high and knots.count(k) >= degree), high]
    vertices: list[Vertex] = []
    for a, b in pairwise(cuts):
        curve = _Spline(tool, scale, a, b)
        if not _is_a_point(curve, a, b):
            vertices += fit_arcs(curve, a, b)
    if not vertices:
        raise GeometryError("all its points are the same")
    return Chain(tuple(vertices), _at(_Spline(tool, scale, low, high), high))


def _is_a_point(curve: _Spline, a: float, b: float) -> bool:
    points = curve.point(np.linspace(a, b, 9))
    return bool(np.ptp(points, axis=0).max() <= MODEL.same_mm)
