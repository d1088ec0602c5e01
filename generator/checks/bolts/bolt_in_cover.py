"""Do the bolt holes lie inside the cover, far enough from its edge?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less
from generator.part.nearness import Near, growth_to_cover, thin_walls
from generator.part.notches import notch_at
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
            yield _outside(recipe, plan, bolt, near, growth_to_cover(plan.cover.profile, near.first.region))
        elif near.gap_mm < limits[near.first.name]:
            yield _near_edge(recipe, plan, bolt, near)


def _outside(recipe: Recipe, plan: Plan, bolt: Bolt, near: Near, over_mm: float) -> Finding:
    """Return the finding of a hole that lies outside or breaks the edge."""
    needed = over_mm + recipe.limits.walls.sound.value
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
        remedy=f"{_edge_edit(recipe, plan, near, recipe.limits.walls.sound.value, needed)}, "
        f"or move the position in {bolt.path}",
        path=bolt.path,
    )


def _near_edge(recipe: Recipe, plan: Plan, bolt: Bolt, near: Near) -> Finding:
    """Return the finding of a hole with little metal to the edge."""
    centre = near.gap_mm + bolt.hole_mm / 2.0
    to_edge, sound = recipe.limits.walls.hole_to_edge, recipe.limits.walls.sound
    limit = max(to_edge.value * bolt.hole_mm, sound.value + bolt.hole_mm / 2.0)
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
        remedy=_edge_edit(recipe, plan, near, limit - bolt.hole_mm / 2.0, limit - centre),
        path=bolt.path,
    )


def _edge_edit(recipe: Recipe, plan: Plan, near: Near, wall_mm: float, needed_mm: float) -> str:
    """Return the edit that leaves more to the edge: of the opening that notches it there, else of the outer shape."""
    notch = notch_at(plan, near.first.region, wall_mm)
    if notch is not None:
        return f"move or shrink {notch.path}, which notches the edge there, by at least {no_less(needed_mm)}"
    return f"set cover.outer.grow to at least {no_less(recipe.cover.outer.grow_mm + needed_mm)}"


CHECK = Check(
    ID,
    "bolt holes inside the cover",
    "A hole outside the cover holds nothing; one close to the edge leaves a web that tears when the bolt is tightened.",
    GEOMETRY,
    run,
    limits=("walls.sound", "walls.hole_to_edge"),
)
