"""Do the tapered walls of a part close, before anyone builds a solid?"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from generator.base.errors import GeometryError
from generator.base.units import MODEL, Tolerance
from generator.outline.remembered import remembered
from generator.part.fronts import solve_taper
from generator.part.part import Part, Slab, Wall
from generator.part.runs import Plane, loop_of
from generator.part.slabs import slabs

__all__ = ["rim_fault", "taper_fault"]


def taper_fault(stack: Iterable[Slab], *, tol: Tolerance = MODEL) -> GeometryError | None:
    """Return why a tapered wall of a part's slabs (edge break, countersink) cannot be made, None if all can."""
    for slab in stack:
        for wall in slab.walls:
            if not wall.is_straight and (fault := _fault(wall, tol)) is not None:
                return fault
    return None


def rim_fault(part: Part, break_mm: float, *, tol: Tolerance = MODEL) -> GeometryError | None:
    """Return why an edge break of ``break_mm`` cannot go round a part's bare outline, None if it can."""
    try:
        return taper_fault(slabs(replace(part, features=(), rim_break_mm=break_mm), tol=tol), tol=tol)
    except GeometryError as fault:
        return fault


@remembered
def _fault(wall: Wall, tol: Tolerance) -> GeometryError | None:
    """Return why one tapered wall cannot be made; a slope between two whole circles always can."""
    plane = Plane.empty(tol)
    lower, upper = loop_of(wall.lower, plane), loop_of(wall.upper, plane)
    if lower is None or upper is None:
        return GeometryError("a tapered wall tapers to nothing", point_mm=next(wall.lower.segments()).start)
    if lower.runs[0].is_whole_circle and upper.runs[0].is_whole_circle:
        return None
    try:
        solve_taper(lower, upper, plane)
    except GeometryError as fault:
        return fault
    return None
