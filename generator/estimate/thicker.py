"""The edit that makes the cover's stock thicker, with what has to follow."""

from __future__ import annotations

from generator.base.remedy import no_less
from generator.estimate.bolt_floors import thick_for_bolts
from generator.estimate.bolt_length import length_of_lifted, with_length
from generator.estimate.joint import Joint, groups
from generator.part.part import Plan
from generator.recipe.model import Recipe

__all__ = ["thicker"]

MORE = tuple(k / 10.0 for k in range(61))
"""How much thicker still the plate may be for the sake of bolts that are sold, mm (our own choice)."""


def thicker(recipe: Recipe, plan: Plan, thickness_mm: float) -> str:
    """Return the edit that makes the cover's stock at least so thick; what was measured of another plate goes.

    So thick that no floor under a bolt head that bears now yields instead, and with longer bolts where those given
    would no longer hold.
    """
    enough = thick_for_bolts(recipe, plan, thickness_mm)
    under = [group[0] for group in groups(recipe, plan) if not group[0].on_original]
    more = next((m for m in MORE if _all_lengths(recipe, under, m + enough - plan.cover.thickness_mm)), 0.0)
    edit = f"set cover.stock.thickness to at least {no_less(enough + more)}"
    if recipe.cover.stock.measured is not None:
        edit += " without cover.stock.measured"
    for joint in under:
        edit = with_length(recipe, joint, edit, enough + more - plan.cover.thickness_mm)
    return edit


def _all_lengths(recipe: Recipe, under: list[Joint], lifted_mm: float) -> bool:
    """Return True if bolts of a standard length hold with their heads lifted by so much."""
    return all(length_of_lifted(recipe, joint, lifted_mm) is not None for joint in under)
