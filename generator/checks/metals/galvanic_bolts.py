"""Do the bolts' metal and the cover's go together where the cover will live?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.galvanic import SOURCE, index_of
from generator.checks.check import NOISE, Check
from generator.formulas.galvanic import corrodes, difference
from generator.part.metals import anodic_index, bolt_metal, galvanic_limit
from generator.part.part import Bolt, Plan
from generator.recipe.model import Recipe

ID = "galvanic-bolts"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``bolts-eaten`` or ``cover-eaten`` for bolts whose metal does not go with the cover's, once a group.

    A bolt is small against the cover: where it is the one that is eaten it goes fast, and that is worse.
    """
    cover = anodic_index(recipe.cover.material)
    limit = galvanic_limit(recipe)
    for i, group in enumerate(recipe.original.bolts):
        metal = bolt_metal(group)
        own, mine = index_of(metal), [b for b in plan.bolts if b.path == f"original.bolts[{i}]"]
        if cover is None or own is None or not mine or difference(own, cover) <= limit.value + NOISE:
            continue
        yield _finding(recipe, plan, mine, metal, (own, cover), limit)


def _finding(
    recipe: Recipe, plan: Plan, bolts: list[Bolt], metal: str, indices: tuple[float, float], limit: Figure
) -> Finding:
    """Return the finding of one group of bolts."""
    eaten = corrodes(*indices)
    which = bolts[0].name if len(bolts) == 1 else f"{bolts[0].name} to {bolts[-1].name}"
    what = "the bolts are eaten, fast, for they are small" if eaten else "the cover is eaten round their heads"
    return Finding(
        check=ID,
        code="bolts-eaten" if eaten else "cover-eaten",
        severity=Severity.WARNS if eaten else Severity.NOTES,
        message=f"{which} of {metal} through {plan.cover.material.name}, {recipe.conditions.environment}: where it "
        f"gets wet {what}",
        feature=f"hole-{bolts[0].name}",
        point_mm=bolts[0].at,
        face="top",
        figure=difference(*indices),
        limit=limit.value,
        unit="V",
        source=limit.told_source,
        remedy=f"take bolts within {limit.value:g} V of the cover, or keep them apart with plastic washers and "
        "sleeves, and grease them",
        path=f"{bolts[0].path}.metal",
    )


CHECK = Check(
    ID,
    "metals of cover and bolts",
    "Bolts touch the cover's metal at head and shank, and water creeps in beside them. The larger anodic index is "
    "eaten; where that is the small bolt in a large cover it is eaten fast. Told where the recipe says what the bolts "
    "are.",
    SOURCE,
    run,
    formula="difference of the anodic indices of both metals, V",
    limits=("metals.indoor", "metals.outdoor", "metals.marine"),
)
