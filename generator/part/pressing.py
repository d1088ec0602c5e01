"""Pressed-in inserts at their worst: how much too large, and how hard they press."""

from __future__ import annotations

from math import pi, sqrt

from generator.base.frozen_record import frozen_record
from generator.base.materials import Material
from generator.formulas.expansion import mismatch
from generator.formulas.fits import clearance, press_pressure
from generator.outline.contour import Point
from generator.outline.distance import boundary_distance
from generator.outline.measure import area
from generator.part.describe import is_through
from generator.part.floors import MPA_PER_GPA
from generator.part.inlays import gap_of
from generator.part.metals import far_corners, is_bonded, warmth
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

__all__ = ["Pressed", "pressed"]


@frozen_record
class Pressed:
    """An insert that is too large at worst, as a solid disc in a ring.

    Attributes:
        over_mm: too large by this, a side.
        cold_over_mm: the same when it is put in, at the temperature that it was made at; 0 if it is not.
        radius_mm: of the disc of its largest piece's area.
        ring_mm: the same with the thinnest wall of plate beside it.
        at: its far corner.
    """

    over_mm: float
    cold_over_mm: float
    radius_mm: float
    ring_mm: float
    at: Point

    def pressure(self, insert: Part, cover: Part, over_mm: float) -> float:
        """Return the pressure between insert and pocket's wall, MPa."""
        inner, outer = (m.youngs_gpa or 0.0 for m in (insert.material, cover.material))
        return press_pressure(over_mm, self.radius_mm, self.ring_mm, inner * MPA_PER_GPA, outer * MPA_PER_GPA)


def pressed(recipe: Recipe, plan: Plan, insert: Part) -> Pressed | None:
    """Return an insert that is only pressed in and may be too large; None for others and for unknown metals.

    Insert and pocket are each off by ``tolerances.size`` at most, the temperature is the worst.
    """
    inlay, cover = recipe.inlays[insert.name.removeprefix("insert-")], plan.cover
    if not insert.profile or is_bonded(inlay) or not (_known(insert.material) and _known(cover.material)):
        return None
    far = far_corners(insert.profile)[0]
    inner, outer = insert.material.cte_per_k or 0.0, cover.material.cte_per_k or 0.0
    grown = max(mismatch(inner, outer, far.corner_mm, by) for by in warmth(recipe))
    size, gap = recipe.tolerances.size, gap_of(inlay).value
    least, _ = clearance(size, -size, size - 2.0 * gap, -size - 2.0 * gap)
    made = -0.5 * least
    if made + max(grown, 0.0) <= 0.0:
        return None
    radius = sqrt(area(far.piece) / pi)
    ring = radius + _wall(insert, cover)
    return Pressed(made + max(grown, 0.0), max(made, 0.0), radius, ring, far.at)


def _wall(insert: Part, cover: Part) -> float:
    """Return the least metal between an insert and the cover's edge or what goes right through it, mm."""
    through = (f.region for f in cover.features if f.region and is_through(cover, f))
    return min(boundary_distance(insert.profile, edge).distance_mm for edge in (cover.profile, *through))


def _known(material: Material) -> bool:
    return None not in (material.youngs_gpa, material.proof_mpa, material.cte_per_k)
