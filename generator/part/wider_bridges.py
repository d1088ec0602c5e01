"""Bridges that are too thin to stand: how wide they must be, tried."""

from __future__ import annotations

from generator.base.errors import GeometryError
from generator.base.remedy import no_less
from generator.outline.narrow import Narrow
from generator.part.bridges import bridged, sheet_round
from generator.part.part import Part, Plan
from generator.part.redraw import place_of
from generator.recipe.model import Recipe

__all__ = ["wider_bridges"]

AS_WIDE_MM = 0.02
"""A place of an insert that is so nearly as wide as its bridges is one of them."""


def wider_bridges(recipe: Recipe, plan: Plan, insert: Part, thin: Narrow, least_mm: float) -> str:
    """Return the edit that makes a bridge wide enough; empty if the thin place is none, or no wider one finds room.

    Args:
        recipe: says how wide bridges are.
        plan: the same, drawn.
        insert: what the place is part of.
        thin: the place.
        least_mm: how wide it should be.
    """
    name = insert.name.removeprefix("insert-")
    inlay = recipe.inlays[name]
    for feature in insert.features:
        bridges = inlay.artwork[feature.path.split(".")[3]].bridges
        if bridges is None or abs(bridges.width - thin.width_mm) > AS_WIDE_MM or bridges.width >= least_mm:
            continue
        told = no_less(least_mm)
        plain = place_of(recipe, plan, feature)
        region = plain.drawn(plain.outline)
        try:
            if region is not None:  # a drawing from a file is not read again
                width = float(told.partition(" ")[0])
                bridged(region, sheet_round(region, insert.profile), width_mm=width, count=bridges.count)
        except GeometryError:
            continue
        return f"set {feature.path}.bridges.width to at least {told}"
    return ""
