"""Do the bolts go into the cover's holes together, whatever the pocket does?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from generator.base.finding import Finding, Severity
from generator.checks.check import STEP, Check, no_more
from generator.fit.case import FitCase, case_of
from generator.fit.chains import chains_of, largest
from generator.fit.chance import bolt_room_for, chance_of
from generator.fit.wider import wider_bolts
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "bolts-go-in"
SOURCE = "clearance holes: ISO 273:1979; simulation: JCGM 101:2008, from memory"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``too-fine`` if too often the bolts would not all go in."""
    if not plan.bolts:
        return
    limit = recipe.limits.fit.chance
    case, samples = case_of(recipe, plan), recipe.tolerances.samples
    chance = chance_of(case, samples)
    if chance.bolts_share >= limit.value:
        return
    pin = min(case.pins, key=lambda p: p.room_mm)
    bolt = next(b for b in plan.bolts if b.name == pin.name)
    yield Finding(
        check=ID,
        code="too-fine",
        severity=Severity.WARNS,
        message=(
            f"only {100 * chance.bolts_share:.2f} % of covers take all {len(plan.bolts)} bolts: a hole of "
            f"{bolt.hole_mm:g} mm lets {bolt.name} stand off by {pin.room_mm:.2f} mm, little for the stated "
            f"errors, mostly {largest(chains_of(case), ('bolt',))}"
        ),
        feature=f"hole-{bolt.name}",
        point_mm=bolt.at,
        face="top",
        figure=100.0 * chance.bolts_share,
        limit=100.0 * limit.value,
        unit="%",
        source=limit.told_source,
        remedy=_remedy(recipe, plan, case, samples),
        path=bolt.path,
    )


def _remedy(recipe: Recipe, plan: Plan, case: FitCase, samples: int) -> str:
    """Return the edits that let the bolts in: wider holes, or positions measured more exactly."""
    share = recipe.limits.fit.chance.value
    needed = min(p.room_mm for p in case.pins) + bolt_room_for(case, samples, share)
    ways = []
    if edits := wider_bolts(recipe, plan, needed):
        ways.append(f"set {' and '.join(edits)}")
    if exact := _exact_enough(case, samples, share):
        ways.append(f"set tolerances.bolts to at most {no_more(exact)}")
    return ", or ".join(ways) or f"keep the bolts and widen the holes until {needed:.2f} mm are free round every bolt"


def _exact_enough(case: FitCase, samples: int, share: float) -> float:
    """Return the largest uncertainty of the bolts' positions, mm, with which they go in; 0 if none."""
    low, high = 0, int(case.errors.bolts * STEP)
    while low < high:
        middle = (low + high + 1) // 2
        errors = replace(case.errors, bolts=middle / STEP)
        if chance_of(replace(case, errors=errors), samples).bolts_share >= share:
            low = middle
        else:
            high = middle - 1
    return low / STEP


CHECK = Check(
    ID,
    "bolts go into their holes",
    "With every bolt more there is one more place where pattern and holes must agree; holes of the fine series are for "
    "patterns that are known and drilled to a few hundredths.",
    SOURCE,
    run,
    formula="share of the samples for which a shift and a turn exist that bring every bolt within "
    "(hole - bolt) / 2 of its hole's middle; under a head in a counterbore (seat - head) / 2 if that is less",
    limits=("fit.chance",),
)
