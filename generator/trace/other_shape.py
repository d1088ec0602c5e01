"""Is the outline of another sort than lines and arcs? Damage is here and there; what is everywhere is the shape.

A wave, an ellipse or a spline is traced by arcs that lie off it now on one side, now on the other. Each piece would
pass for a chip or a burr; all of them together do not.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from generator.outline.contour import Contour
from generator.outline.measure import length
from generator.outline.region import Region
from generator.trace.damage import Damage
from generator.trace.footprint import Footprint

__all__ = ["MOST_DAMAGED", "other_shape"]

MOST_DAMAGED: Final = 0.2
"""Share of the outline beyond which what lies off it is not taken for damage (chosen: far beyond three chips)."""


def other_shape(found: Sequence[Damage], footprint: Footprint) -> str:
    """Return a sentence if too much of the outline lies off what was found of it; empty if not."""
    off = [d for d in found if d.number in footprint.outline]
    around = length(Region((Contour(footprint.vertices(footprint.outline)),)))
    share = sum(d.length for d in off) / around if around else 0.0
    if share <= MOST_DAMAGED:
        return ""
    most = max(abs(d.off) for d in off)
    return (
        f"{100.0 * share:.0f} % of the outline lie off the lines and arcs that were found, by up to {most:.2f} mm: its "
        "shape is probably another (waves, an ellipse, a spline), and these are no chips or burrs. Look at the "
        "overlay; uncertainties do not hold where it has rings"
    )
