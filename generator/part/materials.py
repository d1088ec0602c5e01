"""Materials of a recipe as values with density and colour."""

from __future__ import annotations

from generator.base.materials import Material, material
from generator.recipe.model_material import OwnMaterial

__all__ = ["material_of"]


def material_of(given: str | OwnMaterial) -> Material:
    """Return the built-in material of that designation, or the recipe's own with what it states.

    Raises: UnknownStandardError: no built-in material has that designation.
    """
    if isinstance(given, str):
        return material(given)
    return Material(given.name, given.density, None, None, None, given.colour, "stated in the recipe")
