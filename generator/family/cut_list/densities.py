"""Densities by the names of materials: the built-in ones and those that a recipe states itself."""

from __future__ import annotations

from generator.base.errors import RecipeError
from generator.base.materials import MATERIALS
from generator.build.reading import read
from generator.recipe.model_material import OwnMaterial

__all__ = ["densities_of"]


def densities_of(recipe: str) -> dict[str, float]:
    """Return densities in kg/m³; a recipe that cannot be read any more adds none of its own."""
    known = {m.name: m.density_kg_m3 for m in MATERIALS}
    try:
        model = read(recipe).recipe
    except RecipeError:
        return known
    for given in (model.cover.material, *(i.material for i in model.inlays.values())):
        if isinstance(given, OwnMaterial):
            known[given.name] = given.density
    return known
