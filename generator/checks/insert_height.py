"""Does each insert lie as it is said to lie when the plate is not as thick as its name says?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import OWN, SITS_WITHIN
from generator.checks.check import Check
from generator.outline.measure import centroid
from generator.part.heights import level
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe
from generator.recipe.model_inlay import Inlay

ID = "insert-height"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``too-high`` or ``too-low`` for every insert whose face misses the height that the recipe asks for."""
    for insert in plan.inserts:
        name = insert.name.removeprefix("insert-")
        inlay = recipe.inlays[name]
        stands = level(insert.seat_z_mm + insert.thickness_mm - plan.cover.thickness_mm)
        asked = {"flush": 0.0, "proud": inlay.by, "recessed": -inlay.by}[inlay.sits]
        if abs(stands - asked) > SITS_WITHIN.value and insert.profile:
            yield _finding(recipe, inlay, name, insert, stands, stands - asked)


def _finding(recipe: Recipe, inlay: Inlay, name: str, insert: Part, stands: float, off: float) -> Finding:
    """Return the finding of an insert that stands ``off`` mm higher than asked for."""
    stock = recipe.cover.stock
    asked = f"{inlay.sits} by {inlay.by:g} mm" if inlay.by else inlay.sits
    how = "lies flush" if stands == 0.0 else f"stands {abs(stands):.3f} mm {'proud' if stands > 0.0 else 'recessed'}"
    return Finding(
        check=ID,
        code="too-high" if off > 0.0 else "too-low",
        severity=Severity.WARNS,
        message=f"insert {name} {how}, not {asked}: depths are held from the bottom face of stock that measures "
        f"{stock.measured:g} mm instead of {stock.thickness:g} mm",
        feature=insert.name,
        point_mm=centroid(insert.profile),
        face="top",
        figure=abs(off),
        limit=SITS_WITHIN.value,
        unit="mm",
        source=SITS_WITHIN.source,
        remedy="set cover.stock.depths_from to `own face` (then the floor between the pockets takes the error of "
        f"{abs(off):.3f} mm), or cut the insert from a sheet of {inlay.stock.thickness - off:.3f} mm",
        path=f"inlays.{name}.sits",
    )


CHECK = Check(
    ID,
    "inserts at the height that was asked for",
    "An insert that is to be flush shows a step of a few hundredths to the finger, and a proud one catches.",
    OWN,
    run,
)
