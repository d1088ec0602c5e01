"""Can the cover be put on so far off its place that it shows?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import degrees, isinf

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import STEP, Check, no_more
from generator.fit.case import FitCase, case_of
from generator.fit.chance import clearance_for
from generator.fit.play import Play, play_of
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "clearance-visible"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``off-place`` if the cover's edge can be far off, ``turns-freely`` if nothing stops a turn."""
    case, limit = case_of(recipe, plan), recipe.limits.fit.off_centre
    play = play_of(case, plan.cover.profile)
    if play.edge_mm > limit.value:
        yield _off_place(recipe, plan, case, play)
    if isinf(play.turn_rad):
        yield Finding(
            check=ID,
            code="turns-freely",
            severity=Severity.NOTES,
            message="neither the footprint nor bolts keep the cover from being turned",
            feature="bottom-pocket",
            face="bottom",
            source=GEOMETRY,
            remedy="keep a mark for its direction, or give it 2 bolts or more",
            path="original.footprint",
        )


def _off_place(recipe: Recipe, plan: Plan, case: FitCase, play: Play) -> Finding:
    """Return the finding of a cover that is loose on its original."""
    limit = recipe.limits.fit.off_centre
    turn = "" if isinf(play.turn_rad) else f", or turned by {degrees(play.turn_rad):.2f}°"
    return Finding(
        check=ID,
        code="off-place",
        severity=Severity.WARNS,
        message=f"the cover can be shifted by {play.shift_mm:.2f} mm{turn}: its edge is then {play.edge_mm:.2f} mm off",
        feature="bottom-pocket",
        point_mm=play.at,
        face="bottom",
        figure=play.edge_mm,
        limit=limit.value,
        unit="mm",
        source=limit.told_source,
        remedy=_remedy(recipe, plan, case),
        path="clearance.around",
    )


def _remedy(recipe: Recipe, plan: Plan, case: FitCase) -> str:
    """Return the clearance that is small enough, and what it costs where it is too small for the errors."""
    limit, low, high = recipe.limits.fit.off_centre.value, 0, int(case.clearance_mm * STEP)
    while low < high:
        middle = (low + high + 1) // 2
        if play_of(replace(case, clearance_mm=middle / STEP), plan.cover.profile).edge_mm <= limit:
            low = middle
        else:
            high = middle - 1
    needed = clearance_for(case, recipe.tolerances.samples, recipe.limits.fit.chance.value)
    costs = f"; the stated errors want {needed:.2f} mm, so make them smaller first" if low / STEP < needed else ""
    return f"set clearance.around to at most {no_more(low / STEP)}{costs}"


CHECK = Check(
    ID,
    "cover looks straight",
    "What lets the cover go on lets it sit off its place, too. An edge that is off beside another edge is seen.",
    GEOMETRY,
    run,
    formula="largest d·(u + w J q) over all shifts u and turns w that clearance and bolt holes of nominal size allow, "
    "for places q of the cover's edge and directions d",
    limits=("fit.off_centre",),
)
