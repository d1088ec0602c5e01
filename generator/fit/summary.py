"""All that is known of a fit, for the report: chance, sums, what dominates, the clearance that is enough, play."""

from __future__ import annotations

from generator.base.frozen_record import frozen_record
from generator.fit.case import FitCase, case_of
from generator.fit.chains import Chain, chains_of
from generator.fit.chance import Chance, chance_of, clearance_for
from generator.fit.height import chance_to_clear, room_above_for
from generator.fit.play import Play, play_of
from generator.part.part import Plan
from generator.recipe.model import Recipe

__all__ = ["FitSummary", "summary_of"]


@frozen_record
class FitSummary:
    """What is known of a fit.

    Attributes:
        case: what it was reckoned from.
        chance: how many samples fit.
        wanted: the share that the recipe's limit asks for.
        needed_mm: clearance all round with which that share fits; infinite where the bolts do not go in.
        chains: sums of errors; each knows its terms with their shares.
        clear_above: chance that the floor of the pocket clears the original.
        above_mm: room above with which the wanted share does.
        play: how far off its place the cover can be put on.
    """

    case: FitCase
    chance: Chance
    wanted: float
    needed_mm: float
    chains: tuple[Chain, ...]
    clear_above: float
    above_mm: float
    play: Play


def summary_of(recipe: Recipe, plan: Plan) -> FitSummary:
    """Return what is known of the fit of a plan."""
    case, t, wanted = case_of(recipe, plan), recipe.tolerances, recipe.limits.fit.chance.value
    return FitSummary(
        case=case,
        chance=chance_of(case, t.samples),
        wanted=wanted,
        needed_mm=clearance_for(case, t.samples, wanted),
        chains=chains_of(case),
        clear_above=chance_to_clear(recipe.clearance.above, t.height, t.depth),
        above_mm=room_above_for(wanted, t.height, t.depth),
        play=play_of(case, plan.cover.profile),
    )
