"""A star."""

from __future__ import annotations

from math import atan2, cos, pi, sin

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.region import Region
from generator.shapes.emblems.around import all_round, polar
from generator.shapes.emblems.finish import corner_radius, finished, rounding_of, size, tip_beyond
from generator.shapes.shape import Context, Shape

FEW = {3: 0.28, 4: 0.4}
"""Notch circle of stars with so few points that no two edges lie on one line (chosen by eye)."""


@frozen_record(kw_only=True)
class Star:
    """A star with one point upwards."""

    size: float = size("Diameter of the circle through the points, as rounded.")
    points: int = f.count("Number of points.", default=5, at_least=3, at_most=60, example=5)
    inner: float | None = f.number(
        "Notch circle as a share of the point circle. Without it the edges of a star with five or more points line up "
        "in pairs.",
        default=None,
        at_least=0.05,
        at_most=0.95,
        example=0.45,
    )
    corner_radius: float = corner_radius()


def draw(params: Star, context: Context) -> Region:
    """Return the star.

    Raises: GeometryError: the corner radius does not fit; says which does.
    """
    return finished(params, _sharp)


def _sharp(params: Star) -> list[Contour]:
    n = params.points
    share = params.inner or FEW.get(n) or cos(2.0 * pi / n) / cos(pi / n)
    half_tip = atan2(share * sin(pi / n), 1.0 - share * cos(pi / n))
    r = rounding_of(params)
    tip = params.size / 2.0 + tip_beyond(half_tip, r)
    return [all_round([polar(tip, pi / 2.0), polar(share * tip, pi / 2.0 + pi / n)], n)]


SHAPE = Shape("star", Star, draw, "A star, its points and notches rounded for a cutter.")
