"""Do dowel holes stay in the face that is seen?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check
from generator.outline.measure import bounds
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "dowel-seen"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``seen`` once if dowel holes go through the finished part."""
    holes = [f for f in plan.cover.features if f.layer == "dowel-holes"]
    if not holes:
        return
    yield Finding(
        check=ID,
        code="seen",
        severity=Severity.NOTES,
        message=f"{len(holes)} dowel holes go right through the finished part and stay in its visible face",
        feature=holes[0].name,
        point_mm=bounds(holes[0].region).centre,
        face="top",
        source=GEOMETRY,
        remedy="set dowels.place to outside and leave dowels.at out, or leave them and plug them with pins cut short",
        path="dowels.place",
    )


CHECK = Check(
    ID,
    "dowel holes in the visible face",
    "Dowels in the blank beside the part leave no trace; those inside it are seen for ever.",
    GEOMETRY,
    run,
)
