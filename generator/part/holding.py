"""What holds the cover at its last cut, in words for the person at the machine."""

from __future__ import annotations

from generator.recipe.model import Recipe
from generator.recipe.model_holding import ADHESIVE, OWN_HOLES, SKIN, TABS, VACUUM, Holding

__all__ = ["held_words"]


def held_words(recipe: Recipe) -> str:
    """Return one sentence; empty where the recipe does not say, or clamps alone hold the blank."""
    held = recipe.holding
    if not isinstance(held, Holding):
        return ""
    many = len(held.at) or held.count
    return {
        TABS: f"Leave {many} tab{'s' if many > 1 else ''}, {held.width:.4g} mm wide and {held.thickness:.4g} mm thick.",
        SKIN: f"Leave a skin of {held.thickness:.4g} mm.",
        ADHESIVE: "Adhesive under the part holds it.",
        VACUUM: "Vacuum holds the part.",
        OWN_HOLES: "Screw it down through its own bolt holes before.",
    }.get(held.by, "")
