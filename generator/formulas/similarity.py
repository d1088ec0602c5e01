"""The turn, scale and shift that bring one set of points nearest to another, in the sense of least squares."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, cos, hypot, sin

from generator.base.frozen_record import frozen_record

__all__ = ["Similarity", "similarity"]


@frozen_record
class Similarity:
    """``target = scale · turn(source) + shift``.

    Attributes:
        turn_rad: counter-clockwise.
        scale: 1 for none.
        shift: along x and y.
        mean_square: mean squared distance that is left.
    """

    turn_rad: float
    scale: float
    shift: tuple[float, float]
    mean_square: float

    def of(self, x: float, y: float) -> tuple[float, float]:
        """Return where a point of the source comes to lie."""
        c, s = self.scale * cos(self.turn_rad), self.scale * sin(self.turn_rad)
        return c * x - s * y + self.shift[0], s * x + c * y + self.shift[1]


def similarity(source: Sequence[tuple[float, float]], target: Sequence[tuple[float, float]]) -> Similarity:
    """Return the similarity without reflection that fits best.

    Source: S. Umeyama, Least-squares estimation of transformation parameters between two point patterns, IEEE Trans.
    PAMI 13 (1991), in the plane, where turn and scale together are one complex number.

    Raises: ValueError: sets of different sizes, or a source whose points all lie in one place.
    """
    n = len(source)
    if n != len(target) or n < 2:
        raise ValueError("similarity needs two sets of as many points, two at least")
    mx, my = sum(p[0] for p in source) / n, sum(p[1] for p in source) / n
    tx, ty = sum(p[0] for p in target) / n, sum(p[1] for p in target) / n
    rows = [(x - mx, y - my, u - tx, v - ty) for (x, y), (u, v) in zip(source, target, strict=True)]
    spread = sum(x * x + y * y for x, y, _, _ in rows)
    if spread <= 0.0:
        raise ValueError("points that all lie in one place have neither turn nor scale")
    along = sum(x * u + y * v for x, y, u, v in rows) / spread
    across = sum(x * v - y * u for x, y, u, v in rows) / spread
    shift = tx - along * mx + across * my, ty - across * mx - along * my
    fit = Similarity(atan2(across, along), hypot(along, across), shift, 0.0)
    left = 0.0
    for (x, y), (u, v) in zip(source, target, strict=True):
        px, py = fit.of(x, y)
        left += (px - u) ** 2 + (py - v) ** 2
    return Similarity(fit.turn_rad, fit.scale, fit.shift, left / n)
