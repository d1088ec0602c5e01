"""Does each insert lie as it is said to lie, whatever the plate measures, and does its pocket hold it?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import OWN
from generator.base.units import MODEL
from generator.checks.check import Check, no_more
from generator.outline.measure import centroid
from generator.part.heights import level
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe, Stock
from generator.recipe.model_inlay import Inlay
from generator.recipe.model_limits import Limits

ID = "insert-height"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``too-high`` or ``too-low`` for every insert whose face misses the height that the recipe asks for.

    And ``shallow-pocket`` for one whose pocket is too shallow to hold it in place.
    """
    for insert in plan.inserts:
        name = insert.name.removeprefix("insert-")
        inlay = recipe.inlays[name]
        stands = level(insert.seat_z_mm + insert.thickness_mm - plan.cover.thickness_mm)
        asked = {"flush": 0.0, "proud": inlay.by, "recessed": -inlay.by}[inlay.sits]
        if abs(stands - asked) > recipe.limits.inserts.sits_within.value + MODEL.same_mm and insert.profile:
            yield _finding(recipe, inlay, name, insert, stands, stands - asked)
        depth = level(plan.cover.thickness_mm - insert.seat_z_mm)
        if insert.profile and depth < _least_mm(recipe.limits, insert):
            yield _shallow(recipe.limits, name, inlay, insert, depth)


def _least_mm(limits: Limits, insert: Part) -> float:
    """Return the depth of pocket that holds an insert in place, mm."""
    return min(limits.inserts.pocket_holds.value, limits.inserts.pocket_holds_share.value * insert.thickness_mm)


def _shallow(limits: Limits, name: str, inlay: Inlay, insert: Part, depth: float) -> Finding:
    """Return the finding of a pocket so shallow that the insert slips out of it."""
    least, holds = _least_mm(limits, insert), limits.inserts.pocket_holds
    by = insert.thickness_mm - least
    sits = f"set inlays.{name}.by to at most {no_more(by)}"
    if inlay.pocket_depth is not None:
        sits += f" without inlays.{name}.pocket_depth"
    plate = "set cover.stock.depths_from to `own face`: measured from the top face the pocket keeps its depth"
    as_asked = inlay.stock.thickness - inlay.by if inlay.sits == "proud" else inlay.stock.thickness
    return Finding(
        check=ID,
        code="shallow-pocket",
        severity=Severity.WARNS,
        message=f"inlay-pocket-{name} is only {depth:.4g} mm deep: insert {name} of {insert.thickness_mm:g} mm slips "
        "out of it",
        feature=f"inlay-pocket-{name}",
        point_mm=centroid(insert.profile),
        face="top",
        figure=depth,
        limit=least,
        unit="mm",
        source=f"{holds.value:g} mm or {limits.inserts.pocket_holds_share.value:.2g} of the insert, whichever is less: "
        f"{holds.told_source}",
        remedy=sits if as_asked < least else plate,
        path=f"inlays.{name}.by" if as_asked < least else "cover.stock.depths_from",
    )


def _finding(recipe: Recipe, inlay: Inlay, name: str, insert: Part, stands: float, off: float) -> Finding:
    """Return the finding of an insert that stands ``off`` mm higher than asked for."""
    asked = f"{inlay.sits} by {inlay.by:g} mm" if inlay.by else inlay.sits
    how = "lies flush" if stands == 0.0 else f"stands {abs(stands):.3f} mm {'proud' if stands > 0.0 else 'recessed'}"
    return Finding(
        check=ID,
        code="too-high" if off > 0.0 else "too-low",
        severity=Severity.WARNS,
        message=f"insert {name} {how}, not {asked}: {_why(recipe.cover.stock)}",
        feature=insert.name,
        point_mm=centroid(insert.profile),
        face="top",
        figure=abs(off),
        limit=recipe.limits.inserts.sits_within.value,
        unit="mm",
        source=recipe.limits.inserts.sits_within.told_source,
        remedy="set cover.stock.depths_from to `own face` (then the floor between the pockets takes the error of "
        f"{abs(off):.3f} mm), or cut the insert from a sheet of {inlay.stock.thickness - off:.3f} mm",
        path=f"inlays.{name}.sits",
    )


def _why(stock: Stock) -> str:
    """Return in words what moves the insert from where it was to lie."""
    if stock.measured is None:
        return f"depths are held from the {stock.depths_from} of stock of {stock.thickness:g} mm"
    return (
        f"depths are held from the {stock.depths_from} of stock that measures {stock.measured:g} mm instead of "
        f"{stock.thickness:g} mm"
    )


CHECK = Check(
    ID,
    "inserts at the height that was asked for",
    "An insert that is to be flush shows a step of a few hundredths to the finger, and a proud one catches.",
    OWN,
    run,
    limits=("inserts.sits_within", "inserts.pocket_holds", "inserts.pocket_holds_share"),
)
