"""A part's solid for people who go on in cadquery."""

from __future__ import annotations

from typing import TYPE_CHECKING

from generator.base.units import MODEL, Tolerance
from generator.part.part import Part
from generator.solid.solids import SlabsOf, part_solid

if TYPE_CHECKING:
    from cadquery import Workplane


def to_cadquery(part: Part, slabs_of: SlabsOf, tol: Tolerance = MODEL) -> Workplane:
    """Return a cadquery Workplane that holds the part's solid, mm, bottom face at z = 0.

    Raises:
        GeometryError: the solid cannot be made.
    """
    from cadquery import Shape, Workplane  # heavy: only who asks for it pays for it

    return Workplane("XY").newObject([Shape.cast(part_solid(part, slabs_of, tol))])
