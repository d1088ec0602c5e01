"""What does tightening do to a floor that stands over a gap?"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from generator.base.finding import Finding, Severity
from generator.base.units import MODEL
from generator.checks.check import Check, thicker
from generator.estimate.bolt_edits import or_torque, through
from generator.estimate.floor import Floor, closing_force, floor_missing, floor_stress, floor_under
from generator.estimate.joint import Joint, groups, said
from generator.estimate.preload import preload
from generator.part.part import Plan
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import JOINT

ID = "floor-over-gap"
SOURCE = "Roark: round plate, clamped edge, force in its middle; von Mises"
N_PER_KN = 1000.0


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield what becomes of the floor under the heads, over the gap that ``clearance.above`` leaves.

    ``yields`` where tightening overloads it. Of bolts that hold the original: ``stands-clear`` where the floor carries
    all of the preload over the gap, so that the original is not clamped, ``bends-down`` where it bends on to it.
    """
    for group in groups(recipe, plan):
        floors = [(j, f) for j in group if (f := floor_under(plan, j)) is not None]
        if not floors:
            continue
        yield from _overloaded(recipe, plan, group, floors)
        joint, floor = min(floors, key=lambda pair: closing_force(pair[1], plan.cover.material))
        if joint.group.holds == JOINT:
            yield _clamped(recipe, plan, group, joint, floor)


def _overloaded(
    recipe: Recipe, plan: Plan, group: tuple[Joint, ...], floors: list[tuple[Joint, Floor]]
) -> Iterator[Finding]:
    """Yield the warning of a floor that tightening overloads."""
    material, share = plan.cover.material, recipe.limits.bolts.floor_stress
    if material.proof_mpa is None:
        return
    force = preload(recipe, plan, floors[0][0])
    limit = share.value * material.proof_mpa
    joint, floor = max(floors, key=lambda pair: floor_stress(pair[1], material, force))
    stress = floor_stress(floor, material, force)
    if stress <= limit * (1.0 + MODEL.volume_rel):
        return
    missing = floor_missing(floor, material, force, limit)
    deeper = thicker(recipe, plan, plan.cover.thickness_mm + missing) if missing < inf else ""
    yield _finding(
        "yields",
        Severity.WARNS,
        joint,
        said(group, "pull", "pulls")
        + f" with {force / N_PER_KN:.1f} kN on a floor of {floor.under_head_mm:.2f} mm over a gap of "
        f"{floor.gap_mm:.2f} mm: it yields",
        or_torque(recipe, plan, group, deeper),
        stress,
        limit,
        f"{share.value:g} x proof strength of {material.name} ({share.told_source})",
    )


def _clamped(recipe: Recipe, plan: Plan, group: tuple[Joint, ...], joint: Joint, floor: Floor) -> Finding:
    """Return what the bolts of the original clamp: the cover's rim alone, or the original through a bent floor."""
    closing, force = closing_force(floor, plan.cover.material), preload(recipe, plan, joint)
    remedy = f"{through(recipe, plan, [j.bolt for j in group])} so that the heads bear on the original"
    if not plan.load_bearing:
        remedy = f"keep it so if the original is held otherwise; else {remedy}"
    severity = Severity.WARNS if plan.load_bearing else Severity.NOTES
    if force < closing:
        return _finding(
            "stands-clear",
            severity,
            joint,
            said(group, "do", "does")
            + f" not clamp the original: the floor stands {floor.gap_mm:.2f} mm above it and is too "
            "stiff to come down, so the cover's rim takes the whole preload",
            remedy,
            source="geometry; " + SOURCE,
        )
    return _finding(
        "bends-down",
        severity,
        joint,
        said(group, "bend", "bends")
        + f" the floor down by {floor.gap_mm:.2f} mm before it bears on the original; that takes "
        f"{closing / N_PER_KN:.1f} of {force / N_PER_KN:.1f} kN, and the top face is left hollow",
        remedy,
        source="geometry; " + SOURCE,
    )


def _finding(
    code: str,
    severity: Severity,
    joint: Joint,
    message: str,
    remedy: str,
    figure: float | None = None,
    limit: float | None = None,
    source: str = "",
) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature=joint.seat.name if joint.seat else f"hole-{joint.bolt.name}",
        point_mm=joint.bolt.at,
        face="bottom",
        figure=figure,
        limit=limit,
        unit="MPa" if figure is not None else "",
        source=source,
        remedy=remedy,
        path=joint.path,
    )


CHECK = Check(
    ID,
    "floor over the gap above the original",
    "The bottom pocket is deeper than the original is high, so under every bolt head there is a gap. Tightening pulls "
    "the floor into it: a thin floor yields, and a stiff one carries the preload over the gap to the cover's rim, so "
    "that the original is no longer clamped at all.",
    SOURCE,
    run,
    formula="force that closes the gap = 16 π D gap / a², D = E t³ / (12 (1 - ν²)), a to the pocket's nearest wall; "
    "stress: 6 F / (4 π t²) at the wall, 6 F (1 + ν) ln(a / r) / (4 π t²) under the head, and √(σ² + 3 τ²) round the "
    "head in its seat with τ = F / (π d t); on the safe side",
    limits=("bolts.floor_stress",),
)
