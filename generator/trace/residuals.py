"""Residuals of points, readings and what is known beforehand, with their derivatives by every unknown."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.trace.primitives import LINE
from generator.trace.unknowns import (
    HEAD,
    OUT_HOLES,
    OUT_OUTLINE,
    SCALE_U,
    SCALE_V,
    SKEW,
    UNEVEN_C,
    UNEVEN_S,
    Known,
    Measured,
    Model,
    Points,
    straightened,
)

Floats = NDArray[np.float64]

HUBERS: Final = 4
"""So many steps of a fit leave every point some weight: none is lost for a poor start."""


def point_rows(model: Model, points: Points, x: Floats) -> tuple[Floats, Floats]:
    """Return residuals of points (mm, positive outside) and their derivatives by every unknown, (n,) and (n, k).

    They are in mm of the picture: a model in mm of the part would gain by shrinking.
    """
    n = len(points.at)
    jacobian = np.zeros((n, len(x)))
    where, turn = _placed(model, points, x)
    rest, outward = _distances(model, points, x, where, jacobian)
    for scan in range(1, model.scans):
        p = model.poses + 3 * (scan - 1)
        mask = points.scan == scan
        about = where[mask] - x[p + 1 : p + 3]
        jacobian[mask, p] = -outward[mask, 0] * about[:, 1] + outward[mask, 1] * about[:, 0]
        jacobian[mask, p + 1 : p + 3] = outward[mask]
    back = np.einsum("ni,nij->nj", outward, turn)
    at = points.seen(x)
    jacobian[:, SCALE_U] = back[:, 0] * at[:, 0]
    jacobian[:, SCALE_V] = back[:, 1] * at[:, 1]
    jacobian[:, SKEW] = back[:, 0] * at[:, 1]
    if points.modes is not None:
        jacobian[:, HEAD : model.poses] = np.einsum("ni,nik->nk", back @ straightened(x), points.modes)
    hole = np.array([p.loop > 0 for p in model.primitives])[points.of]
    cosine, sine = np.cos(2.0 * points.angle), np.sin(2.0 * points.angle)
    rest -= np.where(hole, x[OUT_HOLES], x[OUT_OUTLINE]) + x[UNEVEN_C] * cosine + x[UNEVEN_S] * sine
    jacobian[:, OUT_OUTLINE] = np.where(hole, 0.0, -1.0)
    jacobian[:, OUT_HOLES] = np.where(hole, -1.0, 0.0)
    jacobian[:, UNEVEN_C] = -cosine
    jacobian[:, UNEVEN_S] = -sine
    whole = 1.0 + 0.5 * (x[SCALE_U] + x[SCALE_V])
    rest /= whole
    jacobian /= whole
    jacobian[:, SCALE_U] -= 0.5 * rest / whole
    jacobian[:, SCALE_V] -= 0.5 * rest / whole
    return rest, jacobian


def robust_weights(ratio: Floats, step: int) -> Floats:
    """Return the weights of points: Huber's (1964) in the first steps of a fit, then Tukey's biweight.

    Args:
        ratio: how far each point is off, in standard deviations.
        step: of the fit, from 0.
    """
    if step < HUBERS:
        return np.asarray(1.0 / np.maximum(1.0, ratio / 2.0), dtype=np.float64)
    return np.asarray(np.maximum(1.0 - (ratio / 6.0) ** 2, 0.0) ** 2, dtype=np.float64)


def _placed(model: Model, points: Points, x: Floats) -> tuple[Floats, Floats]:
    """Return where points lie on the part, mm, and the rotation of each point's scan, shape (n, 2, 2)."""
    at = points.seen(x)
    true = np.column_stack([at[:, 0] * (1.0 + x[SCALE_U]) + at[:, 1] * x[SKEW], at[:, 1] * (1.0 + x[SCALE_V])])
    turn = np.zeros((len(at), 2, 2))
    turn[:] = np.eye(2)
    for scan in range(1, model.scans):
        p = model.poses + 3 * (scan - 1)
        mask = points.scan == scan
        c, s = np.cos(x[p]), np.sin(x[p])
        turn[mask] = np.array([[c, -s], [s, c]])
        true[mask] = true[mask] @ turn[mask][0].T + x[p + 1 : p + 3] if mask.any() else true[mask]
    return true, turn


def _distances(model: Model, points: Points, x: Floats, where: Floats, jacobian: Floats) -> tuple[Floats, Floats]:
    """Return distances from the primitives and outward directions; fill in the derivatives by the primitives."""
    begin = np.array(model.places())
    of = points.of
    line = np.array([p.kind == LINE for p in model.primitives])[of]
    rest, outward = np.zeros(len(of)), np.zeros((len(of), 2))
    rows = np.flatnonzero(line)
    b = begin[of[rows]]
    c, s = np.cos(x[b]), np.sin(x[b])
    outward[rows] = np.column_stack([c, s])
    rest[rows] = (outward[rows] * where[rows]).sum(1) - x[b + 1]
    jacobian[rows, b] = -s * where[rows, 0] + c * where[rows, 1]
    jacobian[rows, b + 1] = -1.0
    rows = np.flatnonzero(~line)
    b = begin[of[rows]]
    side = np.array([float(p.side) for p in model.primitives])[of[rows]]
    d = where[rows] - np.column_stack([x[b], x[b + 1]])
    length = np.maximum(np.hypot(d[:, 0], d[:, 1]), 1e-12)
    outward[rows] = d / length[:, None] * side[:, None]
    rest[rows] = side * (length - x[b + 2])
    jacobian[rows, b] = -outward[rows, 0]
    jacobian[rows, b + 1] = -outward[rows, 1]
    jacobian[rows, b + 2] = -side
    return rest, outward


def prior_rows(model: Model, x: Floats, known: Known) -> tuple[Floats, Floats]:
    """Return how far the scanner's and the camera's unknowns are from what is known, in standard deviations."""
    rules = (
        ({SCALE_U: 1.0}, known.scale),
        ({SCALE_V: 1.0}, known.scale),
        ({SCALE_U: 1.0, SCALE_V: -1.0}, known.aspect),
        ({SKEW: 1.0}, known.skew),
        ({OUT_OUTLINE: 1.0}, known.outside_mm),
        ({OUT_HOLES: 1.0, OUT_OUTLINE: -1.0}, known.alike_mm),
        ({UNEVEN_C: 1.0}, known.uneven_mm),
        ({UNEVEN_S: 1.0}, known.uneven_mm),
    )
    rest, rows = np.zeros(len(rules) + model.modes), np.zeros((len(rules) + model.modes, len(x)))
    for i, (factors, sigma) in enumerate(rules):
        for at, factor in factors.items():
            rows[i, at] = factor / sigma
        rest[i] = rows[i] @ x
    camera = np.arange(HEAD, model.poses)
    rest[len(rules) :] = x[camera]
    rows[len(rules) + np.arange(model.modes), camera] = 1.0
    return rest, rows


def reading_rows(readings: Sequence[Measured], x: Floats) -> tuple[Floats, Floats]:
    """Return how far readings are from what the unknowns say, in standard deviations."""
    rest, rows = np.zeros(len(readings)), np.zeros((len(readings), len(x)))
    for i, m in enumerate(readings):
        here = m.function(x)
        rest[i] = (here - m.value) / m.sigma
        for at in m.of:
            h = 1e-6
            moved = x.copy()
            moved[at] += h
            ahead = m.function(moved)
            moved[at] -= 2.0 * h
            rows[i, at] = (ahead - m.function(moved)) / (2.0 * h) / m.sigma
    return rest, rows
