"""Parts laid on sheets: turned, then moved."""

from __future__ import annotations

from math import cos, sin

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Vertex
from generator.outline.region import Region
from generator.outline.transform import moved, turned
from generator.paper.sheet import Track

__all__ = ["Placing"]


@frozen_record
class Placing:
    """How a part lies on a sheet: turned counter-clockwise about its origin by ``turn_rad``, then moved, mm."""

    turn_rad: float = 0.0
    dx: float = 0.0
    dy: float = 0.0

    def region(self, region: Region) -> Region:
        """Return the region where it lies on the sheet."""
        return moved(turned(region, self.turn_rad), self.dx, self.dy)

    def point(self, x: float, y: float) -> tuple[float, float]:
        """Return a place of the part on the sheet."""
        c, s = cos(self.turn_rad), sin(self.turn_rad)
        return c * x - s * y + self.dx, s * x + c * y + self.dy

    def track(self, track: Track) -> Track:
        """Return the track where it lies on the sheet."""
        return Track(tuple(Vertex(*self.point(v.x, v.y), v.bulge) for v in track.vertices), track.is_closed)

    def moved(self, dx: float, dy: float) -> Placing:
        """Return the placing so much farther."""
        return Placing(self.turn_rad, self.dx + dx, self.dy + dy)
