"""Are inside corners of the plate round enough for their depth?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.checks.check import NOISE, Check, no_less
from generator.estimate.cutters import Deep, deep_cuts
from generator.outline.narrow import narrowest
from generator.outline.region import Region
from generator.part.part import Plan
from generator.part.rounder import rounded_by, takes_cutter
from generator.recipe.model import Recipe

ID = "corner-to-depth"
DEEP = ("bottom-pocket", "outer-profile", "opening")
"""What goes deep into the plate; artwork and inlay pockets are shallow, and other checks hold them against cutters."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``tight`` for deep inside corners of a smaller radius than is advised for their depth."""
    share = recipe.limits.cutting.corner_radius.value
    for deep in deep_cuts(recipe, plan):
        wanted = share * deep.depth_mm
        if deep.part == "cover" and deep.feature.startswith(DEEP) and deep.radius_mm < wanted - NOISE:
            yield _finding(recipe, plan, deep, wanted)


def _finding(recipe: Recipe, plan: Plan, deep: Deep, wanted_mm: float) -> Finding:
    limit = recipe.limits.cutting.corner_radius
    return Finding(
        check=ID,
        code="tight",
        severity=Severity.NOTES,
        message=f"the tightest inside corner of {deep.feature} has a radius of {deep.radius_mm:.3g} mm at a depth of "
        f"{deep.depth_mm:.4g} mm: a thin cutter works there over its full depth; take light passes",
        feature=deep.feature,
        point_mm=deep.at,
        face=deep.face.value,
        figure=deep.radius_mm,
        limit=wanted_mm,
        unit="mm",
        source=limit.told_source,
        remedy=_rounder(recipe, plan, deep, wanted_mm),
        path=deep.path,
    )


def _rounder(recipe: Recipe, plan: Plan, deep: Deep, wanted_mm: float) -> str:
    """Return the edit, tried: of the bottom pocket the clearance decides, for the original is as it is."""
    if deep.feature == "bottom-pocket":
        around = recipe.clearance.around + wanted_mm - deep.drawn_mm
        return f"set clearance.around to at least {no_less(around)}, or leave it"
    slot = None if deep.outline else narrowest(deep.region)
    if slot is not None and slot.width_mm < 2.0 * wanted_mm:
        return f"leave it: corners of {no_less(wanted_mm)} have no room in {slot.width_mm:.4g} mm of width"
    wanted = float(no_less(wanted_mm).partition(" ")[0])

    def does(region: Region) -> bool:
        return takes_cutter(region, wanted_mm, outside=deep.outline)

    edit = rounded_by(recipe, plan, deep.path, wanted, does, deep.at)
    if edit:
        return f"{edit}, or leave it"
    return f"leave it: no key alone rounds this corner; {deep.path} drawn with inside corners of {wanted:g} mm would"


CHECK = Check(
    ID,
    "deep corners round enough",
    "The radius of a deep inside corner decides how thin a cutter has to be there, and so how long it takes and how "
    "clean it comes out.",
    "common practice, printed (inside corner radius at least a third of the depth)",
    run,
    formula="radius of the tightest inside corner that is left, against a share of the depth",
    limits=("cutting.corner_radius",),
)
