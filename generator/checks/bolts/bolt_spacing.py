"""Is there metal between neighbouring bolt holes?"""

from __future__ import annotations

from collections.abc import Iterator
from math import dist

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less
from generator.part.nearness import near_features
from generator.part.part import Feature, Plan
from generator.part.relation import box_of
from generator.recipe.model import Recipe

ID = "bolt-spacing"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``overlap`` or ``thin-web`` for every pair of bolt holes that needs it."""
    holes = [f for f in plan.cover.features if f.layer == "bolt-holes"]
    others = {f.name: f for f in holes}
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
            figure=_apart_mm(near.first, others[near.second]) if near.meets else near.gap_mm,
            limit=0.0 if near.meets else limit,
            unit="mm",
            source=GEOMETRY if near.meets else recipe.limits.walls.sound.told_source,
            remedy=f"move the positions in {near.first.path} apart until {no_less(limit)} are left between the holes, "
            "or leave one out",
            path=near.first.path,
        )


def _apart_mm(a: Feature, b: Feature) -> float:
    """Return how far two round holes are apart, mm; negative by as much as they overlap."""
    p, q = box_of(a.region), box_of(b.region)
    return dist(p.centre, q.centre) - (p.width_mm + q.width_mm) / 2.0


CHECK = Check(
    ID,
    "metal between bolt holes",
    "Holes that overlap wander off as they are drilled; usually one position has been written twice.",
    GEOMETRY,
    run,
    limits=("walls.sound",),
)
