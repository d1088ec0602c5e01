"""Is enough of the blank left round the cutter that goes round the part?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.errors import GeometryError
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import NOISE, Check, no_less
from generator.estimate.cutters import deep_cuts
from generator.outline.contour import Point
from generator.part.part import Plan
from generator.part.relation import gap_between
from generator.recipe.model import Recipe
from generator.recipe.model_holding import ADHESIVE, OWN_HOLES, VACUUM, Holding

ID = "blank-frame"
FREE = (ADHESIVE, VACUUM, OWN_HOLES)
"""Ways to hold the part that need nothing left of the blank."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``no-frame`` where the cutter runs out over the blank's edge, ``thin-frame`` where little is left."""
    held = recipe.holding
    if (isinstance(held, Holding) and held.by in FREE) or not plan.cover.profile:
        return
    outline = next((d for d in deep_cuts(recipe, plan) if d.feature == plan.cover.layer and d.part == "cover"), None)
    if outline is None:
        return
    name, tool = outline.used
    try:
        gap = gap_between(plan.blank.region, plan.cover.profile)
    except GeometryError:
        return
    left, limit = gap.distance_mm - tool.diameter, recipe.limits.flip.frame
    if left < limit.value - NOISE:
        at = Point((gap.on_a.x + gap.on_b.x) / 2.0, (gap.on_a.y + gap.on_b.y) / 2.0)
        yield _finding(recipe, (name, tool.diameter), left, at)


def _finding(recipe: Recipe, cutter: tuple[str, float], left_mm: float, at: Point) -> Finding:
    none, limit = left_mm <= 0.0, recipe.limits.flip.frame
    says = "nothing of the blank is left" if none else f"only {left_mm:.3g} mm of the blank are left"
    return Finding(
        check=ID,
        code="no-frame" if none else "thin-frame",
        severity=Severity.WARNS,
        message=f"round the part and the end mill `{cutter[0]}` of {cutter[1]:g} mm that goes round it {says}: neither "
        "clamps nor tabs hold on to that",
        feature="blank",
        point_mm=at,
        face="top",
        figure=left_mm,
        limit=0.0 if none else limit.value,
        unit="mm",
        source=GEOMETRY if none else limit.told_source,
        remedy=f"set cover.stock.margin to at least {no_less(recipe.cover.stock.margin + limit.value - left_mm)}",
        path="cover.stock.margin",
    )


CHECK = Check(
    ID,
    "frame left of the blank",
    "Clamps hold the blank by its rim, and tabs hang the part into it. A frame of a few tenths bends and lets go.",
    GEOMETRY,
    run,
    formula="least distance of part and blank's edge, less the cutter that goes round",
    limits=("flip.frame",),
)
