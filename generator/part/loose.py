"""Into how many pieces a part falls that nothing holds together."""

from __future__ import annotations

from generator.outline.measure import signed_area
from generator.part.part import Part
from generator.part.slabs import slabs

__all__ = ["loose_pieces"]


def loose_pieces(part: Part) -> int:
    """Return of how many pieces a part is that is cut from above alone, as inserts are: its lowest slab tells.

    Raises: GeometryError: it has no body.
    """
    stack = slabs(part)
    return sum(signed_area(contour) > 0.0 for contour in stack[0].lower) if stack else 0
