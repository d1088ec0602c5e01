"""What no scatter shows: edges that are seen a little too far out or in as a whole, and what that does to the fit.

Points of one edge err alike where the model of its shadow does not quite hold. Their scatter does not tell that, so it
is carried through the fit by itself: an edge's points moved together by a standard deviation move every unknown by so
much, and that is added to the covariance (a systematic effect treated as an uncertainty, GUM 4.3 and F.2.4).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.trace.layout import Layout
from generator.trace.residuals import point_rows
from generator.trace.unknowns import Fit

Floats = NDArray[np.float64]

EVEN_PX: Final = 0.015
SHADED_PX: Final = 0.07
"""Standard deviations of what whole edges are seen off: any, and those that face away from the lamp (from simulated
scans of thirty parts with shadows of five forms)."""
LOST_SHARE: Final = 0.08
"""The same of the stretch beside an edge in which its shadow hides it."""


@frozen_record
class Bias:
    """How far whole edges of one scan may be seen off, standard deviations.

    Attributes:
        even_mm: any edge.
        shaded_mm: those that face away from the lamp; less with the cosine of the angle between.
        away_rad: direction away from the lamp in the picture, y up.
    """

    even_mm: float
    shaded_mm: float
    away_rad: float

    def of(self, angle: Floats) -> Floats:
        """Return the same, mm, of edges whose outward normals have the given angles, rad."""
        facing = np.maximum(np.cos(angle - self.away_rad), 0.0)
        return np.asarray(np.hypot(self.even_mm, self.shaded_mm * facing), dtype=np.float64)


def bias_of(px_mm: float, shadow: bool, away_rad: float, hidden_mm: float) -> Bias:
    """Return how far edges of a scan may be seen off.

    Args:
        px_mm: size of a pixel.
        shadow: whether there is one.
        away_rad: direction in which it falls, y up.
        hidden_mm: how far beside the edges that face away from the lamp the shadow is no brighter than the material.
    """
    shaded = float(np.hypot(SHADED_PX * px_mm, LOST_SHARE * hidden_mm)) if shadow else 0.0
    return Bias(EVEN_PX * px_mm, shaded, away_rad)


def widened(layout: Layout, found: Fit, biases: Sequence[Bias]) -> Fit:
    """Return a fit whose covariance holds what whole edges may be off; one ``Bias`` for each scan.

    Half of the variance is taken to be common to all edges of a scan, half to be each edge's own.
    """
    points = layout.points
    _, jacobian = point_rows(layout.model, points, found.x)
    off = np.zeros(len(points.angle))
    for scan, bias in enumerate(biases):
        mine = points.scan == scan
        off[mine] = bias.of(points.angle[mine])
    # by how much each unknown follows each point
    gain = found.covariance @ (jacobian * (found.weight / (points.sigma * found.noise) ** 2)[:, None]).T
    moved = gain * off
    covariance = found.covariance.copy()
    edges = points.scan * len(layout.model.primitives) + points.of
    for group in (points.scan, edges):
        for k in np.unique(group):
            together = moved[:, group == k].sum(axis=1)
            covariance += 0.5 * np.outer(together, together)
    return replace(found, covariance=covariance)
