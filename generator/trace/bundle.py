"""One fit of everything: primitives, scanner, edges and readings, least squares with exact relations.

Points, readings and what is known beforehand give residuals in standard deviations; relations are equations that hold
exactly. Gauss-Newton in the null space of the relations' derivatives, since they may say the same thing twice, with
robust weights (Huber 1964, then Tukey's biweight).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.trace.equations import constrained_step, linearised, quadratic
from generator.trace.residuals import point_rows, prior_rows, reading_rows, robust_weights
from generator.trace.unknowns import Equation, Fit, Ints, Known, Measured, Model, Points

Floats = NDArray[np.float64]

SETTLED_MM: Final = 1e-6
"""A step that moves nothing by more (mm, rad) is the last; equations, which converge quadratically, hold far closer."""


def fit(
    model: Model,
    points: Points,
    start: Floats,
    *,
    known: Known,
    readings: Sequence[Measured] = (),
    equations: Sequence[Equation] = (),
    rounds: int = 30,
) -> Fit:
    """Return the best values of all unknowns.

    Raises: numpy.linalg.LinAlgError: the unknowns are not finite (a start that makes no sense).
    """
    x = start.copy()
    weight = np.ones(len(points.at))
    noise = 1.0
    unit = model.units()
    for i in range(rounds):
        rest, jacobian = point_rows(model, points, x)
        scaled = rest / points.sigma
        noise = max(1.4826 * float(np.median(np.abs(scaled))), 0.3) * alike(scaled, points.of) ** 0.5
        weight = robust_weights(np.abs(scaled) / noise, i)
        root = np.sqrt(weight) / (points.sigma * noise)
        rows = [rest * root]
        blocks = [jacobian * root[:, None]]
        prior_rest, known_rows = prior_rows(model, x, known)
        rows.append(prior_rest)
        blocks.append(known_rows)
        reading_rest, measured_rows = reading_rows(readings, x)
        rows.append(reading_rest)
        blocks.append(measured_rows)
        r, j = np.concatenate(rows), np.vstack(blocks)
        step, null = constrained_step(j, r, equations, x, unit)
        longest = float(np.abs(step).max(initial=0.0))
        x = x + step * min(1.0, 5.0 / max(longest, 1e-12))
        if i >= 6 and longest < SETTLED_MM:
            break
    jn = j @ null
    size = np.maximum(np.linalg.norm(jn, axis=0), 1e-9)
    normal = (jn / size).T @ (jn / size) + 1e-11 * np.eye(null.shape[1])
    covariance = (null / size) @ np.linalg.solve(normal, (null / size).T)
    return Fit(
        x,
        covariance,
        rest,
        weight,
        reading_rest * np.array([m.sigma for m in readings]) if readings else np.zeros(0),
        float(r @ r),
        noise,
        float(np.abs(linearised(equations, x)[0]).max(initial=0.0)) if equations else 0.0,
    )


def alike(scaled: Floats, of: Ints) -> float:
    """Return how many points count as one, because neighbours err alike (rust, wobble, what no model tells).

    The sum of the residuals' correlation over neighbours up to five points away (an estimate of the variance of means
    of correlated values, Bartlett 1946), at least 1.
    """
    total = 1.0
    clipped = np.clip(scaled, -4.0, 4.0)
    power = float(clipped @ clipped)
    if power <= 0.0:
        return 1.0
    for lag in range(1, 6):
        same = of[lag:] == of[:-lag]
        total += 2.0 * max(0.0, float((clipped[lag:] * clipped[:-lag])[same].sum()) / power)
    return total


def costs(
    model: Model,
    points: Points,
    found: Fit,
    groups: Sequence[Sequence[Equation]],
    *,
    known: Known,
    readings: Sequence[Measured] = (),
    together: Sequence[Sequence[int]] | None = None,
) -> list[float]:
    """Return by how much chi-square would fall if each group of equations were given up and all others kept.

    With ``together``, numbers of groups are given up instead, a set for each: groups that imply each other cost
    nothing one by one.
    """
    rest, jacobian = point_rows(model, points, found.x)
    root = np.sqrt(found.weight) / (points.sigma * found.noise)
    prior_rest, known_rows = prior_rows(model, found.x, known)
    reading_rest, measured_rows = reading_rows(readings, found.x)
    r = np.concatenate([rest * root, prior_rest, reading_rest])
    j = np.vstack([jacobian * root[:, None], known_rows, measured_rows])
    size = np.maximum(np.linalg.norm(j, axis=0), 1e-9)
    j = j / size
    inverse = np.linalg.inv(j.T @ j + 1e-11 * np.eye(len(size)))
    free = -inverse @ (j.T @ r)  # the step to the best values without any equation, in units of ``size``
    out = []
    values, rows = linearised([e for group in groups for e in group], found.x)
    rows = rows / size
    off = values + rows @ free
    spread = rows @ inverse @ rows.T
    owner = np.array([i for i, group in enumerate(groups) for _ in group])
    whole = quadratic(spread, off)
    for given_up in together if together is not None else [[i] for i in range(len(groups))]:
        keep = ~np.isin(owner, given_up)
        out.append(max(0.0, whole - quadratic(spread[np.ix_(keep, keep)], off[keep])))
    return out
