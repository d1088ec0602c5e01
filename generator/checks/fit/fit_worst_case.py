"""Does the cover fit if every error reaches its limit in the worst direction at once?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from generator.base.finding import Finding, Severity
from generator.checks.check import STEP, Check, no_less, no_more
from generator.fit.case import FitCase, case_of
from generator.fit.chains import Chain, chains_of
from generator.fit.wider import wider_bolts
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "fit-worst-case"
SOURCE = (
    "geometry: the sum of all errors' limits, 99.73 % of what was measured; JCGM 100:2008 (GUM), 4.3.4 and 4.3.7, "
    "from memory"
)
WHERE = {"wall": "at the wall", "bolt": "in the bolt holes", "wall to bolt": "from wall to bolts"}
NOISE_MM = 1e-9
"""Sums that are equal to the room but for the noise of arithmetic are no more than it."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``over-sum`` for the bolts, and for the pocket, if at worst the errors need more room than there is.

    The chain from wall to bolt is the pocket's where each of its halves is right in itself.
    """
    case = case_of(recipe, plan)
    for group in (("bolt",), ("wall", "wall to bolt")):
        if over := _over(case, group):
            yield _finding(recipe, plan, case, group, over[0])


def _over(case: FitCase, group: tuple[str, ...]) -> list[Chain]:
    """Return the chains of a group that need more room than there is."""
    over = [c for c in chains_of(case) if c.spare_mm < -NOISE_MM]
    halves = "bolt" not in {c.name for c in over}
    return [c for c in over if c.name in group and (halves or c.name != "wall to bolt")]


def _finding(recipe: Recipe, plan: Plan, case: FitCase, group: tuple[str, ...], chain: Chain) -> Finding:
    """Return the finding of a chain."""
    term, share = chain.shares()[0]
    narrowest = min(case.pins, key=lambda p: p.room_mm).name if chain.name == "bolt" else ""
    at = next((b for b in plan.bolts if b.name == narrowest), None)
    return Finding(
        check=ID,
        code="over-sum",
        severity=Severity.NOTES,
        message=(
            f"{WHERE[chain.name]} all errors at their limits together need {chain.worst_mm:.3f} mm, there are "
            f"{chain.room_mm:.3f} mm; by root sum of squares {chain.rss_mm:.3f} mm, "
            f"of which {term.name} makes {100 * share:.0f} %"
        ),
        feature=f"hole-{at.name}" if at else "bottom-pocket",
        point_mm=at.at if at else None,
        face="bottom",
        figure=chain.worst_mm,
        limit=chain.room_mm,
        unit="mm",
        source=SOURCE,
        remedy=_remedy(recipe, plan, case, group, chain),
        path=at.path if at else "clearance",
    )


def _remedy(recipe: Recipe, plan: Plan, case: FitCase, group: tuple[str, ...], chain: Chain) -> str:
    """Return the edits that make the room enough, or the largest error small enough."""
    ways = []
    if chain.name == "bolt":
        edits = wider_bolts(recipe, plan, chain.worst_mm)
        ways += [f"set {' and '.join(edits)}"] if edits else []
    else:
        missing = max(-c.spare_mm for c in _over(case, group))
        ways.append(f"set clearance.around to at least {no_less(recipe.clearance.around + missing)}")
    key = chain.shares()[0][0].key.removeprefix("tolerances.")
    if exact := _exact_enough(case, group, key):
        ways.append(f"set tolerances.{key} to at most {no_more(exact)}")
    return ", or ".join(ways) or "keep the bolts and measure more exactly: no hole of ISO 273 is wide enough"


def _exact_enough(case: FitCase, group: tuple[str, ...], key: str) -> float:
    """Return the largest value of an error, in whole hundredths of a mm, with which the sums are right; 0 if none."""
    for hundredths in range(int(getattr(case.errors, key) * STEP), 0, -1):
        errors = replace(case.errors, **{key: hundredths / STEP})
        if not _over(replace(case, errors=errors), group):
            return hundredths / STEP
    return 0.0


CHECK = Check(
    ID,
    "all errors at their worst",
    "Where the limits of all errors together leave room, at least 997 covers of 1000 go on: what was measured keeps "
    "within its limits in 99.73 %, so some few can lie outside even then. Where they leave none, most covers fit all "
    "the same, and fit-chance says how many.",
    SOURCE,
    run,
    formula="sum of the limits along the chain: k u where measured, the error itself where cut (along x and along y "
    "together: times root 2); rss = k root(sum u²), at most that sum; u = error / 1.96 where measured, error / root 3 "
    "where cut; k = 3 at the wall, root(-2 ln(0.0027 / n)) with n bolts (from wall to bolt: one)",
)
