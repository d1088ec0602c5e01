"""How uncertain every feature of a traced footprint is: the fit's covariance, freed of where the picture lay.

The fit knows where the part lay on the scanner better or worse; that says nothing of the part. So every error that one
rigid motion of the whole footprint makes good is taken out: the motion that brings all edges nearest to where they are
(inner constraints of a free network, Baarda 1973). What is left is what a cover meets.
"""

from __future__ import annotations

from math import cos, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.trace.primitives import CIRCLE, LINE, Primitive
from generator.trace.unknowns import Model

Floats = NDArray[np.float64]

STEP_MM: Final = 0.5
COVERAGE: Final = 2.0
"""Half width of a 95 % interval in standard deviations (k = 2, GUM 6.2.2)."""


@frozen_record
class Doubt:
    """Standard uncertainties of one feature.

    Attributes:
        edge: of its edge along the normal, root mean square along it, mm.
        radius: mm; 0 for a line.
        centre: covariance of the centre, ((xx, xy), (xy, yy)), mm²; zeros for a line.
        angle: of a line, rad; 0 for arcs.
    """

    edge: float
    radius: float
    centre: tuple[tuple[float, float], tuple[float, float]]
    angle: float

    def turned(self, angle: float) -> Doubt:
        """Return the same in a frame whose x axis has the angle (rad) in the present one."""
        c, s = cos(angle), sin(angle)
        r = np.array([[c, s], [-s, c]])
        m = r @ np.array(self.centre) @ r.T
        return Doubt(self.edge, self.radius, _square(m), self.angle)

    @property
    def place(self) -> float:
        """Return the larger standard uncertainty of the centre along x and y, mm."""
        return float(max(self.centre[0][0], self.centre[1][1], 0.0) ** 0.5)


@frozen_record(eq=False)
class Samples:
    """Places along all edges.

    Attributes:
        at: where they are, shape (n, 2), mm.
        rows: derivative of each place's shift along the outward normal by every unknown, shape (n, k).
        rigid: the same by a shift along x and y and a turn, shape (n, 3).
        weight: length that each stands for, mm, shape (n,).
        of: number of the primitive, shape (n,).
    """

    at: Floats
    rows: Floats
    rigid: Floats
    weight: Floats
    of: NDArray[np.int64]


def samples(model: Model, x: Floats, edges: list[Contour]) -> Samples:
    """Return places along the edges of all primitives; ``edges`` holds the piece of contour that each one makes.

    Args:
        model: the primitives.
        x: the unknowns.
        edges: for each primitive a contour whose first segments, all but the closing one, are its edge (a full circle:
            all segments).
    """
    primitives, places = model.with_values(x), model.places()
    at_all, rows, rigid, weight, of = [], [], [], [], []
    for i, (p, at) in enumerate(zip(primitives, places, strict=True)):
        for where, length in _along(p, edges[i]):
            row = np.zeros(len(x))
            u, v = where
            if p.kind == LINE:
                a = p.values[0]
                n = (cos(a), sin(a))
                row[at], row[at + 1] = n[1] * u - n[0] * v, 1.0
            else:
                n = (p.side * (u - p.values[0]) / p.values[2], p.side * (v - p.values[1]) / p.values[2])
                row[at], row[at + 1], row[at + 2] = n[0], n[1], p.side
            at_all.append(where)
            rows.append(row)
            rigid.append((n[0], n[1], n[1] * u - n[0] * v))
            weight.append(length)
            of.append(i)
    return Samples(np.array(at_all), np.array(rows), np.array(rigid), np.array(weight), np.array(of))


def _along(p: Primitive, edge: Contour) -> list[tuple[tuple[float, float], float]]:
    """Return places along an edge and the length that each stands for."""
    out = []
    segments = list(edge.segments())
    for s in segments if p.kind == CIRCLE else segments[:-1]:
        length = s.chord_mm if not s.is_arc else abs(s.sweep) * s.radius_mm
        n = max(2, int(np.ceil(length / STEP_MM)))
        share = (np.arange(n) + 0.5) / n
        if s.is_arc:
            c, r = s.centre, s.radius_mm
            start = np.arctan2(s.start.y - c.y, s.start.x - c.x)
            angle = start + share * s.sweep
            points = np.column_stack([c.x + r * np.cos(angle), c.y + r * np.sin(angle)])
        else:
            a, b = np.array(s.start), np.array(s.end)
            points = a + share[:, None] * (b - a)
        out += [((float(u), float(v)), length / n) for u, v in points]
    return out


def freed(model: Model, x: Floats, along: Samples) -> Floats:
    """Return the matrix that takes out of errors of the unknowns what one rigid motion makes good, shape (k, k)."""
    motion = np.zeros((len(x), 3))
    for p, at in zip(model.with_values(x), model.places(), strict=True):
        if p.kind == LINE:
            motion[at, 2] = 1.0
            motion[at + 1, :2] = cos(p.values[0]), sin(p.values[0])
        else:
            motion[at] = 1.0, 0.0, -p.values[1]
            motion[at + 1] = 0.0, 1.0, p.values[0]
    weighted = along.rigid * along.weight[:, None]
    best = np.linalg.solve(weighted.T @ along.rigid, weighted.T @ along.rows)
    return np.asarray(np.eye(len(x)) - motion @ best, dtype=np.float64)


def doubts(model: Model, covariance: Floats, along: Samples) -> list[Doubt]:
    """Return the uncertainties of all primitives.

    Args:
        model: the primitives.
        covariance: of the unknowns, freed of rigid motions.
        along: places along all edges.
    """
    variance = np.einsum("ij,jk,ik->i", along.rows, covariance, along.rows)
    out = []
    for i, (p, at) in enumerate(zip(model.primitives, model.places(), strict=True)):
        edge = rms(variance[along.of == i], along.weight[along.of == i])
        if p.kind == LINE:
            angle = max(float(covariance[at, at]), 0.0) ** 0.5
            out.append(Doubt(edge, 0.0, ((0.0, 0.0), (0.0, 0.0)), angle))
        else:
            radius = max(float(covariance[at + 2, at + 2]), 0.0) ** 0.5
            out.append(Doubt(edge, radius, _square(covariance[at : at + 2, at : at + 2]), 0.0))
    return out


def rms(variance: Floats, weight: Floats) -> float:
    """Return the root of the weighted mean of variances, mm."""
    return float(np.sqrt(max(float(variance @ weight / weight.sum()), 0.0)))


def _square(m: Floats) -> tuple[tuple[float, float], tuple[float, float]]:
    return (float(m[0, 0]), float(m[0, 1])), (float(m[1, 0]), float(m[1, 1]))
