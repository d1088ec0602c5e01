"""A size with limits that a part's solid model carries, as plain data: made in `estimate`, used in `solid`."""

from __future__ import annotations

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point

__all__ = ["SAME_FACE_MM", "Toleranced"]

SAME_FACE_MM = 1e-4
"""Faces whose place, height or width differs by less are those that a size is meant for."""


@frozen_record
class Toleranced:
    """A diameter, or a distance between two level faces, with its limits.

    Attributes:
        number: as on drawing and inspection sheet.
        part: that it is measured on.
        what: in plain words.
        is_diameter: whether it is a diameter of upright cylinders, or a distance.
        nominal_mm: as planned.
        lower_mm, upper_mm: limits as deviations from nominal, with their signs.
        places: axes of the cylinders, or all places where the distance is measured; seen from the top, mm.
        from_z_mm, to_z_mm: heights of the two faces of a distance, the face that it is measured from first.
    """

    number: int
    part: str
    what: str
    is_diameter: bool
    nominal_mm: float
    lower_mm: float
    upper_mm: float
    places: tuple[Point, ...]
    from_z_mm: float = 0.0
    to_z_mm: float = 0.0
