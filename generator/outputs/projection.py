"""From the three directions of a part to the two of a picture."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Segment

__all__ = ["Floats", "View", "axonometric", "facets", "straight_down"]

Floats = NDArray[np.float64]


@frozen_record
class View:
    """A parallel projection from above: picture = scale · (a·x + b·y + c·z) + origin, y of the picture downwards.

    Attributes:
        right: share of x, y, z in the picture's x.
        up: share of x, y, z in the picture's upward direction.
        scale: pixels per millimetre.
        origin: where the point (0, 0, 0) comes to lie, pixels.
    """

    right: tuple[float, float, float]
    up: tuple[float, float, float]
    scale: float = 1.0
    origin: tuple[float, float] = (0.0, 0.0)

    def project(self, points: Floats, z: float) -> Floats:
        """Return the pictures (n, 2) of plane points (n, 2) at height ``z``, all mm."""
        x, y = points[:, 0], points[:, 1]
        px = self.right[0] * x + self.right[1] * y + self.right[2] * z
        py = self.up[0] * x + self.up[1] * y + self.up[2] * z
        return np.column_stack((self.origin[0] + self.scale * px, self.origin[1] - self.scale * py))

    def at(self, x: float, y: float, z: float) -> tuple[float, float]:
        """Return the picture of one point."""
        p = self.project(np.array([[x, y]]), z)
        return float(p[0, 0]), float(p[0, 1])

    @property
    def sees_walls(self) -> bool:
        """Return True unless the view is straight down."""
        return self.up[2] != 0.0

    @property
    def towards(self) -> tuple[float, float]:
        """Return the direction in the plane that points from the object towards the eye (not a unit vector)."""
        return -self.up[0], -self.up[1]

    def placed(self, scale: float, origin: tuple[float, float]) -> View:
        """Return the same direction of view at another scale (px/mm) and place (px)."""
        return View(self.right, self.up, scale, origin)


def straight_down() -> View:
    """Return the view along -z, x to the right and y up."""
    return View((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


def axonometric(turn_deg: float, elevation_deg: float) -> View:
    """Return the view from ``elevation_deg`` above the plane on a part turned by ``turn_deg`` about z."""
    t, e = radians(turn_deg), radians(elevation_deg)
    return View((cos(t), -sin(t), 0.0), (sin(t) * sin(e), cos(t) * sin(e), cos(e)))


def facets(contour: Contour, chord_error_mm: float, longest_mm: float = float("inf")) -> Floats:
    """Return points (n, 2) round ``contour``: arcs within ``chord_error_mm``, no step longer than ``longest_mm``."""
    parts = [_facets(s, chord_error_mm, longest_mm) for s in contour.segments()]
    return np.vstack(parts) if parts else np.empty((0, 2))


def _facets(s: Segment, error: float, longest: float) -> Floats:
    """Return the points of one segment, its end not included."""
    if not s.is_arc:
        n = max(1, int(np.ceil(s.chord_mm / longest)))
        t = np.arange(n) / n
        return np.column_stack((s.start.x + t * (s.end.x - s.start.x), s.start.y + t * (s.end.y - s.start.y)))
    radius, sweep = s.radius_mm, s.sweep
    # a chord over the angle a is off by r (1 - cos(a / 2)), about r a² / 8
    step = min(float(np.sqrt(8.0 * error / radius)), longest / radius, 0.5)
    n = max(1, int(np.ceil(abs(sweep) / step)))
    centre = s.centre
    start = np.arctan2(s.start.y - centre.y, s.start.x - centre.x)
    a = start + sweep * np.arange(n) / n
    return np.column_stack((centre.x + radius * np.cos(a), centre.y + radius * np.sin(a)))
