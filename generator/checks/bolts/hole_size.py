"""Can the bolt holes be drilled?"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.standards import clearance_hole
from generator.checks.check import NOISE, Check, no_less, no_more
from generator.estimate.cutters import net_depth_mm
from generator.part.part import Bolt, Plan
from generator.recipe.model import Recipe

ID = "hole-size"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``deep-for-its-diameter`` once for every diameter that is small for the metal it goes through.

    What bottom pocket and seat have taken away before is not drilled.
    """
    limit = recipe.limits.cutting.drill_depth
    holes = {f.name: f for f in plan.cover.features}
    seen: set[float] = set()
    for bolt in plan.bolts:
        hole = holes.get(f"hole-{bolt.name}")
        depth = net_depth_mm(plan.cover, hole) if hole else plan.cover.thickness_mm
        ratio = depth / bolt.hole_mm
        if ratio <= limit.value + NOISE or bolt.hole_mm in seen:
            continue
        seen.add(bolt.hole_mm)
        yield Finding(
            check=ID,
            code="deep-for-its-diameter",
            severity=Severity.WARNS,
            message=f"the drill goes through {depth:.4g} mm of metal for holes of {bolt.hole_mm:g} mm, {ratio:.1f} "
            "times as deep as wide",
            feature=f"hole-{bolt.name}",
            point_mm=bolt.at,
            face="top",
            figure=ratio,
            limit=limit.value,
            unit="x d",
            source=limit.told_source,
            remedy=_remedy(recipe, bolt, depth, depth / limit.value),
            path=bolt.path,
        )


def _remedy(recipe: Recipe, bolt: Bolt, depth_mm: float, wanted_mm: float) -> str:
    """Return the edit: a wider hole, but none that the head has no grip on; else a thinner plate."""
    widest = clearance_hole(bolt.thread, "medium") if bolt.thread else inf
    if wanted_mm <= max(widest, bolt.hole_mm):
        return f"set {bolt.path}.hole to at least {no_less(wanted_mm)}"
    thinner = recipe.cover.stock.thickness - (depth_mm - recipe.limits.cutting.drill_depth.value * bolt.hole_mm)
    return (
        f"set cover.stock.thickness to at most {no_more(thinner)}, or leave it and drill from both faces, the second "
        "half with the plate turned on its dowels"
    )


CHECK = Check(
    ID,
    "holes that can be drilled",
    "A drill more than ten diameters deep wanders and breaks.",
    GEOMETRY,
    run,
    formula="metal left between seat and bottom pocket over the hole's diameter",
    limits=("cutting.drill_depth",),
)
