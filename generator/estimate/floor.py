"""The floor under a bolt head that stands over a gap: what it bears, and when it has bent down to the original."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.materials import Material
from generator.base.units import MODEL
from generator.estimate.joint import Joint
from generator.formulas.bolts import (
    clamped_plate_force,
    clamped_plate_stress,
    equivalent_stress,
    punching_stress,
    rim_bending_stress,
)
from generator.formulas.plates import POISSON, stiffness
from generator.outline.contour import Point
from generator.outline.distance import point_distance
from generator.outline.predicates import Side, contains_point
from generator.outline.region import Region
from generator.outline.remembered import remembered
from generator.part.nearness import widest
from generator.part.part import Plan
from generator.part.relation import box_of

__all__ = ["Floor", "closing_force", "floor_bears", "floor_missing", "floor_stress", "floor_under"]

STEP_MM: Final = 0.05
MOST_MM: Final = 20.0
"""How finely, and how far, a thicker floor is looked for."""
MPA_PER_GPA: Final = 1000.0


@frozen_record
class Floor:
    """What lies between a bolt head and the gap over the original.

    Attributes:
        gap_mm: height of the gap.
        under_head_mm: metal under the head.
        plate_mm: metal over the bottom pocket beside the seat.
        reach_mm: from the bolt to the nearest wall of the bottom pocket: the plate is taken as a round one, clamped
            there.
        head_mm: diameter that the head presses on.
        seat_mm: diameter of the seat; that of the head where the seat's wall does not matter.
    """

    gap_mm: float
    under_head_mm: float
    plate_mm: float
    reach_mm: float
    head_mm: float
    seat_mm: float


def floor_under(plan: Plan, joint: Joint) -> Floor | None:
    """Return the floor under a head, or None if there is no floor or no gap, or what bears is not known."""
    pocket = next((f for f in plan.cover.features if f.layer == "bottom-pocket"), None)
    bears, bolt = joint.bears_mm, joint.bolt
    if pocket is None or joint.on_original or bears is None or bears <= bolt.hole_mm:
        return None
    gap = pocket.z_to_mm - plan.original_height_mm
    under = joint.bears_z_mm - pocket.z_to_mm
    if gap <= MODEL.same_mm or under <= MODEL.same_mm:
        return None
    reach = _reach_mm(pocket.region, bolt.at)
    if reach is None:
        return None
    seat = bears
    if joint.is_cone:  # it presses on its cone: the middle of it counts
        bears = seat = (bears + bolt.hole_mm) / 2.0
        under += (bears - bolt.hole_mm) / 2.0
    elif joint.seat is not None:
        seat = max(box_of(widest(joint.seat)).width_mm, bears)
    return Floor(
        gap_mm=gap,
        under_head_mm=under,
        plate_mm=plan.cover.thickness_mm - pocket.z_to_mm,
        reach_mm=reach,
        head_mm=bears,
        seat_mm=seat,
    )


@remembered
def _reach_mm(pocket: Region, at: Point) -> float | None:
    """Return how far it is from a point in a pocket to the nearest wall, mm; None from one that is not in it."""
    return point_distance(pocket, at).distance_mm if contains_point(pocket, at) is Side.INSIDE else None


def closing_force(floor: Floor, material: Material) -> float:
    """Return the force under which the floor has bent down to the original, N; endless where that cannot be told.

    A round plate, clamped at the nearest wall of the bottom pocket, with the force in its middle.
    """
    if material.youngs_gpa is None or floor.reach_mm <= floor.head_mm / 2.0:
        return inf
    rigidity = stiffness(material.youngs_gpa * MPA_PER_GPA, floor.plate_mm)
    return clamped_plate_force(floor.gap_mm, floor.reach_mm, rigidity)


def floor_stress(floor: Floor, material: Material, force_n: float) -> float:
    """Return the largest stress in the floor, MPa, at a preload: what closes the gap counts, the rest is borne below.

    Either the head is pushed through the floor of its seat, or the plate over the bottom pocket bends.
    """
    force = min(force_n, closing_force(floor, material))
    through = equivalent_stress(
        rim_bending_stress(force, floor.head_mm, floor.seat_mm, floor.under_head_mm),
        punching_stress(force, floor.head_mm, floor.under_head_mm),
    )
    if floor.reach_mm <= floor.seat_mm / 2.0:
        return through
    bent = clamped_plate_stress(force, floor.reach_mm, floor.plate_mm, floor.seat_mm / 2.0, POISSON)
    return max(through, bent)


def floor_bears(floor: Floor, material: Material, stress_mpa: float) -> float:
    """Return the preload at which the floor comes to a stress, N; endless if the gap closes before."""
    closing = closing_force(floor, material)
    if closing < inf and floor_stress(floor, material, closing) <= stress_mpa:
        return inf
    per_newton = floor_stress(floor, material, 1.0)  # stress grows with the force up to the closing one
    return stress_mpa / per_newton


def floor_missing(floor: Floor, material: Material, force_n: float, stress_mpa: float) -> float:
    """Return by how much the plate must be thicker for the floor to bear a preload, mm; endless if 20 mm do not do."""
    more = STEP_MM
    while more < MOST_MM and floor_stress(_thicker(floor, more), material, force_n) > stress_mpa:
        more += STEP_MM
    return more if more < MOST_MM else inf


def _thicker(floor: Floor, by_mm: float) -> Floor:
    return replace(floor, under_head_mm=floor.under_head_mm + by_mm, plate_mm=floor.plate_mm + by_mm)
