"""Do the metals of insert and cover go together where the cover will live?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.galvanic import SOURCE
from generator.checks.check import NOISE, Check
from generator.formulas.galvanic import corrodes, difference
from generator.outline.measure import centroid
from generator.part.bonds import bond_ways
from generator.part.metals import anodic_index, galvanic_limit, is_bonded
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe
from generator.recipe.model_conditions import INDOOR

ID = "galvanic-insert"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``bare-contact`` for pressed-in inserts whose metal does not go with the cover's, ``film-only`` for bonded.

    A bonded one lies apart by its adhesive; that is told where it gets wet.
    """
    cover = anodic_index(recipe.cover.material)
    limit = galvanic_limit(recipe)
    for insert in plan.inserts:
        inlay = recipe.inlays[insert.name.removeprefix("insert-")]
        own = anodic_index(inlay.material)
        if cover is None or own is None or not insert.profile:
            continue
        apart = difference(own, cover)
        bonded = is_bonded(inlay)
        if apart > limit.value + NOISE and not (bonded and recipe.conditions.environment == INDOOR):
            yield _finding(recipe, plan, insert, (own, cover), limit, bonded)


def _finding(
    recipe: Recipe, plan: Plan, insert: Part, indices: tuple[float, float], limit: Figure, bonded: bool
) -> Finding:
    """Return the finding of one insert."""
    name = insert.name.removeprefix("insert-")
    eaten = "the insert" if corrodes(*indices) else "the cover round it"
    pair = f"{insert.material.name} let into {plan.cover.material.name}, {recipe.conditions.environment}"
    held = "only its adhesive keeps them apart" if bonded else "they touch, and where it gets wet"
    message = f"{pair}: {held}{': where that is missing' if bonded else ''} {eaten} is eaten"
    seal = f"leave no bare edge: bond it all over and seal the joint with {_lacquer(bonded)}"
    bond = bond_ways(recipe, plan, insert)
    return Finding(
        check=ID,
        code="film-only" if bonded else "bare-contact",
        severity=Severity.NOTES if bonded else Severity.WARNS,
        message=message,
        feature=insert.name,
        point_mm=centroid(insert.profile),
        face="top",
        figure=difference(*indices),
        limit=limit.value,
        unit="V",
        source=limit.told_source,
        remedy=seal if bonded else f"{bond}, or choose a metal within {limit.value:g} V",
        path=f"inlays.{name}.material",
    )


def _lacquer(bonded: bool) -> str:
    return "lacquer" if bonded else "grease"


CHECK = Check(
    ID,
    "metals of insert and cover",
    "Two metals that touch in rain or salt air are a battery: the one with the larger anodic index is eaten, fastest "
    "where it is the smaller of the two. A film of adhesive keeps them apart as long as it is whole.",
    SOURCE,
    run,
    formula="difference of the anodic indices of both metals, V",
    limits=("metals.indoor", "metals.outdoor", "metals.marine"),
)
