"""Is there a tool for everything: holes, seats, the edge break, dowel holes?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.units import MODEL
from generator.checks.check import NOISE, Check, no_less, no_more
from generator.estimate.cutters import drills_of, round_features
from generator.estimate.dowel_holes import is_reamed
from generator.outline.measure import bounds
from generator.part.part import Feature, Part, Plan
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels

ID = "tools-at-hand"
CHAMFER, REAMER, END_MILL = "chamfer cutter", "reamer", "end mill"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``nothing-fits``, ``no-chamfer-cutter``, ``small-chamfer-cutter`` and ``no-reamer``.

    A recipe that names no tools at all is not asked.
    """
    if recipe.tools:
        for part, feature, diameter in round_features(plan):
            yield from _hole(recipe, part, feature, diameter)
        yield from _chamfers(recipe, plan)
        yield from _reamer(recipe, plan)


def _of_kind(recipe: Recipe, kind: str) -> list[float]:
    return sorted(t.diameter for t in recipe.tools.values() if t.kind == kind)


def _hole(recipe: Recipe, part: Part, f: Feature, diameter_mm: float) -> Iterator[Finding]:
    """Yield ``nothing-fits`` for a round hole or recess that no tool at hand makes."""
    mills, share = _of_kind(recipe, END_MILL), recipe.limits.cutting.mill_in_hole
    room = share.value * diameter_mm
    through = f.z_from_mm <= 0.0 and f.z_to_mm >= part.thickness_mm
    if not mills or any(m <= room + NOISE or abs(m - diameter_mm) <= MODEL.model_mm for m in mills):
        return
    if through and drills_of(recipe, diameter_mm):
        return
    drill = f"add a drill of {diameter_mm:g} mm to tools, or " if through else ""
    yield Finding(
        check=ID,
        code="nothing-fits",
        severity=Severity.WARNS,
        message=f"no tool makes {f.name}, {diameter_mm:g} mm in diameter: there is no drill of that size, and the "
        f"smallest end mill, {mills[0]:g} mm, cannot go round in it",
        feature=f.name,
        point_mm=bounds(f.region).centre,
        face=f.face.value,
        figure=mills[0],
        limit=room,
        unit="mm",
        source=f"share of the hole's diameter: {share.told_source}",
        remedy=f"{drill}add an end mill of at most {no_more(room)} to tools",
        path="tools",
    )


def _chamfers(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``no-chamfer-cutter`` or ``small-chamfer-cutter`` for the edge break and countersinks."""
    cones = [f for f in plan.cover.features if f.flare_mm]
    widest = max([plan.cover.rim_break_mm, *(f.flare_mm for f in cones)])
    if widest <= 0.0:
        return
    cutters = _of_kind(recipe, CHAMFER)
    what = " and ".join((["the edge break"] if plan.cover.rim_break_mm else []) + (["countersinks"] if cones else []))
    if not cutters:
        yield _chamfer(
            "no-chamfer-cutter",
            Severity.NOTES,
            f"tools name no chamfer cutter for {what}, {widest:g} mm wide",
            f"add a chamfer cutter of 90°, at least {no_less(2.0 * widest)} in diameter, to tools; or set "
            "cover.edge_break to 0 mm and break the edge by hand",
        )
    elif cutters[-1] < 2.0 * widest - NOISE:
        yield _chamfer(
            "small-chamfer-cutter",
            Severity.WARNS,
            f"the largest chamfer cutter, {cutters[-1]:g} mm, is too small for {what}, {widest:g} mm wide",
            f"add a chamfer cutter of at least {no_less(2.0 * widest)} to tools",
            (cutters[-1], 2.0 * widest),
        )


def _chamfer(
    code: str, severity: Severity, message: str, remedy: str, held: tuple[float, float] | None = None
) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature="edge-break",
        face="top",
        figure=held[0] if held else None,
        limit=held[1] if held else None,
        unit="mm" if held else "",
        source=GEOMETRY,
        remedy=remedy,
        path="tools",
    )


def _reamer(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``no-reamer`` where dowel holes of a fine class have none."""
    dowels = recipe.dowels
    if not isinstance(dowels, Dowels) or not plan.blank.dowel_holes or not is_reamed(recipe):
        return
    near = recipe.limits.cutting.drill_fits.value + NOISE
    if any(abs(d - dowels.diameter) <= near for d in _of_kind(recipe, REAMER)):
        return
    yield Finding(
        check=ID,
        code="no-reamer",
        severity=Severity.NOTES,
        message=f"dowel holes of {dowels.diameter:g} mm {dowels.fit} want a reamer, and tools name none of that size; "
        "what a drill makes is some tenths wider",
        feature="dowel-holes",
        source="common practice, no source",
        remedy=f"add a reamer of {dowels.diameter:g} mm to tools, or leave it and check the pins for play",
        path="tools",
    )


CHECK = Check(
    ID,
    "a tool for everything",
    "A tool that is missed at the machine costs the evening: a hole that nothing makes, an edge break without a "
    "chamfer cutter.",
    GEOMETRY,
    run,
    formula="holes: a drill of about the diameter, an end mill of just the diameter or of a share of it; chamfers: a "
    "cutter twice as wide as the chamfer",
    limits=("cutting.mill_in_hole", "cutting.drill_fits"),
)
