"""What a plate that is thicker or thinner than its name does: floors between the faces, and depths from the top."""

from __future__ import annotations

from typing import Final

from generator.base.frozen_record import frozen_record
from generator.part.describe import floor_left_mm, is_through
from generator.part.part import Face, Feature, Plan
from generator.recipe.model import Recipe

__all__ = ["BOTTOM_FACE", "Thickness", "floor_mm", "recesses", "thickness_of"]

BOTTOM_FACE: Final = "bottom face"


@frozen_record
class Thickness:
    """The errors of thickness, either way.

    Attributes:
        plate_mm: of the plate; 0 for one that was measured.
        floors_mm: of floors between two depths.
        top_mm: of what is cut from the top, against the top face.
    """

    plate_mm: float
    floors_mm: float
    top_mm: float


def thickness_of(recipe: Recipe) -> Thickness:
    """Return what plate and depths together put floors and top recesses off by: one of them takes the plate's error."""
    stock, depth = recipe.cover.stock, recipe.tolerances.depth
    plate = 0.0 if stock.measured is not None else stock.tolerance
    if stock.depths_from == BOTTOM_FACE:
        return Thickness(plate, 2.0 * depth, plate + depth)
    return Thickness(plate, plate + 2.0 * depth, depth)


def recesses(plan: Plan) -> tuple[Feature, ...]:
    """Return the cover's flat-floored recesses: those that do not go through."""
    return tuple(f for f in plan.cover.features if f.region and not f.flare_mm and not is_through(plan.cover, f))


def floor_mm(plan: Plan, f: Feature) -> float:
    """Return the thinnest metal at the floor of a recess by the plate's name, mm; 0 or less if there is none."""
    own = f.z_from_mm if f.face is Face.TOP else plan.cover.thickness_mm - f.z_to_mm
    return min(floor_left_mm(plan.cover, f), own)
