"""Do the bolts go through the original?"""

from __future__ import annotations

from collections.abc import Iterator
from math import dist, hypot

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.outline.distance import point_distance
from generator.outline.measure import bounds
from generator.outline.predicates import Side, contains_point
from generator.outline.region import Region
from generator.outline.transform import moved
from generator.part.clearing import COMPASS, Room, halved
from generator.part.nearness import growth_to_cover, wall_mm
from generator.part.part import Bolt, Plan
from generator.part.relation import meets
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import COVER_ONLY

ID = "bolt-in-footprint"
STEPS = 64
HALVINGS = 24


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``not-through`` or ``over-edge`` for every bolt that misses the original or hangs over its edge."""
    holes = {f.name: f.region for f in plan.cover.features}
    own = {f"original.bolts[{i}]" for i, g in enumerate(recipe.original.bolts) if g.holds == COVER_ONLY}
    for bolt in plan.bolts:
        region: Region = holes[f"hole-{bolt.name}"]
        misses = contains_point(plan.footprint, bolt.at) is Side.OUTSIDE
        _, at, over = wall_mm(plan.footprint, region)
        if not misses and not over:
            continue
        if bolt.path in own and not meets(plan.footprint, region):
            continue  # a screw of the cover's own may stand beside the original, but not half on its edge
        misses = misses and bolt.path not in own
        beyond = _beyond_mm(plan, bolt, region, misses)
        yield Finding(
            check=ID,
            code="not-through" if misses else "over-edge",
            severity=Severity.WARNS,
            message=(
                f"{bolt.name} at ({bolt.at[0]:zg}, {bolt.at[1]:zg}) "
                + (
                    f"does not go through the original: {beyond:.2f} mm beside it"
                    if misses
                    else f"has a hole that hangs {beyond:.2f} mm over the original's edge"
                )
            ),
            feature=f"hole-{bolt.name}",
            point_mm=bolt.at if misses else at,
            face="bottom",
            figure=-beyond,
            limit=0.0,
            unit="mm",
            source=GEOMETRY,
            remedy=f"{_move(plan, bolt, region)} or correct original.footprint",
            path=bolt.path,
        )


def _beyond_mm(plan: Plan, bolt: Bolt, hole: Region, misses: bool) -> float:
    """Return how far the bolt's middle lies beside the original, or else how far its hole hangs over, mm."""
    if misses:
        return point_distance(plan.footprint, bolt.at).distance_mm
    return growth_to_cover(plan.footprint, hole)


def _move(plan: Plan, bolt: Bolt, hole: Region) -> str:
    """Return how far the bolt must go until its hole lies in the original, tried; else that no way was found."""
    inside = Room(plan.footprint, (), 0.0)
    near = point_distance(plan.footprint, bolt.at).point
    box = bounds(plan.footprint)
    far = hypot(box.width_mm, box.height_mm) + dist(bolt.at, near)
    ways = [*COMPASS, *(_towards(bolt.at, p) for p in (near, box.centre) if dist(bolt.at, p) > MODEL.same_mm)]

    def does(way: tuple[float, float], by: float) -> bool:
        return inside.is_held(moved(hole, way[0] * by, way[1] * by))

    found = []
    for way in ways:
        good = next((t for t in (far * k / STEPS for k in range(1, STEPS + 1)) if does(way, t)), None)
        if good is not None:
            found.append(halved(good, good - far / STEPS, lambda t, way=way: does(way, t), HALVINGS))  # type: ignore[misc]
    if not found:
        return f"take a smaller hole in {bolt.path} that the original holds,"
    return f"move the position in {bolt.path} by at least {no_less(min(found))} towards the footprint,"


def _towards(a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float]:
    """Return the direction from one point to another."""
    far = dist(a, b)
    return ((b[0] - a[0]) / far, (b[1] - a[1]) / far)


CHECK = Check(
    ID,
    "bolts through the original",
    "The bolts hold cover and original together; a bolt beside the original clamps a hollow cover against nothing.",
    GEOMETRY,
    run,
)
