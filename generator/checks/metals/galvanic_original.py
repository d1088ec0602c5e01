"""Does the cover's metal go with the original's where the cover will live?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.galvanic import SOURCE, index_of
from generator.checks.check import NOISE, Check
from generator.formulas.galvanic import corrodes, difference
from generator.outline.measure import centroid
from generator.part.metals import anodic_index, galvanic_limit
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "galvanic-original"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``bare-contact`` where cover and original are of metals that do not go together."""
    original, cover = index_of(recipe.original.material), anodic_index(recipe.cover.material)
    limit = galvanic_limit(recipe)
    if original is None or cover is None or difference(original, cover) <= limit.value + NOISE:
        return
    eaten = "the cover" if corrodes(cover, original) else "the original"
    yield Finding(
        check=ID,
        code="bare-contact",
        severity=Severity.WARNS,
        message=f"{plan.cover.material.name} on {recipe.original.material}, {recipe.conditions.environment}: bolts and "
        f"water join them, and {eaten} is eaten",
        feature="bottom-pocket",
        point_mm=centroid(plan.footprint),
        face="bottom",
        figure=difference(original, cover),
        limit=limit.value,
        unit="V",
        source=limit.told_source,
        remedy=f"choose a metal for the cover within {limit.value:g} V, or anodise or paint the pocket, lay a gasket "
        "under the cover and sleeve the bolts",
        path="original.material",
    )


CHECK = Check(
    ID,
    "metals of cover and original",
    "The cover stands over the original and bolts join the two. Where it gets wet the one with the larger anodic index "
    "is eaten, and water stands in the clearance between them.",
    SOURCE,
    run,
    formula="difference of the anodic indices of both metals, V",
    limits=("metals.indoor", "metals.outdoor", "metals.marine"),
)
