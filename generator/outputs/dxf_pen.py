"""A pen that makes of every contour the one DXF entity that says it: a CIRCLE or a closed LWPOLYLINE with bulges."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeAlias

from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL, Tolerance
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.pen import draw_region
from generator.outline.predicates import is_circle
from generator.outline.region import Region

__all__ = ["DxfCircle", "DxfPen", "DxfPolyline", "Entity", "entities_of"]


@frozen_record
class DxfCircle:
    """A full circle: centre and radius, mm. Which side is material is not said by a CIRCLE."""

    centre: Point
    radius_mm: float


@frozen_record
class DxfPolyline:
    """A closed polyline; the bulge of a vertex belongs to the segment that begins there, as in ``Contour``."""

    vertices: tuple[Vertex, ...]


Entity: TypeAlias = DxfCircle | DxfPolyline


@dataclass
class DxfPen:
    """Collects one entity a contour in ``value``."""

    tol: Tolerance = MODEL
    value: list[Entity] = field(default_factory=list)
    _vertices: list[Vertex] = field(default_factory=list)
    _at: Point = Point(0.0, 0.0)

    def move_to(self, point: Point) -> None:
        """Start a contour."""
        self._vertices = []
        self._at = point

    def line_to(self, point: Point) -> None:
        """Add a straight segment."""
        self.arc_to(point, 0.0)

    def arc_to(self, point: Point, bulge: float) -> None:
        """Add an arc."""
        # + 0.0 turns -0.0 into 0.0: same geometry, same bytes
        self._vertices.append(Vertex(self._at.x + 0.0, self._at.y + 0.0, bulge + 0.0))
        self._at = point

    def close(self) -> None:
        """End the contour and decide what it is."""
        contour = Contour(tuple(self._vertices))
        circle = is_circle(contour, tol=self.tol)
        if circle is None:
            self.value.append(DxfPolyline(contour.vertices))
        else:
            centre = Point(circle.centre.x + 0.0, circle.centre.y + 0.0)
            self.value.append(DxfCircle(centre, circle.radius_mm))


def entities_of(region: Region, *, tol: Tolerance = MODEL) -> tuple[Entity, ...]:
    """Return one entity for each contour of ``region``, in its order."""
    pen = DxfPen(tol)
    draw_region(region, pen)
    return tuple(pen.value)
