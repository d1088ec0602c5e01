"""How far the two faces may be off against each other: play of the dowels, errors at them, where it shows."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.base.limits_and_fits import hole_limits, pin_limits
from generator.base.standards import UnknownStandardError
from generator.formulas.fits import clearance
from generator.formulas.flip import flip_angle, flip_offset
from generator.outline.contour import Point
from generator.outline.distance import boundary_points
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outline.remembered import remembered
from generator.outline.transform import turned
from generator.part.part import Face, Plan
from generator.part.relation import covers
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels

__all__ = ["Flip", "flip_of", "play_mm", "same_from_below"]

UM_PER_MM = 1000.0
ALONG_MM = 4.0
"""The point that is off most is looked for at points this far apart on the outline."""


@frozen_record
class Flip:
    """The dowels as a register.

    Attributes:
        each_mm: what each dowel may be off by, along and across: what is stated, or half the play if that is more.
        play_mm: greatest clearance of pin and hole; 0 where it is not known.
        span_mm: distance of the outermost dowels.
        middle: between them.
        upright: whether they lie on a line along y.
    """

    each_mm: float
    play_mm: float
    span_mm: float
    middle: Point
    upright: bool

    @property
    def angle_rad(self) -> float:
        """Return by how much the faces may be turned against each other."""
        return flip_angle(self.each_mm, self.span_mm)

    def offset_at(self, p: tuple[float, float]) -> float:
        """Return how far the faces may be off against each other at a point, mm."""
        x, y = p[0] - self.middle.x, p[1] - self.middle.y
        along, across = (y, x) if self.upright else (x, y)
        return flip_offset(self.each_mm, self.span_mm, along, across)

    def worst(self, region: Region) -> tuple[float, Point]:
        """Return the largest offset on a region's outline, mm, and where it is."""
        return _worst(self, region)

    def turned_axis(self, region: Region) -> Flip:
        """Return the register with the dowels on the other axis, as far beyond the ends of the part as now."""
        box = bounds(region)
        now, other = (box.height_mm, box.width_mm) if self.upright else (box.width_mm, box.height_mm)
        return replace(self, span_mm=self.span_mm - now + other, upright=not self.upright, middle=box.centre)


@remembered
def _worst(flip: Flip, region: Region) -> tuple[float, Point]:
    points = [Point(float(x), float(y)) for x, y in boundary_points(region, ALONG_MM)]
    offsets = np.array([round(flip.offset_at(p), 9) for p in points])
    k = int(np.argmax(offsets))
    return flip.offset_at(points[k]), points[k]


def play_mm(dowels: Dowels) -> float | None:
    """Return the greatest clearance of pin and hole by ISO 286, mm, 0 if they always bind; None if it is not known."""
    try:
        lower, upper = hole_limits(dowels.fit, dowels.diameter)
        pin_lower, pin_upper = pin_limits(dowels.pins, dowels.diameter)
    except UnknownStandardError:
        return None
    return max(0.0, clearance(upper, lower, pin_upper, pin_lower)[1]) / UM_PER_MM


def flip_of(recipe: Recipe, plan: Plan) -> Flip | None:
    """Return the dowels as a register; None without two dowels apart from each other."""
    dowels = recipe.dowels
    if not isinstance(dowels, Dowels) or not plan.blank.dowel_holes:
        return None
    centres = [bounds(Region((c,))).centre for c in plan.blank.dowel_holes]
    upright = plan.flip.direction == "y"
    along = sorted(p.y if upright else p.x for p in centres)
    span, middle = along[-1] - along[0], (along[0] + along[-1]) / 2.0
    if span <= 0.0:
        return None
    play = play_mm(dowels) or 0.0
    at = Point(plan.flip.at_mm, middle) if upright else Point(middle, plan.flip.at_mm)
    return Flip(max(recipe.tolerances.flip, play / 2.0), play, span, at, upright)


def same_from_below(plan: Plan, angle_rad: float, about: Point) -> bool:
    """Return True if all that is cut from the bottom face lies on itself again when turned about a point.

    A blank that was put back turned by as much then comes out as if it had not been.
    """
    cut = [f.region for f in plan.cover.features if f.face is Face.BOTTOM and f.region and f.layer != "dowel-holes"]
    return all(covers(r, t) and covers(t, r) for r in cut for t in [turned(r, angle_rad, about)])
