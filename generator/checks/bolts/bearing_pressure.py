"""Does the cover stand the pressure under the bolt heads?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.standards import WASHERS
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.estimate.bolt_edits import or_torque
from generator.estimate.joint import Joint, groups, said
from generator.estimate.preload import preload, pressure_limit
from generator.formulas.bolts import bearing_pressure
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "bearing-pressure"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``gives-way`` for every group of bolts under whose heads the cover does not stand the pressure."""
    limit = pressure_limit(recipe, plan.cover.material)
    for group in groups(recipe, plan):
        joint = next((j for j in group if not j.on_original), None)
        if limit is None or joint is None or joint.bears_mm is None or joint.bears_mm <= joint.bolt.hole_mm:
            continue
        force = preload(recipe, plan, joint)
        pressure = bearing_pressure(force, joint.bears_mm, joint.bolt.hole_mm)
        if pressure > limit.value * (1.0 + MODEL.volume_rel):
            yield _gives_way(recipe, plan, group, joint, pressure, limit)


def _gives_way(
    recipe: Recipe, plan: Plan, group: tuple[Joint, ...], joint: Joint, pressure: float, limit: Figure
) -> Finding:
    """Return the warning of metal that gives way under a head."""
    remedy = or_torque(recipe, plan, group, *_washer(recipe, plan, joint, limit))
    if plan.load_bearing and joint.in_the_joint and joint.group.torque is None and ".torque" in remedy:
        remedy += "; only the maker can allow so little"
    what = "washer" if joint.washer and not joint.is_cone else "head"
    return _finding(
        joint,
        said(group, "press", "presses")
        + f" with {pressure:.0f} MPa under the {what} on {plan.cover.material.name}: it gives way "
        "slowly, and the bolt comes loose",
        remedy,
        pressure,
        limit,
    )


def _washer(recipe: Recipe, plan: Plan, joint: Joint, limit: Figure) -> Iterator[str]:
    """Yield the edit that puts a washer under the head, if that does and it can be done."""
    row = next((w for w in WASHERS if w.thread == joint.thread.name), None)
    if row is None or joint.washer or joint.is_cone:
        return
    if bearing_pressure(preload(recipe, plan, joint), row.d2_mm, joint.bolt.hole_mm) <= limit.value:
        wider = "" if joint.seat is None else f" and set {joint.seat_path}.diameter to {_seat_for(recipe, row.d2_mm)}"
        yield f"set {joint.path}.washer to true{wider}"


def _seat_for(recipe: Recipe, washer_mm: float) -> str:
    return no_less(washer_mm + recipe.limits.bolts.washer_play.value)


def _finding(joint: Joint, message: str, remedy: str, figure: float, limit: Figure) -> Finding:
    return Finding(
        check=ID,
        code="gives-way",
        severity=Severity.WARNS,
        message=message,
        feature=joint.seat.name if joint.seat else f"hole-{joint.bolt.name}",
        point_mm=joint.bolt.at,
        face="top",
        figure=figure,
        limit=limit.value,
        unit=limit.unit,
        source=limit.told_source,
        remedy=remedy,
        path=joint.path,
    )


CHECK = Check(
    ID,
    "pressure under the bolt heads",
    "Soft plate gives way under a small head: at once with a dent, or over weeks, and the bolt loses its preload.",
    "VDI 2230: limiting pressure of the material; where no table has one, its proof strength",
    run,
    formula="p = F / (π/4 (D² - d²)), D the head's or washer's bearing diameter, d the hole",
    limits=("bolts.pressure",),
)
