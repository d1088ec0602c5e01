"""Is there a floor between the inlay pockets and the bottom pocket?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY, SOUND_WALL
from generator.checks.check import Check, no_less
from generator.outline.measure import bounds
from generator.part.describe import floor_left_mm
from generator.part.part import Feature, Plan
from generator.recipe.model import Recipe

ID = "thin-floor"


def run(_recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``broken-through`` or ``thin`` for the floor under every inlay pocket."""
    for pocket in plan.cover.features:
        if pocket.is_top_recess:
            left = min(floor_left_mm(plan.cover, pocket), pocket.z_from_mm)
            if left < SOUND_WALL.value:
                yield _finding(plan, pocket, left)


def _finding(plan: Plan, pocket: Feature, left: float) -> Finding:
    """Return the finding of a floor that is thin or not there."""
    broken = left <= 0.0
    message = f"is cut through: {-left:.3f} mm too deep" if broken else f"has only {left:.3f} mm of floor left"
    shallower = f"{pocket.path}.{'depth' if pocket.layer.startswith('engraving') else 'stock.thickness'}"
    thickness = plan.cover.thickness_mm + SOUND_WALL.value - left
    return Finding(
        check=ID,
        code="broken-through" if broken else "thin",
        severity=Severity.FORBIDS if broken else Severity.WARNS,
        message=f"{pocket.name} {message}",
        feature=pocket.name,
        point_mm=bounds(pocket.region).centre,
        face="top",
        figure=left,
        limit=0.0 if broken else SOUND_WALL.value,
        unit="mm",
        source=GEOMETRY if broken else SOUND_WALL.source,
        remedy=f"set cover.stock.thickness to at least {no_less(thickness)}, or {shallower} lower by "
        f"{no_less(SOUND_WALL.value - left)}",
        path=pocket.path,
    )


CHECK = Check(
    ID,
    "floor under the inlays",
    "Between inlay pocket and bottom pocket only a floor remains; a thin one chatters, dents and breaks through.",
    SOUND_WALL.source,
    run,
)
