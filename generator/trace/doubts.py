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
    at_all, rows, rigid, weight, of = [], [], [], [], []
    for i, (p, begin) in enumerate(zip(model.with_values(x), model.places(), strict=True)):
        at, lengths = _along(p, edges[i])
        u, v = at[:, 0], at[:, 1]
        row = np.zeros((len(at), len(x)))
        if p.kind == LINE:
            a = p.values[0]
            n = np.tile([cos(a), sin(a)], (len(at), 1))
            row[:, begin], row[:, begin + 1] = n[:, 1] * u - n[:, 0] * v, 1.0
        else:
            n = p.side * (at - p.values[:2]) / p.values[2]
            row[:, begin : begin + 2], row[:, begin + 2] = n, p.side
        at_all.append(at)
        rows.append(row)
        rigid.append(np.column_stack([n, n[:, 1] * u - n[:, 0] * v]))
        weight.append(lengths)
        of.append(np.full(len(at), i))
    return Samples(np.vstack(at_all), np.vstack(rows), np.vstack(rigid), np.concatenate(weight), np.concatenate(of))


def _along(p: Primitive, edge: Contour) -> tuple[Floats, Floats]:
    """Return places along an edge, shape (n, 2), and the length that each stands for."""
    places, lengths = [], []
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
        places.append(points)
        lengths.append(np.full(n, length / n))
    return np.vstack(places), np.concatenate(lengths)


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
    variance = spread(along.rows, covariance)
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


def spread(rows: Floats, covariance: Floats) -> Floats:
    """Return the variance of what each row of derivatives stands for, shape (n,)."""
    return np.asarray(((rows @ covariance) * rows).sum(axis=1), dtype=np.float64)


def rms(variance: Floats, weight: Floats) -> float:
    """Return the root of the weighted mean of variances, mm."""
    return float(np.sqrt(max(float(variance @ weight / weight.sum()), 0.0)))


def _square(m: Floats) -> tuple[tuple[float, float], tuple[float, float]]:
    return (float(m[0, 0]), float(m[0, 1])), (float(m[1, 0]), float(m[1, 1]))
