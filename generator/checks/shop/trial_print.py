"""Does the trial print keep its walls when its holes are made wider?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.checks.check import Check, no_more
from generator.outline.contour import Point
from generator.part.nearness import near_features, thin_walls
from generator.part.part import Part, Plan
from generator.part.trial_print import is_widened
from generator.recipe.model import Recipe

ID = "trial-print"
LEAST_MM = 0.01
"""An allowance smaller than this is none."""


@frozen_record
class _Wall:
    """A wall that the allowance makes thinner, mm: how thick it is, and what share of the allowance it loses."""

    feature: str
    to: str
    wall_mm: float
    share: float
    at: Point

    def most_mm(self, sound_mm: float) -> float:
        """Return the largest allowance that leaves ``sound_mm`` of it."""
        return (self.wall_mm - sound_mm) / self.share


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``walls-eaten`` for the wall that stands the least allowance, if the recipe's is larger."""
    allowance, sound = recipe.trial_print.holes, recipe.limits.walls.sound
    if allowance == 0.0:
        return
    walls = [w for part in plan.parts for w in _walls(part, sound.value + allowance)]
    if not walls:
        return
    worst = min(walls, key=lambda w: w.most_mm(sound.value))
    most, left = worst.most_mm(sound.value), worst.wall_mm - worst.share * allowance
    if most > allowance - MODEL.same_mm:
        return
    what = f"{left:.2f} mm are left" if left > 0.0 else f"nothing is left, {-left:.2f} mm less than that,"
    yield Finding(
        check=ID,
        code="walls-eaten",
        severity=Severity.WARNS,
        message=f"holes wider by {allowance:g} mm: of the wall of {worst.wall_mm:.2f} mm from {worst.feature} to "
        f"{worst.to} {what} in the trial print",
        feature=worst.feature,
        point_mm=worst.at,
        face="top",
        figure=left,
        limit=sound.value,
        unit=sound.unit,
        source=sound.told_source,
        remedy=f"set trial_print.holes to at most {no_more(most)}"
        if most >= LEAST_MM
        else "set trial_print.holes to 0 and drill the print's holes to size",
        path="trial_print.holes",
    )


def _walls(part: Part, limit_mm: float) -> Iterator[_Wall]:
    """Yield the walls thinner than ``limit_mm`` beside what is widened; what meets in the part has none."""
    wide = [f for f in part.features if is_widened(f)]
    for near in thin_walls(part.profile, wide, limit_mm):
        if not near.meets:
            yield _Wall(near.first.name, "the outline", near.gap_mm, 0.5, near.at)
    for near in near_features(wide, part.features, limit_mm):
        other = next(f for f in part.features if f.name == near.second)
        is_beside = near.first.z_from_mm < other.z_to_mm and other.z_from_mm < near.first.z_to_mm
        if is_beside and not near.meets:
            share = 1.0 if is_widened(other) else 0.5
            yield _Wall(near.first.name, near.second, near.gap_mm, share, near.at)


CHECK = Check(
    ID,
    "walls of the trial print",
    "The allowance for holes of a printer is taken from the walls beside them: half of it towards the outline, all of "
    "it between two holes. Where it is larger than the wall, two holes run into one another, or out of the edge, and "
    "the print shows another part than the one that is milled.",
    "geometry; the thinnest sound wall as in metal: common practice, no source",
    run,
    formula="wall - trial_print.holes / 2 to the outline, wall - trial_print.holes between two holes, >= limit",
    limits=("walls.sound",),
)
