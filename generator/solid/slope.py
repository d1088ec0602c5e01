"""The surfaces of a tapered wall: slanting planes over lines, cones over arcs."""

from __future__ import annotations

from math import atan2, hypot, sin, tan

from OCP.Geom import Geom_ConicalSurface, Geom_Plane

from generator.base.frozen_record import frozen_record
from generator.outline.carrier import Circle
from generator.part.fronts import Front
from generator.part.runs import TURN, turned_into
from generator.solid.brep import Coedge, Edge, Shop, frame


@frozen_record
class Slope:
    """Heights of a tapered wall, and how far it moves sideways (positive) to the left (+1) or right (-1) of travel."""

    z_from_mm: float
    z_to_mm: float
    distance_mm: float
    side: float

    def z(self, t: float) -> float:
        """Return the height at which the wall has moved by t; the ends exactly."""
        if t <= 0.0:
            return self.z_from_mm
        if t >= self.distance_mm:
            return self.z_to_mm
        return self.z_from_mm + (self.z_to_mm - self.z_from_mm) * t / self.distance_mm

    @property
    def stretch(self) -> float:
        """Return length along the slope for each mm of height."""
        return hypot(self.z_to_mm - self.z_from_mm, self.distance_mm) / (self.z_to_mm - self.z_from_mm)


class Cone:
    """A conical surface with what is needed to trace edges on it.

    Its axis points to where it is wide, its reference circle is its wide end, so that angle and radius are positive.
    """

    def __init__(self, circle: Circle, growth: float, slope: Slope) -> None:
        (cx, cy), radius = circle
        self.circle = circle
        self.up = 1.0 if growth > 0.0 else -1.0
        self.z_ref = slope.z_to_mm if growth > 0.0 else slope.z_from_mm
        self.radius = radius + slope.distance_mm if growth > 0.0 else radius
        self.angle = atan2(slope.distance_mm, slope.z_to_mm - slope.z_from_mm)
        self.stretch = slope.stretch
        self.surface = Geom_ConicalSurface(frame(cx, cy, self.z_ref, (0.0, 0.0, self.up)), self.angle, self.radius)

    def v(self, z: float) -> float:
        """Return the surface's second parameter at a height."""
        return self.up * (z - self.z_ref) * self.stretch

    def u(self, angle: float) -> float:
        """Return the surface's first parameter at an angle about the axis seen from above."""
        return angle if self.up > 0.0 else TURN - angle

    @property
    def v_apex(self) -> float:
        """Return the second parameter of the apex."""
        return -self.radius / sin(self.angle)

    def trace_arc(self, coedge: Coedge, low: float, z: float, shop: Shop) -> None:
        """Trace a horizontal arc whose angles are to lie in the turn that begins at ``low``."""
        middle = (coedge.edge.first + coedge.edge.last) / 2.0
        turns = turned_into(middle, low) - middle
        shop.trace(coedge.edge, self.surface, (self.u(turns), self.v(z)), (self.up, 0.0))

    def trace_line(self, edge: Edge, angle: float, z_from: float, shop: Shop) -> None:
        """Trace a straight edge that climbs from ``z_from`` at an angle."""
        shop.trace(edge, self.surface, (self.u(angle), self.v(z_from)), (0.0, self.up))

    def off(self, edge: Edge, z: float) -> float:
        """Return how far a horizontal arc leaves the cone, mm."""
        if edge.circle is None:
            return 0.0
        (ax, ay), (bx, by) = self.circle.centre, edge.circle.centre
        radius = self.radius - abs(z - self.z_ref) * tan(self.angle)
        return hypot(ax - bx, ay - by) + abs(edge.circle.radius_mm - radius)


def slant_plane(front: Front, slope: Slope) -> Geom_Plane:
    """Return the plane over a line."""
    assert front.heading is not None
    h, d = slope.z_to_mm - slope.z_from_mm, slope.side * slope.distance_mm
    return Geom_Plane(
        frame(front.start.x, front.start.y, slope.z_from_mm, (h * front.heading.y, -h * front.heading.x, d))
    )
