"""How likely does the cover go over the original with all bolts in?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from generator.base.finding import Finding, Severity
from generator.checks.check import STEP, Check, no_less, no_more
from generator.fit.case import FitCase, case_of
from generator.fit.chains import chains_of, largest, tightest
from generator.fit.chance import Chance, chance_of, clearance_for
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "fit-chance"
SOURCE = "simulation: JCGM 101:2008 (propagation of distributions by a Monte Carlo method), from memory"
NAMES = ("wall", "wall to bolt")
"""Chains that decide whether a cover goes over the original."""
MOST_MM = 20.0
"""No recipe may ask for more clearance."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``unlikely`` if too few covers would go on, though their bolts would go in."""
    limit = recipe.limits.fit.chance
    case, samples = case_of(recipe, plan), recipe.tolerances.samples
    chance = chance_of(case, samples)
    if chance.share >= limit.value or chance.bolts_share < limit.value:
        return
    yield Finding(
        check=ID,
        code="unlikely",
        severity=Severity.WARNS,
        message=(
            f"only {100 * chance.share:.2f} % of covers (± {100 * chance.standard_error:.2f} %) go over the original "
            f"with all bolts in, each put on as well as it goes, by {samples} samples of the stated errors, mostly "
            f"{largest(chains_of(case), NAMES)}"
        ),
        feature="bottom-pocket",
        face="bottom",
        figure=100.0 * chance.share,
        limit=100.0 * limit.value,
        unit="%",
        source=limit.told_source,
        remedy=_remedy(recipe, case, chance, limit.value),
        path="clearance",
    )


def _remedy(recipe: Recipe, case: FitCase, chance: Chance, share: float) -> str:
    """Return the clearance that is enough, or the largest error as small as it must be, tried."""
    ways = [f"set clearance.around to at least {no_less(wide)}"] if (wide := _wide_enough(case, chance, share)) else []
    term = tightest([c for c in chains_of(case) if c.name in NAMES]).shares()[0][0]
    key = term.key.removeprefix("tolerances.")
    if exact := _exact_enough(case, chance.samples, share, key):
        ways.append(f"set tolerances.{key} to at most {no_more(exact)}")
    return ", or ".join(ways) or "set tolerances.footprint and tolerances.bolts smaller by measuring again"


def _exact_enough(case: FitCase, samples: int, share: float, key: str) -> float:
    """Return the largest error, in hundredths of a mm, with which enough covers go on; 0 if none is small enough."""
    low, high = 0, int(getattr(case.errors, key) * STEP)
    while low < high:
        middle = (low + high + 1) // 2
        errors = replace(case.errors, **{key: middle / STEP})
        if chance_of(replace(case, errors=errors), samples).share >= share:
            low = middle
        else:
            high = middle - 1
    return low / STEP


def _wide_enough(case: FitCase, chance: Chance, share: float) -> float:
    """Return the clearance with which enough covers go on, mm, tried; 0 if none that a recipe may have."""
    needed = clearance_for(case, chance.samples, share)
    while needed <= MOST_MM and chance_of(replace(case, clearance_mm=needed), chance.samples).share < share:
        needed += 1.0 / STEP
    return needed if needed <= MOST_MM else 0.0


CHECK = Check(
    ID,
    "chance that the cover goes on",
    "Errors seldom are at their worst together, and a cover may be shifted and turned a little until it goes on. So "
    "many covers and originals are made by lot, each cover is put on as well as it goes, and those that go "
    "on are counted.",
    SOURCE,
    run,
    formula="share of the samples for which a shift u and a small turn w exist with n·(u + w J p) <= clearance - "
    "errors all round the footprint and |d + u + w J p| <= (hole - bolt) / 2 - errors at every bolt; "
    "standard error root(p (1 - p) / samples)",
    limits=("fit.chance",),
)
