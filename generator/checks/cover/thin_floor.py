"""Is there a floor between the inlay pockets and the bottom pocket?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less, no_more, thicker
from generator.outline.measure import bounds
from generator.part.describe import floor_left_mm
from generator.part.part import Feature, Plan
from generator.recipe.model import Recipe

ID = "thin-floor"
LEAST_MM = 0.1
"""A pocket that would have to be shallower than this to leave a floor is no remedy (our own choice)."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``broken-through`` or ``thin`` for the floor under every inlay pocket."""
    for pocket in plan.cover.features:
        if pocket.is_top_recess:
            left = min(floor_left_mm(plan.cover, pocket), pocket.z_from_mm)
            if left < recipe.limits.walls.sound.value:
                yield _finding(recipe, plan, pocket, left)


def _finding(recipe: Recipe, plan: Plan, pocket: Feature, left: float) -> Finding:
    """Return the finding of a floor that is thin or not there."""
    broken = left <= 0.0
    message = f"is cut through: {-left:.3f} mm too deep" if broken else f"has only {left:.3f} mm of floor left"
    missing = recipe.limits.walls.sound.value - left
    return Finding(
        check=ID,
        code="broken-through" if broken else "thin",
        severity=Severity.FORBIDS if broken else Severity.WARNS,
        message=f"{pocket.name} {message}",
        feature=pocket.name,
        point_mm=bounds(pocket.region).centre,
        face="top",
        figure=left,
        limit=0.0 if broken else recipe.limits.walls.sound.value,
        unit="mm",
        source=GEOMETRY if broken else recipe.limits.walls.sound.told_source,
        remedy=thicker(recipe, plan, plan.cover.thickness_mm + missing) + _shallower(recipe, pocket, missing),
        path=pocket.path,
    )


def _shallower(recipe: Recipe, pocket: Feature, by_mm: float) -> str:
    """Return the edit that makes a pocket shallower by so much, after an ``or``; empty if none leaves one."""
    group, _, name = pocket.path.rpartition(".")
    if group == "cover.engravings":
        depth = recipe.cover.engravings[name].depth - by_mm
        return f", or set {pocket.path}.depth to at most {no_more(depth)}" if depth > LEAST_MM else ""
    inlay = recipe.inlays[name]
    without = "" if inlay.pocket_depth is None else f" without {pocket.path}.pocket_depth"
    if inlay.sits == "recessed" and inlay.by >= by_mm:
        return f", or set {pocket.path}.by to at most {no_more(inlay.by - by_mm)}{without}"
    if inlay.sits == "proud" and inlay.stock.thickness - inlay.by - by_mm > LEAST_MM:
        return f", or set {pocket.path}.by to at least {no_less(inlay.by + by_mm)}{without}"
    thickness = inlay.stock.thickness + (inlay.by if inlay.sits == "recessed" else -inlay.by) - by_mm
    if inlay.sits == "proud" or thickness <= LEAST_MM:
        return ""
    if inlay.sits == "recessed":
        without = f" with {pocket.path}.sits at flush and without {pocket.path}.by" + without.replace("without", "and")
    return f", or set {pocket.path}.stock.thickness to at most {no_more(thickness)}{without}"


CHECK = Check(
    ID,
    "floor under the inlays",
    "Between inlay pocket and bottom pocket only a floor remains; a thin one chatters, dents and breaks through.",
    GEOMETRY,
    run,
    limits=("walls.sound",),
)
