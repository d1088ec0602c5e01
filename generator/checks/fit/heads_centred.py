"""Can countersunk heads all lie in the middle of their countersinks?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import STEP, Check, no_more
from generator.estimate.bolt_edits import full_heads
from generator.estimate.joint import joints
from generator.fit.case import FitCase, case_of
from generator.fit.chains import chains_of, largest
from generator.fit.chance import head_offset_for
from generator.part.bolts import seat_of
from generator.part.part import Bolt, Plan
from generator.recipe.model import Recipe

ID = "heads-centred"
GROUP = "original.bolts["
"""What the path of a bolt begins with; the number of its group follows."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``off-centre`` if countersunk heads would lie too far off their countersinks."""
    limit, share = recipe.limits.fit.head_off, recipe.limits.fit.chance.value
    case, samples = case_of(recipe, plan), recipe.tolerances.samples
    off = head_offset_for(case, samples, share, limit.value)
    if off <= limit.value:
        return
    bolt = next(b for b, p in zip(plan.bolts, case.pins, strict=True) if p.countersunk)
    yield Finding(
        check=ID,
        code="off-centre",
        severity=Severity.WARNS,
        message=(
            f"the worst of the countersunk heads can lie {off:.2f} mm off its countersink: a cone has no play, so it "
            f"stands proud on one side and pulls at the bolt; mostly {largest(chains_of(case), ('bolt',))}"
        ),
        feature=f"seat-{bolt.name}",
        point_mm=bolt.at,
        face="top",
        figure=off,
        limit=limit.value,
        unit="mm",
        source=limit.told_source,
        remedy=_remedy(case, samples, share, limit.value, _flat_heads(recipe, plan, bolt)),
        path=bolt.path,
    )


def _flat_heads(recipe: Recipe, plan: Plan, bolt: Bolt) -> str:
    """Return the edits that give the bolts heads with flat seats."""
    joint = next((j for j in joints(recipe, plan) if j.bolt.name == bolt.name), None)
    edit = full_heads(recipe, plan, joint) if joint is not None else ""
    return edit or f"set {seat_of(recipe, int(bolt.path[len(GROUP) : -1]))[1]}.screw to ISO 4762"


def _remedy(case: FitCase, samples: int, share: float, limit_mm: float, flat: str) -> str:
    """Return what centres the heads: positions known more exactly, or heads that need no centring."""
    exact, high = 0, int(case.errors.bolts * STEP)
    while exact < high:
        middle = (exact + high + 1) // 2
        known = replace(case, errors=replace(case.errors, bolts=middle / STEP))
        if head_offset_for(known, samples, share, limit_mm) <= limit_mm:
            exact = middle
        else:
            high = middle - 1
    change = f"{flat}: its counterbore leaves the head room"
    return f"set tolerances.bolts to at most {no_more(exact / STEP)}, or {change}" if exact else change


CHECK = Check(
    ID,
    "countersunk heads lie in the middle",
    "A countersunk head finds its place by itself and forgives no error: with two of them or more, whatever "
    "pattern and countersinks differ by is left over, as a head that stands proud on one side and bends its bolt.",
    GEOMETRY,
    run,
    formula="least over all shifts and turns of the largest |d + u + w J p| of all countersunk bolts, not exceeded in "
    "limits.fit.chance of the samples",
    limits=("fit.head_off", "fit.chance"),
)
