"""How what the machine sees lies on the sheet: as large as the box allows, not turned."""

from __future__ import annotations

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point
from generator.outline.measure import Bounds
from generator.outline.region import Region
from generator.outline.transform import moved, scaled
from generator.paper.box import Box

__all__ = ["LARGEST", "Lie", "lie_in"]

LARGEST = 6.0
"""Small pieces are drawn no more than so many times as large."""


@frozen_record
class Lie:
    """Scale, then move, mm."""

    scale: float
    dx: float
    dy: float

    def region(self, region: Region) -> Region:
        """Return a region where it lies on the sheet."""
        return moved(scaled(region, self.scale), self.dx, self.dy)

    def point(self, p: Point | tuple[float, float]) -> tuple[float, float]:
        """Return a place where it lies on the sheet."""
        return p[0] * self.scale + self.dx, p[1] * self.scale + self.dy

    def box(self, b: Bounds) -> Box:
        """Return a box where it lies on the sheet."""
        return Box(*self.point((b.xmin, b.ymin)), *self.point((b.xmax, b.ymax)))


def lie_in(box: Box, what: Bounds) -> Lie:
    """Return how ``what`` (mm of the machine) lies in the middle of a box of the sheet."""
    scale = min(LARGEST, box.width / what.width_mm, box.height / what.height_mm)
    (x, y), (cx, cy) = what.centre, box.centre
    return Lie(scale, cx - scale * x, cy - scale * y)
