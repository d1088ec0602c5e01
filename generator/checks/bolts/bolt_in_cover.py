"""Do the bolt holes lie inside the cover, far enough from its edge?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less
from generator.part.nearness import Near, growth_to_cover, thin_walls
from generator.part.part import Bolt, Plan
from generator.recipe.model import Recipe

ID = "bolt-in-cover"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``outside`` or ``near-edge`` for every bolt hole that needs it."""
    bolts = {f"hole-{b.name}": b for b in plan.bolts}
    holes = [f for f in plan.cover.features if f.name in bolts]
    limits = {
        name: max(recipe.limits.walls.sound.value, (recipe.limits.walls.hole_to_edge.value - 0.5) * b.hole_mm)
        for name, b in bolts.items()
    }
    for near in thin_walls(plan.cover.profile, holes, max(limits.values(), default=0.0)):
        bolt = bolts[near.first.name]
        if near.meets:
            yield _outside(recipe, bolt, near, growth_to_cover(plan.cover.profile, near.first.region))
        elif near.gap_mm < limits[near.first.name]:
            yield _near_edge(recipe, bolt, near)


def _outside(recipe: Recipe, bolt: Bolt, near: Near, over_mm: float) -> Finding:
    """Return the finding of a hole that lies outside or breaks the edge."""
    grow = recipe.cover.outer.grow_mm + over_mm
    return Finding(
        check=ID,
        code="outside",
        severity=Severity.FORBIDS,
        message=f"{bolt.name} at ({bolt.at[0]:zg}, {bolt.at[1]:zg}) reaches over the cover's edge with its hole, by "
        f"{over_mm:.2f} mm",
        feature=near.first.name,
        point_mm=bolt.at,
        face="top",
        figure=-over_mm,
        limit=0.0,
        unit="mm",
        source=GEOMETRY,
        remedy=f"set cover.outer.grow to at least {no_less(grow + recipe.limits.walls.sound.value)}, "
        f"or move the position in {bolt.path}",
        path=bolt.path,
    )


def _near_edge(recipe: Recipe, bolt: Bolt, near: Near) -> Finding:
    """Return the finding of a hole with little metal to the edge."""
    centre = near.gap_mm + bolt.hole_mm / 2.0
    to_edge, sound = recipe.limits.walls.hole_to_edge, recipe.limits.walls.sound
    limit = max(to_edge.value * bolt.hole_mm, sound.value + bolt.hole_mm / 2.0)
    grow = recipe.cover.outer.grow_mm + limit - centre
    return Finding(
        check=ID,
        code="near-edge",
        severity=Severity.WARNS,
        message=f"{bolt.name} has its centre only {centre:.2f} mm from the cover's edge",
        feature=near.first.name,
        point_mm=near.at,
        face="top",
        figure=centre,
        limit=limit,
        unit="mm",
        source=f"{to_edge.value:g} x hole diameter: {to_edge.told_source}",
        remedy=f"set cover.outer.grow to at least {no_less(grow)}",
        path=bolt.path,
    )


CHECK = Check(
    ID,
    "bolt holes inside the cover",
    "A hole outside the cover holds nothing; one close to the edge leaves a web that tears when the bolt is tightened.",
    GEOMETRY,
    run,
    limits=("walls.sound", "walls.hole_to_edge"),
)
