"""Edges of the checks of what a shop needs."""

from __future__ import annotations

from dataclasses import replace

from cases_shop import coarse, engraved, glued, holes, printed, rounded, second_bolt, sheet, step, tolerances, twice
from harness import Edge
from part_samples import RECIPE, plan_of, stock

from generator.estimate.making import estimate
from generator.recipe.model import Recipe

MINUTES = estimate(RECIPE, plan_of(RECIPE)).cutting.likely


def at_most(minutes: float) -> Recipe:
    longest = RECIPE.limits.shop.longest_cutting.chosen(minutes)
    return replace(RECIPE, limits=replace(RECIPE.limits, shop=replace(RECIPE.limits.shop, longest_cutting=longest)))


def held_to(accuracy: float) -> Recipe:
    """Fine general tolerances, ± 0.1 mm for the holes of 6.6 mm, and a machine that holds this."""
    return coarse(0.3, "ISO 2768-fH", accuracy)


EDGES = (
    Edge("making-estimate", "long", at_most, 1.005 * MINUTES, 0.995 * MINUTES),
    Edge("duplicate-outline", "same-outline", twice, 3.5 + 0.0501, 3.5 + 0.0499),
    Edge("duplicate-outline", "same-place", second_bolt, 0.0501, 0.0499),
    Edge("short-steps", "stutters", step, 0.01005, 0.00995),
    Edge("sharp-corners", "catches", rounded, 0.301, 0.299),
    Edge("hole-callout", "odd-size", holes, 6.6 + 0.02, 6.6 + 0.021),
    Edge("depths-named", "may-vanish", engraved, 0.0501, 0.0499),
    Edge("depths-named", "nearly-equal", engraved, 1.5501, 1.5499),
    Edge("general-tolerance", "eats-clearance", coarse, 0.4, 0.399),
    Edge("general-tolerance", "finer-than-machine", held_to, 0.1, 0.1005),
    Edge("tolerance-process", "tighter", lambda t: tolerances(size=t), 0.02, 0.0199),
    Edge("tolerance-process", "too-sure", lambda t: tolerances(footprint=t), 0.02, 0.0199),
    Edge("gap-tolerance", "may-not-go-in", glued, 0.1, 0.1005),
    Edge("trial-print", "walls-eaten", printed, 5.5 - 0.8, 5.5 - 0.8 + 0.005),
    Edge("stock-standard", "odd-plate", lambda t: stock(thickness=t), 12.05, 12.06),
    Edge("stock-standard", "odd-sheet", sheet, 6.05, 6.055),
)
