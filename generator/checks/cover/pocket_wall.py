"""Is there a wall between the bottom pocket and what is cut beside it?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.remedy import no_less
from generator.checks.check import Check
from generator.fit.pocket_wall_edits import edits_of
from generator.part.part import Plan
from generator.part.pocket_walls import PocketWall, pocket_walls
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import COVER_ONLY

ID = "pocket-wall"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``breaks-in``, ``wall-too-thin`` or ``thin-wall`` for every cut beside the bottom pocket."""
    own = frozenset(f"original.bolts[{i}]" for i, g in enumerate(recipe.original.bolts) if g.holds == COVER_ONLY)
    for wall in pocket_walls(plan, own, recipe.limits.walls.sound.value):
        yield _finding(recipe, plan, wall)


def _finding(recipe: Recipe, plan: Plan, wall: PocketWall) -> Finding:
    """Return the finding of a wall that is thin or not there."""
    walls, cut = recipe.limits.walls, wall.cut
    forbids = wall.wall_mm < walls.thinnest.value
    limit = walls.thinnest if forbids else walls.sound
    breaks_in = wall.wall_mm == 0.0
    what = "breaks into it" if breaks_in else f"leaves a wall of only {wall.wall_mm:.3f} mm to it"
    advice = f"move {cut.path} at least {no_less(walls.sound.value - wall.wall_mm)} away from the bottom pocket"
    return Finding(
        check=ID,
        code="breaks-in" if breaks_in else "wall-too-thin" if forbids else "thin-wall",
        severity=Severity.FORBIDS if forbids else Severity.WARNS,
        message=f"{cut.name} stands beside the bottom pocket and {what}",
        feature=cut.name,
        point_mm=wall.at,
        face="bottom",
        figure=wall.wall_mm,
        limit=0.0 if breaks_in else limit.value,
        unit="mm",
        source=GEOMETRY if breaks_in else limit.told_source,
        remedy=", or ".join(edits_of(recipe, plan, wall)) or advice,
        path=cut.path,
    )


CHECK = Check(
    ID,
    "walls beside the bottom pocket",
    "A wall thinner than a cutter's deflection tears or bends; it opens the pocket to a hole, a seat or the outside.",
    GEOMETRY,
    run,
    formula="the least distance in space from the bottom pocket to each other cut: beside it over the heights that "
    "both have, obliquely above its edge where the cut begins higher; what runs into the pocket on purpose has no "
    "wall: the original's bolts, their seats, openings over the original",
    limits=("walls.thinnest", "walls.sound"),
)
