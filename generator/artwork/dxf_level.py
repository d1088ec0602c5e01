"""The height of DXF entities above the drawing's plane: an outline has one."""

from __future__ import annotations

from typing import Any

from generator.artwork.dxf_chains import FLAT_MM, mirror_of, named
from generator.base.errors import GeometryError


class Level:
    """Sees to it that everything read lies at the height of what was read first.

    What lies at different heights has its ends apart, however they meet when seen from above.
    """

    def __init__(self, mm_per_unit: float) -> None:
        self._mm_per_unit = mm_per_unit
        self._first: tuple[float, str] | None = None

    def demand(self, entity: Any) -> None:
        """Return quietly if an entity, flat in itself, lies at the height of those before it.

        Raises: GeometryError: it does not; names both entities and heights, mm.
        """
        height = _height(entity) * self._mm_per_unit
        if self._first is None:
            self._first = height, named(entity)
        elif abs(height - self._first[0]) > FLAT_MM:
            raise GeometryError(
                f"{named(entity)} lies at z {height:g} mm, {self._first[1]} at z {self._first[0]:g} mm: an outline has "
                "one height; bring all to one in the drawing, or name the layer that holds the outline alone"
            )


def _height(entity: Any) -> float:
    """Return z of an entity in the drawing's unit."""
    kind, dxf = entity.dxftype(), entity.dxf
    if kind == "LINE":
        return float(dxf.start.z)
    if kind == "SPLINE":
        first = next(iter([*entity.control_points, *entity.fit_points]), (0.0, 0.0, 0.0))
        return float(first[2])
    if kind == "ELLIPSE":
        return float(dxf.center.z)
    if kind == "POLYLINE" and entity.is_3d_polyline:
        return float(entity.vertices[0].dxf.location.z) if entity.vertices else 0.0
    if kind == "POLYLINE":
        return mirror_of(entity) * float(dxf.get("elevation", (0.0, 0.0, 0.0))[2])
    return mirror_of(entity) * float(dxf.get("elevation", 0.0) if kind == "LWPOLYLINE" else dxf.center.z)
