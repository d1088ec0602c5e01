"""Which face of the sheet must the insert be cut from, and what becomes of its burr?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import CUSTOM
from generator.checks.check import Check
from generator.outline.measure import centroid
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

ID = "burr-side"
CLEAN = ("CuZn39Pb3 R430", "POM-C")
"""Materials that hardly burr: leaded brass, which is made to be cut, and acetal (common practice, no source)."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``props-up`` for flush inserts of tough metal, whose burr at the lower face keeps them off the floor."""
    for insert in plan.inserts:
        inlay = recipe.inlays[insert.name.removeprefix("insert-")]
        tough = insert.material.name not in CLEAN
        if insert.profile and tough and inlay.sits == "flush":
            yield _finding(recipe, insert)


def _finding(recipe: Recipe, insert: Part) -> Finding:
    """Return the note on one insert."""
    name = insert.name.removeprefix("insert-")
    return Finding(
        check=ID,
        code="props-up",
        severity=Severity.NOTES,
        message=f"insert {name} of {insert.material.name} gets a burr where the cutter comes out: cut it with the face "
        "up that will be seen, and the burr hangs on the lower edge, where it props the insert up",
        feature=insert.name,
        point_mm=centroid(insert.profile),
        face="top",
        source=CUSTOM,
        remedy=f"break its lower edge by 0.1 to 0.2 mm before it is let in, or set inlays.{name}.material to "
        "CuZn39Pb3 R430: it hardly burrs",
        path=f"inlays.{name}.material",
    )


CHECK = Check(
    ID,
    "burr of inserts",
    "Tough metals (copper, rolled brass, aluminium, stainless steel) hang over where the cutter comes out of the "
    "sheet. On the lower edge that burr is hidden, but it keeps the insert off its pocket's floor, and a flush one "
    "then stands proud.",
    CUSTOM,
    run,
)
