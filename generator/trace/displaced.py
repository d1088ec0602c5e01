"""Whole features that relations hold away from where their own points lie: such relations are false, not the part."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.trace.equations import linearised
from generator.trace.relations import MIRROR, Relation
from generator.trace.residuals import point_rows, robust_weights
from generator.trace.unknowns import Fit, Known, Model, Points

Floats = NDArray[np.float64]

UNLIKELY: Final = 9.0
"""Squared Mahalanobis distance for each unknown of a feature beyond which it is displaced: three deviations."""
FLOOR_MM: Final = 0.02
"""Root mean square over its edge by which a feature may be displaced: no noise explains errors of whole edges."""
ROUNDS: Final = 8


@frozen_record(eq=False)
class Own:
    """Every feature by its own points.

    Attributes:
        x: the unknowns, shape (k,).
        chi2: what holding each feature where the relations have it costs its own points, shape (n,).
        off: root mean square over its edge of what each is displaced by, mm; 0 where its own deviations or the floor
            explain it, shape (n,).
    """

    x: Floats
    chi2: Floats
    off: Floats

    def misfit(self, relation: Relation) -> float:
        """Return what holding the features of a relation costs their own points, chi-square."""
        return float(self.chi2[sorted(set(relation.of))].sum())


def by_itself(model: Model, points: Points, related: Fit, noise: float, known: Known) -> Own:
    """Return every feature fitted by its own points alone, and how far it is displaced.

    The scanner's errors stay as the related fit has them; each feature is fitted robustly anew, so that points that
    the related fit gave up count again.

    Args:
        model: the primitives.
        points: their points.
        related: a fit with relations.
        noise: factor on the points' deviations, of the fit without relations.
        known: what is known beforehand: whole edges may be seen off by ``outside_mm``.
    """
    x = related.x.copy()
    places = model.places()
    size = np.array([p.size for p in model.primitives])
    off, chi2 = np.zeros(len(size)), np.zeros(len(size))
    members = [np.flatnonzero(points.of == i) for i in range(len(size))]
    normals: list[Floats] = [np.eye(int(s)) for s in size]
    for n in range(ROUNDS):
        rest, jacobian = point_rows(model, points, x)
        for i, own in enumerate(members):
            if len(own) <= size[i]:
                continue
            at = slice(places[i], places[i] + int(size[i]))
            scaled = np.abs(rest[own]) / (points.sigma[own] * noise)
            # a feature that is far off is found from its middle residual, not from the related fit's deviations
            ratio = scaled / max(1.0, 1.4826 * float(np.median(scaled)))
            root = np.sqrt(robust_weights(ratio, n)) / (points.sigma[own] * noise)
            j = jacobian[own, at] * root[:, None]
            normals[i] = j.T @ j
            x[at] -= np.linalg.lstsq(j, rest[own] * root, rcond=1e-9)[0]
    _, jacobian = point_rows(model, points, related.x)
    for i, own in enumerate(members):
        at = slice(places[i], places[i] + int(size[i]))
        moved = x[at] - related.x[at]
        chi2[i] = float(moved @ normals[i] @ moved)
        off[i] = float(np.sqrt(np.mean((jacobian[own, at] @ moved) ** 2))) if len(own) > size[i] else 0.0
    floor = max(FLOOR_MM, known.outside_mm)
    return Own(x, chi2, np.where((chi2 > UNLIKELY * size) & (off > floor), off, 0.0))


def to_give_up(relations: Sequence[Relation], own: Own) -> list[Relation]:
    """Return the relations to be given up first for the feature that is displaced most; none if nothing holds one.

    Of those that hold it, the image in an axis goes first that its own values are farthest from, then whatever else
    they are farthest from; if none holds it, the whole of the last axis.

    Args:
        relations: those that may be given up.
        own: every feature by its own points.
    """
    for i in np.argsort(-own.off, kind="stable"):
        if own.off[i] <= 0.0:
            break
        holding = [r for r in relations if i in r.of]
        first = [r for r in holding if r.kind == MIRROR] or holding
        if first:
            return [max(first, key=lambda r: float(np.linalg.norm(linearised(r.equations, own.x)[0])) / r.floor)]
    last = max((r.axis for r in relations), default=-1)
    return [r for r in relations if r.axis == last >= 0] if own.off.any() else []
