"""Are the cutters stiff enough for the depth, and are slots wide enough for their depth?"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from generator.base.errors import GeometryError
from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.practice import STANDARD_END_MILLS_MM
from generator.checks.check import NOISE, Check, no_less
from generator.estimate.assumed_mills import LARGEST_ASSUMED_MM
from generator.estimate.cutters import Deep, deep_cuts
from generator.outline.narrow import Narrow, narrowest
from generator.outline.region import Region
from generator.part.part import Plan
from generator.part.rounder import rounded_by, takes_cutter
from generator.recipe.model import Recipe

ID = "depth-to-diameter"
POCKET = "bottom-pocket"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``narrow-slot`` where the drawing leaves no room for a stiff cutter, else ``slender`` and ``deep``.

    The stiffest end mill that goes in and reaches the floor is judged.
    """
    limits = recipe.limits.cutting
    least = min(limits.depth_good.value, limits.depth_most.value, limits.slot_depth.value)
    for deep in deep_cuts(recipe, plan):
        _, tool = deep.used
        if deep.depth_mm <= least * tool.diameter + NOISE:
            continue
        slot = _slot(deep)
        if slot and deep.depth_mm > limits.slot_depth.value * slot.width_mm + NOISE:
            yield _narrow(recipe, deep, slot, limits.slot_depth)
        elif deep.depth_mm > limits.depth_most.value * tool.diameter + NOISE:
            yield _thin(recipe, plan, deep, "slender", Severity.WARNS, limits.depth_most)
        elif deep.depth_mm > limits.depth_good.value * tool.diameter + NOISE:
            yield _thin(recipe, plan, deep, "deep", Severity.NOTES, limits.depth_good)


def _slot(deep: Deep) -> Narrow | None:
    """Return the narrowest place of a pocket; None for an outline, a round hole, or where there is no neck."""
    if deep.outline or deep.round_mm:
        return None
    try:
        return narrowest(deep.region)
    except GeometryError:
        return None


def _narrow(recipe: Recipe, deep: Deep, slot: Narrow, limit: Figure) -> Finding:
    """Return the finding of a pocket that is narrower than its depth allows."""
    ratio = deep.depth_mm / slot.width_mm
    return Finding(
        check=ID,
        code="narrow-slot",
        severity=Severity.WARNS,
        message=f"{deep.feature} is {deep.depth_mm:.4g} mm deep and {slot.width_mm:.4g} mm wide where it is narrowest, "
        f"{ratio:.1f} times as deep as wide: every cutter that goes in bends, and chips do not come out",
        feature=deep.feature,
        point_mm=slot.at,
        face=deep.face.value,
        figure=ratio,
        limit=limit.value,
        unit=limit.unit,
        source=limit.told_source,
        remedy=_wider(recipe, deep, slot.width_mm, deep.depth_mm / limit.value),
        path=deep.path,
    )


def _wider(recipe: Recipe, deep: Deep, width_mm: float, wanted_mm: float) -> str:
    """Return the edit that makes a slot wide enough; of the bottom pocket only the clearance can be another."""
    if deep.feature == POCKET:
        around = recipe.clearance.around + (wanted_mm - width_mm) / 2.0
        return f"set clearance.around to at least {no_less(around)}, or leave it and take light passes"
    times = ceil(wanted_mm / width_mm * 100.0 - NOISE) / 100.0
    return f"draw {deep.path} at least {times:g} times as wide there, {no_less(wanted_mm)}, or cut it less deep"


def _thin(recipe: Recipe, plan: Plan, deep: Deep, code: str, severity: Severity, limit: Figure) -> Finding:
    """Return the finding of a cut for which the cutter in use is slender."""
    name, tool = deep.used
    ratio = deep.depth_mm / tool.diameter
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=f"{deep.feature} is {deep.depth_mm:.4g} mm deep, {ratio:.1f} times the diameter of the stiffest end "
        f"mill that gets there, `{name}` of {tool.diameter:g} mm: {_so(severity)}",
        feature=deep.feature,
        point_mm=deep.at,
        face=deep.face.value,
        figure=ratio,
        limit=limit.value,
        unit=limit.unit,
        source=limit.told_source,
        remedy=_thicker(recipe, plan, deep, deep.depth_mm / limit.value),
        path=deep.path,
    )


def _so(severity: Severity) -> str:
    return "it bends and chatters" if severity is Severity.WARNS else "take light passes and a finishing pass"


def _thicker(recipe: Recipe, plan: Plan, deep: Deep, wanted_mm: float) -> str:
    """Return the edit that lets a stiffer cutter do it: the stiffest common one that goes in, else wider corners."""
    enough = [d for d in STANDARD_END_MILLS_MM if wanted_mm - NOISE <= d <= deep.fits_mm]
    stocked = next((d for d in enough if d <= LARGEST_ASSUMED_MM), min(enough, default=0.0))
    if stocked:
        return f"add an end mill of {stocked:g} mm, with flutes of at least {no_less(deep.depth_mm)}, to tools"
    if deep.round_mm:
        return f"add a drill of {deep.round_mm:g} mm to tools"
    if deep.feature == POCKET:
        return f"set clearance.around to at least {no_less(recipe.clearance.around + wanted_mm / 2.0 - deep.drawn_mm)}"
    radius = float(no_less(wanted_mm / 2.0).partition(" ")[0])

    def does(region: Region) -> bool:
        return takes_cutter(region, wanted_mm / 2.0, outside=deep.outline)

    edit = rounded_by(recipe, plan, deep.path, radius, does, deep.at)
    if edit:
        return f"{edit} and add an end mill of {2.0 * radius:.4g} mm to tools"
    return f"leave it, with light passes, or draw {deep.path} so wide that an end mill of {no_less(wanted_mm)} goes in"


CHECK = Check(
    ID,
    "cutters stiff enough for the depth",
    "A cutter bends with the third power of its length and the fourth of its thinness: deep narrow pockets come out "
    "tapered and chattered, and small cutters break in them.",
    "common practice, printed (depth 4 to 6 tool diameters, below 4 widths of the pocket)",
    run,
    formula="depth over the diameter of the stiffest end mill at hand that goes in; depth over the width at the "
    "narrowest place",
    limits=("cutting.depth_good", "cutting.depth_most", "cutting.slot_depth"),
)
