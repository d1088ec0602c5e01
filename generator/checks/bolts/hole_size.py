"""Can the bolt holes be drilled?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "hole-size"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``deep-for-its-diameter`` once for every diameter that is small for the plate's thickness."""
    limit = recipe.limits.cutting.drill_depth
    seen: set[float] = set()
    for bolt in plan.bolts:
        ratio = plan.cover.thickness_mm / bolt.hole_mm
        if ratio <= limit.value or bolt.hole_mm in seen:
            continue
        seen.add(bolt.hole_mm)
        yield Finding(
            check=ID,
            code="deep-for-its-diameter",
            severity=Severity.WARNS,
            message=f"holes of {bolt.hole_mm:g} mm are {ratio:.1f} times as deep as wide",
            feature=f"hole-{bolt.name}",
            point_mm=bolt.at,
            face="top",
            figure=ratio,
            limit=limit.value,
            unit="x d",
            source=limit.told_source,
            remedy=f"set {bolt.path}.hole to at least {no_less(plan.cover.thickness_mm / limit.value)}",
            path=bolt.path,
        )


CHECK = Check(
    ID,
    "holes that can be drilled",
    "A drill more than ten diameters deep wanders and breaks.",
    GEOMETRY,
    run,
    limits=("cutting.drill_depth",),
)
