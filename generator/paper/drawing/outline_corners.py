"""Radii of the rounded outside corners of a part's outline, which no table and no dimension tells."""

from __future__ import annotations

from math import pi, radians
from typing import Final

from generator.part.part import Part

__all__ = ["outside_radii"]

LEAST_SWEEP: Final = radians(15.0)
"""Arcs that turn less are part of a curved side, not a corner (our own choice)."""
DIGITS: Final = 4
MOST: Final = 3
"""An outline with more different radii is drawn, not made of corners: its file says it."""


def outside_radii(part: Part) -> tuple[float, ...]:
    """Return the different radii of a part's outside corners, mm, the smallest first; none where there are too many.

    Arcs of half a turn are ends of slots and discs, whose width tells the radius; not where there are other arcs too.
    """
    found: set[float] = set()
    for contour in part.profile:
        outside = [s for s in contour.segments() if s.bulge > 0.0 and s.sweep >= LEAST_SWEEP]
        if any(s.sweep < 0.99 * pi for s in outside):
            found |= {round(s.radius_mm, DIGITS) for s in outside}
    return tuple(sorted(found)) if len(found) <= MOST else ()
