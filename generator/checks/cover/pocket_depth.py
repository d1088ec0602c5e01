"""Is there a floor left over the original?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, thicker
from generator.outline.measure import centroid
from generator.part.heights import level
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "pocket-depth"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``deeper-than-stock`` or ``thin-floor`` for the floor over the original."""
    cover = plan.cover
    pocket = next(f for f in cover.features if f.name == "bottom-pocket")
    floor = level(cover.thickness_mm - pocket.depth_mm)
    if floor >= recipe.limits.walls.sound.value:
        return
    forbids = floor <= 0.0
    yield Finding(
        check=ID,
        code="deeper-than-stock" if forbids else "thin-floor",
        severity=Severity.FORBIDS if forbids else Severity.WARNS,
        message=(
            f"the bottom pocket is {pocket.depth_mm:g} mm deep in stock of {cover.thickness_mm:g} mm: "
            + ("no floor is left" if forbids else f"a floor of {floor:.3f} mm is left over the original")
        ),
        feature=pocket.name,
        point_mm=centroid(pocket.region),
        face="bottom",
        figure=floor,
        limit=0.0 if forbids else recipe.limits.walls.sound.value,
        unit="mm",
        source=GEOMETRY if forbids else recipe.limits.walls.sound.told_source,
        remedy=thicker(recipe, plan, pocket.depth_mm + recipe.limits.walls.sound.value),
        path="cover.stock.thickness",
    )


CHECK = Check(
    ID,
    "floor over the original",
    "The pocket is as deep as the original is high plus the clearance above it; what is left of the stock is the "
    "visible face of the cover.",
    GEOMETRY,
    run,
    limits=("walls.sound",),
)
