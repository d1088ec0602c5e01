"""Materials and fills of a recipe as values with density and colour."""

from __future__ import annotations

from generator.base.fills import FILLS, Fill
from generator.base.materials import Material, material
from generator.recipe.model_material import OwnFill, OwnMaterial

__all__ = ["fill_of", "material_of"]


PER_MILLION = 1e-6


def material_of(given: str | OwnMaterial) -> Material:
    """Return the built-in material of that designation, or the recipe's own with what it states.

    Raises: UnknownStandardError: no built-in material has that designation.
    """
    if isinstance(given, str):
        return material(given)
    cte = None if given.expansion is None else given.expansion * PER_MILLION
    return Material(
        given.name, given.density, cte, given.stiffness, given.strength, given.colour, "stated in the recipe"
    )


def fill_of(given: str | OwnFill | None) -> Fill | None:
    """Return the built-in fill of that name, or the recipe's own; None for a bare engraving."""
    if isinstance(given, OwnFill):
        return Fill(given.name, given.colour)
    return FILLS[given] if given else None
