"""Do the features make a body at all? Catches whatever the special checks do not name."""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.errors import GeometryError
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check
from generator.part.part import Plan
from generator.part.slabs import slabs
from generator.part.tapers import rim_fault, taper_fault
from generator.recipe.model import Recipe

ID = "can-be-built"


def run(_recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``no-body`` for a part whose features run into each other, ``nothing-left`` for one that is cut away."""
    for part in plan.parts:
        if not part.profile:
            continue  # told by the check of its gap
        try:
            stack = slabs(part)
            if not stack:
                code, message, at = "nothing-left", f"nothing is left of {part.name}", None
            elif (fault := taper_fault(stack)) and not rim_fault(
                part, part.rim_break_mm
            ):  # the rim's is told by its check
                code, message, at = "no-body", f"{part.name} cannot be built: {fault}", fault.point_mm
            else:
                continue
        except GeometryError as error:
            code, message, at = "no-body", f"{part.name} cannot be built: {error}", error.point_mm
        yield Finding(
            check=ID,
            code=code,
            severity=Severity.FORBIDS,
            message=message,
            feature=part.name,
            point_mm=at,
            face="top",
            source=GEOMETRY,
            remedy="mend the other findings at this place first; else move or shrink one of the two by 1 mm",
            path="cover" if part.name == "cover" else f"inlays.{part.name.removeprefix('insert-')}",
        )


CHECK = Check(
    ID,
    "features that make a body",
    "Every solid, layer and figure follows from the same sections; where they cannot be drawn nothing can be proven.",
    GEOMETRY,
    run,
)
