"""Is there metal between neighbouring bolt holes?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less
from generator.part.nearness import near_features
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "bolt-spacing"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``overlap`` or ``thin-web`` for every pair of bolt holes that needs it."""
    holes = [f for f in plan.cover.features if f.layer == "bolt-holes"]
    for near in near_features(holes, holes, recipe.limits.walls.sound.value):
        limit = recipe.limits.walls.sound.value
        yield Finding(
            check=ID,
            code="overlap" if near.meets else "thin-web",
            severity=Severity.FORBIDS if near.meets else Severity.WARNS,
            message=(
                f"{near.first.name} and {near.second} "
                + ("overlap" if near.meets else f"have only {near.gap_mm:.3f} mm between them")
            ),
            feature=near.first.name,
            point_mm=near.at,
            face="top",
            figure=near.gap_mm,
            limit=0.0 if near.meets else limit,
            unit="mm",
            source=GEOMETRY if near.meets else recipe.limits.walls.sound.told_source,
            remedy=f"move the positions in {near.first.path} apart until {no_less(limit)} are left between the holes, "
            "or leave one out",
            path=near.first.path,
        )


CHECK = Check(
    ID,
    "metal between bolt holes",
    "Holes that overlap wander off as they are drilled; usually one position has been written twice.",
    GEOMETRY,
    run,
    limits=("walls.sound",),
)
