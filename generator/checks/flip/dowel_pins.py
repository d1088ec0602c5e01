"""Can the dowel pins be bought, does the plate hold them, is their play known?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from generator.base.finding import Finding, Severity
from generator.base.limits_and_fits import INCH_PINS, ISO_PINS_MM
from generator.base.units import MM_PER_INCH, MODEL
from generator.checks.check import NOISE, Check, no_less, thicker
from generator.estimate.cutters import net_depth_mm
from generator.estimate.flip import play_mm
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.part.part import Plan
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels

ID = "dowel-pins"
ISO, INCH = "ISO 2338 and ISO 8734, diameters partly from memory", "ASME B18.8.2, from memory"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``odd-size``, ``short-hold``, ``unknown-fit`` and ``loose`` about the pins."""
    dowels = recipe.dowels
    if not isinstance(dowels, Dowels) or not plan.blank.dowel_holes:
        return
    yield from _size(dowels)
    yield from _hold(recipe, dowels, plan)
    play = play_mm(dowels)
    if play is not None and play / 2.0 > recipe.tolerances.flip + NOISE:
        yield _loose(recipe, dowels, play)
    if play is None:
        yield Finding(
            check=ID,
            code="unknown-fit",
            severity=Severity.NOTES,
            message=f"the play of pins {dowels.pins} in holes {dowels.fit} of {dowels.diameter:g} mm is not in the "
            "tables: the error of the flip is reckoned without it",
            feature="dowel-holes",
            source="ISO 286-2: holes H5 to H11, up to 50 mm",
            remedy="set dowels.fit to H7",
            path="dowels.fit",
        )


def _loose(recipe: Recipe, dowels: Dowels, play_mm: float) -> Finding:
    """Return the finding of pins whose play alone is more than the flip may be off."""
    return Finding(
        check=ID,
        code="loose",
        severity=Severity.WARNS,
        message=f"pins {dowels.pins} in holes {dowels.fit} of {dowels.diameter:g} mm have up to {play_mm:.3f} mm of "
        f"play: the blank shifts by {play_mm / 2.0:.4f} mm either way at each, more than tolerances.flip says",
        feature="dowel-holes",
        figure=play_mm / 2.0,
        limit=recipe.tolerances.flip,
        unit="mm",
        source="ISO 286-1 and -2, cross-checked",
        remedy=_tighter(recipe, dowels)
        + f"set tolerances.flip to at least {no_less(play_mm / 2.0)}; that says what is so",
        path="dowels.fit",
    )


def _tighter(recipe: Recipe, dowels: Dowels) -> str:
    """Return the edit to ground pins in reamed holes, where those have little enough play; else nothing."""
    play = play_mm(replace(dowels, fit="H7", pins="m6"))
    mends = play is not None and play / 2.0 <= recipe.tolerances.flip + NOISE
    return "set dowels.fit to H7 with dowels.pins at m6, or " if mends else ""


def _size(dowels: Dowels) -> Iterator[Finding]:
    """Yield ``odd-size`` for pins that are not sold."""
    sizes = sorted((*ISO_PINS_MM, *(MM_PER_INCH * d for d in INCH_PINS)))
    nearest = min(sizes, key=lambda d: abs(d - dowels.diameter))
    if abs(nearest - dowels.diameter) <= MODEL.model_mm:
        return
    metric = min(ISO_PINS_MM, key=lambda d: abs(d - dowels.diameter))
    yield Finding(
        check=ID,
        code="odd-size",
        severity=Severity.NOTES,
        message=f"dowel pins of {dowels.diameter:g} mm are no standard size, metric or inch",
        feature="dowel-holes",
        figure=dowels.diameter,
        limit=float(metric),
        unit="mm",
        source=f"{ISO}; {INCH}",
        remedy=f"set dowels.diameter to {metric:g} mm, or leave it if the pins are turned to size",
        path="dowels.diameter",
    )


def _hold(recipe: Recipe, dowels: Dowels, plan: Plan) -> Iterator[Finding]:
    """Yield ``short-hold`` where the blank is thin for its pins."""
    limit = recipe.limits.flip.dowel_hold
    inside = [f for f in plan.cover.features if f.layer == "dowel-holes"]
    thinnest = min(inside, key=lambda f: net_depth_mm(plan.cover, f), default=None)
    held = net_depth_mm(plan.cover, thinnest) if thinnest else plan.blank.thickness_mm
    ratio = held / dowels.diameter
    if ratio >= limit.value - NOISE:
        return
    thickness = recipe.cover.stock.thickness + limit.value * dowels.diameter - held
    where = bounds(thinnest.region if thinnest else Region((plan.blank.dowel_holes.contours[0],))).centre
    over = "" if held >= plan.blank.thickness_mm - NOISE else " over the bottom pocket"
    yield Finding(
        check=ID,
        code="short-hold",
        severity=Severity.WARNS,
        message=f"the blank is {held:.4g} mm thick{over} and holds pins of {dowels.diameter:g} mm by only {ratio:.2f} "
        "diameters: it can tip on them",
        feature="dowel-holes",
        point_mm=where,
        face="bottom",
        figure=ratio,
        limit=limit.value,
        unit=limit.unit,
        source=limit.told_source,
        remedy=f"{_thinner(dowels, held / limit.value)}{thicker(recipe, plan, thickness)}",
        path="dowels.diameter",
    )


def _thinner(dowels: Dowels, most_mm: float) -> str:
    """Return the edit that takes the next smaller pin that is made, with an ``or``; empty if none is thin enough."""
    inch = not any(abs(d - dowels.diameter) < NOISE for d in ISO_PINS_MM)
    sizes = [MM_PER_INCH * d for d in INCH_PINS] if inch else list(ISO_PINS_MM)
    fits = max((d for d in sizes if d <= most_mm + NOISE), default=0.0)
    return f"set dowels.diameter to {fits:.6g} mm, or " if fits else ""


CHECK = Check(
    ID,
    "dowel pins",
    "A pin that cannot be bought is turned to size by hand, and then the fit is a guess; a pin that a thin plate "
    "hardly holds does not keep it upright.",
    f"{ISO}; {INCH}",
    run,
    formula="thickness of the blank over the pin's diameter; half the greatest clearance of hole and pin against "
    "tolerances.flip",
    limits=("flip.dowel_hold",),
)
