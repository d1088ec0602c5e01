"""What holds the part when its outline is cut free: how hard the cutter pulls, how much the holding bears."""

from __future__ import annotations

from math import sqrt

from generator.base.cutting import feed_range, force_of
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.estimate.cutters import Deep, deep_cuts
from generator.estimate.times import kind_of_part
from generator.formulas.cutting import specific_force
from generator.formulas.flip import tab_bends, tab_lifts
from generator.outline.combine import difference
from generator.outline.measure import area, length
from generator.part.part import Plan
from generator.recipe.model import Recipe
from generator.recipe.model_holding import ADHESIVE, SKIN, TABS, VACUUM, Holding

__all__ = ["Pull", "bears_n", "outline_of", "pull_of", "tabs_of"]

SHEAR_SHARE = 1.0 / sqrt(3.0)
"""Shear strength over tensile strength (von Mises)."""


@frozen_record
class Pull:
    """How the cutter that goes round the part pulls at it.

    Attributes:
        force_n: in the plane.
        lift_n: up along the spindle.
        cutter_mm: its diameter: as long are tabs.
    """

    force_n: float
    lift_n: float
    cutter_mm: float


def outline_of(recipe: Recipe, plan: Plan) -> Deep | None:
    """Return the cut round the cover; None where no end mill is named."""
    return next((d for d in deep_cuts(recipe, plan) if d.feature == plan.cover.layer and d.part == "cover"), None)


def pull_of(recipe: Recipe, plan: Plan) -> Pull | None:
    """Return the pull of the cutter that goes round the part, by the fastest chart's feed; None if it is not known."""
    outline, row = outline_of(recipe, plan), force_of(kind_of_part(recipe, plan.cover))
    if outline is None or row is None:
        return None
    diameter = outline.used[1].diameter
    feed = feed_range(row.kind, diameter)[1]
    force = specific_force(row.kc1, row.m, feed) * recipe.making.step_down * diameter * feed
    return Pull(force, recipe.limits.floor.tool_axial.value * force, diameter)


def tabs_of(held: Holding) -> int:
    """Return the number of tabs."""
    return len(held.at) or held.count


def bears_n(recipe: Recipe, plan: Plan, held: Holding, pull: Pull) -> float | None:
    """Return the force in the plane that the holding bears, N, with the lift in its share; None if it is not known."""
    proof, limits = plan.cover.material.proof_mpa, recipe.limits.flip
    if held.by == TABS and proof is not None:
        size = (tabs_of(held), held.width, held.thickness, pull.cutter_mm)
        stress = tab_bends(pull.force_n, *size) + tab_lifts(pull.lift_n, *size)
        return pull.force_n * proof / stress
    if held.by == SKIN and proof is not None:
        return SHEAR_SHARE * proof * held.thickness * length(plan.cover.profile)
    if held.by == ADHESIVE:
        return limits.tape_shear.value * _lies_on(plan)
    if held.by == VACUUM:
        return limits.vacuum_grip.value * _lies_on(plan)
    return None


def _lies_on(plan: Plan) -> float:
    """Return the area of the cover's bottom face, which lies on the table, mm²."""
    taken = [f.region for f in plan.cover.features if f.z_from_mm <= 0.0 and f.region]
    try:
        return area(difference(plan.cover.profile, *taken))
    except GeometryError:
        return max(0.0, area(plan.cover.profile) - sum(area(r) for r in taken))
