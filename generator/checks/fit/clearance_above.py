"""Does the floor of the bottom pocket stay clear of the original?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less
from generator.fit.height import chance_to_clear, room_above_for
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "clearance-above"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``rocks`` if the original may be higher than its pocket is deep, ``on-original`` if it is to be so."""
    above, t, limit = recipe.clearance.above, recipe.tolerances, recipe.limits.fit.chance
    chance = chance_to_clear(above, t.height, t.depth)
    if chance >= limit.value:
        return
    needed, rests = room_above_for(limit.value, t.height, t.depth), above == 0.0
    told = (
        "the pocket is just as deep as the original is high: errors decide whether the cover lies on the original or "
        "on its rim"
        if rests
        else f"in {100.0 * (1.0 - chance):.2f} % of covers the original is higher than its pocket is deep: the cover "
        "rocks on it, its rim off the ground"
    )
    yield Finding(
        check=ID,
        code="on-original" if rests else "rocks",
        severity=Severity.NOTES if rests else Severity.WARNS,
        message=told,
        feature="bottom-pocket",
        point_mm=None,
        face="bottom",
        figure=above,
        limit=needed,
        unit="mm",
        source=f"{100.0 * limit.value:g} % of covers: {limit.told_source}",
        remedy=f"set clearance.above to at least {no_less(needed)}",
        path="clearance.above",
    )


CHECK = Check(
    ID,
    "room above the original",
    "A cover should rest on its rim. One that touches the original first rocks on it, and its bolts bend it.",
    GEOMETRY,
    run,
    formula="chance that clearance.above + depth error - height error >= 0, with u = tolerances.height / 1.96 normal "
    "and tolerances.depth even: u (G((a + d) / u) - G((a - d) / u)) / 2 d, G(x) = x Phi(x) + phi(x)",
    limits=("fit.chance",),
)
