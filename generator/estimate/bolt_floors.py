"""How much metal a bolt head needs under it: to be sound, and to bear what keeps the bolt tight."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from generator.estimate.floor import Floor, floor_bears, floor_under
from generator.estimate.joint import Joint, joints
from generator.estimate.preload import aimed_preload, bearable, preload
from generator.estimate.tight_enough import bears_load
from generator.part.part import Plan
from generator.recipe.model import Recipe

__all__ = ["metal_needed", "thick_for_bolts"]

STEP_MM: Final = 0.05
MOST_MM: Final = 20.0
"""How finely, and how far, more metal is looked for."""


def metal_needed(recipe: Recipe, plan: Plan, joint: Joint, *, left_mm: float, plate_grows: bool) -> float | None:
    """Return the least metal under a head that is sound and bears its preload, mm; None if so much cannot be.

    Args:
        recipe: whose limits count.
        plan: where the joint lies.
        joint: with what bears on it.
        left_mm: the metal under the head as it is; negative where the seat breaks through.
        plate_grows: the plate gets as much thicker; else the seat gets shallower.
    """
    sound = recipe.limits.walls.sound.value
    at = _floor_at(plan, joint, sound)
    if at is None:
        return sound
    wanted, more = _wanted(recipe, plan, joint), 0.0
    while more < MOST_MM:
        under = sound + more
        plate = plan.cover.thickness_mm + (under - left_mm if plate_grows else 0.0) - _pocket_mm(plan)
        floor = replace(at, under_head_mm=at.under_head_mm + more, plate_mm=plate)
        if plate < under:
            return None
        if _bears(recipe, plan, floor) >= wanted:
            return under
        more += STEP_MM
    return None


def thick_for_bolts(recipe: Recipe, plan: Plan, thickness_mm: float) -> float:
    """Return the least thickness from ``thickness_mm`` up at which no floor that bears its head now bears too little.

    A thin floor comes down on the original and is borne by it; a thicker one no longer does, and may yield.
    """
    found = list(_sound_floors(recipe, plan))
    more = thickness_mm - plan.cover.thickness_mm
    while more < MOST_MM and any(_bears(recipe, plan, _thicker(f, more)) < wanted for f, wanted in found):
        more += STEP_MM
    return plan.cover.thickness_mm + more if more < MOST_MM else thickness_mm


def _sound_floors(recipe: Recipe, plan: Plan) -> Iterator[tuple[Floor, float]]:
    """Yield the floors under heads that bear what is wanted of them, with that preload, N."""
    for joint in joints(recipe, plan):
        floor, wanted = floor_under(plan, joint), _wanted(recipe, plan, joint)
        if floor is not None and _bears(recipe, plan, floor) >= wanted:
            yield floor, wanted


def _wanted(recipe: Recipe, plan: Plan, joint: Joint) -> float:
    """Return the preload that the floor under a head is to bear, N: less where another link bears less."""
    if joint.group.torque is not None or (bears_load(plan, joint) and not joint.on_original):
        return preload(recipe, plan, joint)
    others = [force for link, force in bearable(recipe, plan, joint).items() if link != "floor"]
    return min(recipe.limits.bolts.held_back.value * aimed_preload(recipe, joint), *others)


def _bears(recipe: Recipe, plan: Plan, floor: Floor) -> float:
    material = plan.cover.material
    return floor_bears(floor, material, recipe.limits.bolts.floor_stress.value * (material.proof_mpa or float("inf")))


def _floor_at(plan: Plan, joint: Joint, under_mm: float) -> Floor | None:
    """Return the floor under a head as it would be with so much metal under it; None where there is no gap."""
    lifted = replace(joint, on_original=False, bears_z_mm=_pocket_mm(plan) + under_mm)
    return floor_under(plan, lifted)


def _pocket_mm(plan: Plan) -> float:
    return next((f.z_to_mm for f in plan.cover.features if f.layer == "bottom-pocket"), 0.0)


def _thicker(floor: Floor, by_mm: float) -> Floor:
    return replace(floor, under_head_mm=floor.under_head_mm + by_mm, plate_mm=floor.plate_mm + by_mm)
