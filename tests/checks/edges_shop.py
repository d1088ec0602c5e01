"""Edges of the checks of what a shop needs."""

from __future__ import annotations

from dataclasses import replace

from harness import Edge
from part_samples import RECIPE, plan_of

from generator.estimate.making import estimate

MINUTES = estimate(RECIPE, plan_of(RECIPE)).cutting.likely


def at_most(minutes: float):
    longest = RECIPE.limits.shop.longest_cutting.chosen(minutes)
    return replace(RECIPE, limits=replace(RECIPE.limits, shop=replace(RECIPE.limits.shop, longest_cutting=longest)))


EDGES = (Edge("making-estimate", "long", at_most, 1.005 * MINUTES, 0.995 * MINUTES),)
