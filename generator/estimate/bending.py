"""How far an end mill bends as it cuts: estimated from published forces, for a solid carbide cutter in full passes."""

from __future__ import annotations

from typing import Final

from generator.base.cutting import feed_range, force_of
from generator.base.frozen_record import frozen_record
from generator.estimate.cutters import Deep
from generator.estimate.times import kind_of_part
from generator.formulas.cutting import CARBIDE_MPA, cutter_deflection, specific_force
from generator.part.part import Plan
from generator.recipe.model import Recipe
from generator.recipe.model_tools import Tool

__all__ = ["Bent", "bent_of"]

LEAST_OUT: Final = 3.0
"""A cutter stands out of its holder by this many diameters at least (our own choice)."""


@frozen_record
class Bent:
    """A cutter at work.

    Attributes:
        deep: what it cuts.
        force_n: what bends it.
        out_mm: how far it stands out of its holder.
        by_mm: how far its tip bends.
    """

    deep: Deep
    force_n: float
    out_mm: float
    by_mm: float


def bent_of(recipe: Recipe, plan: Plan, deep: Deep) -> Bent | None:
    """Return how far the cutter in use bends in a full pass, one tooth cutting by the fastest chart's feed.

    None where no force is known for the material, or where the cutter does not reach the floor.
    """
    part = next(p for p in plan.parts if p.name == deep.part)
    row = force_of(kind_of_part(recipe, part))
    if row is None or not deep.reaching:
        return None
    _, tool = deep.used
    feed = feed_range(row.kind, tool.diameter)[1]
    down = min(recipe.making.step_down * tool.diameter, deep.depth_mm)
    force = specific_force(row.kc1, row.m, feed) * down * feed
    out = _out_mm(tool, deep.depth_mm)
    return Bent(deep, force, out, cutter_deflection(force, out, tool.diameter, CARBIDE_MPA))


def _out_mm(tool: Tool, depth_mm: float) -> float:
    """Return how far a cutter stands out: as stated, else flutes (or the depth) and one diameter."""
    if tool.stick_out is not None:
        return tool.stick_out
    return max((tool.flute_length or depth_mm) + tool.diameter, LEAST_OUT * tool.diameter)
