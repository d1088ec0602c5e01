"""Is there a floor left over the original?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, thicker
from generator.outline.measure import centroid
from generator.part.heights import level
from generator.part.part import Feature, Plan
from generator.part.relation import meets
from generator.recipe.model import Recipe

ID = "pocket-depth"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``deeper-than-stock`` or ``thin-floor`` for the floor over the original."""
    cover = plan.cover
    pocket = next(f for f in cover.features if f.name == "bottom-pocket")
    floor, sound = level(cover.thickness_mm - pocket.depth_mm), recipe.limits.walls.sound.value
    if floor >= sound:
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
        remedy=thicker(recipe, plan, _needed_mm(recipe, plan, pocket) if forbids else pocket.depth_mm + sound),
        path="cover.stock.thickness",
    )


def _needed_mm(recipe: Recipe, plan: Plan, pocket: Feature) -> float:
    """Return the thickness that leaves a sound floor over the original, mm, and under all that is cut from the top.

    A seat that goes through so that its head bears on a load-bearing original is left out: it is meant to.
    """
    over = [f for f in plan.cover.features if f.is_top_recess or (f.layer == "seats" and not plan.load_bearing)]
    deepest = max((plan.cover.thickness_mm - f.z_from_mm for f in over if meets(pocket.region, f.region)), default=0.0)
    return level(pocket.depth_mm + max(deepest, 0.0) + recipe.limits.walls.sound.value)


CHECK = Check(
    ID,
    "floor over the original",
    "The pocket is as deep as the original is high plus the clearance above it; what is left of the stock is the "
    "visible face of the cover.",
    GEOMETRY,
    run,
    limits=("walls.sound",),
)
