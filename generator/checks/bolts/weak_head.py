"""Are button and countersunk heads asked for more than they bear?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.checks.check import Check
from generator.estimate.bolt_edits import full_heads, or_torque, through
from generator.estimate.joint import Joint, groups, said
from generator.estimate.preload import aimed_preload, torque_for
from generator.part.part import Plan
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import JOINT

ID = "weak-head"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``too-tight`` for a torque that such a head does not bear, ``in-the-joint`` where the joint bears load.

    Such heads bear as little on the original itself as they do on the cover.
    """
    share = recipe.limits.bolts.weak_head
    for group in groups(recipe, plan):
        joint = group[0]
        if not joint.is_weak_headed:
            continue
        torque, full = joint.group.torque, torque_for(recipe, joint, aimed_preload(recipe, joint))
        most = share.value * full
        if torque is not None and most < torque <= full:
            yield _finding(
                recipe,
                group,
                "too-tight",
                f"{torque:g} N m are more than the head of {joint.called} bears: its loadability is reduced",
                or_torque(recipe, plan, group, full_heads(recipe, plan, joint)),
                torque,
                most,
            )
        elif torque is None and plan.load_bearing and joint.group.holds == JOINT:
            yield _finding(
                recipe,
                group,
                "in-the-joint",
                said(group, "hold", "holds") + f" a joint that bears load with heads of {joint.screw}, which bear less",
                _in_the_joint(recipe, plan, group),
            )


def _in_the_joint(recipe: Recipe, plan: Plan, group: tuple[Joint, ...]) -> str:
    """Return what to do where a joint bears load: full heads on the original, or less torque."""
    joint = group[0]
    full = full_heads(recipe, plan, joint) if joint.on_original else through(recipe, plan, [j.bolt for j in group])
    so = "" if joint.on_original else "; so deep a seat lets the heads bear on the original"
    return f"{or_torque(recipe, plan, group, full)}{so}; only the maker can allow less torque"


def _finding(
    recipe: Recipe,
    group: tuple[Joint, ...],
    code: str,
    message: str,
    remedy: str,
    figure: float | None = None,
    limit: float | None = None,
) -> Finding:
    joint = group[0]
    return Finding(
        check=ID,
        code=code,
        severity=Severity.WARNS,
        message=message,
        feature=f"seat-{joint.bolt.name}",
        point_mm=joint.bolt.at,
        face="top",
        figure=figure,
        limit=limit,
        unit="N m" if figure is not None else "",
        source=recipe.limits.bolts.weak_head.told_source,
        remedy=remedy,
        path=joint.seat_path,
    )


CHECK = Check(
    ID,
    "heads of reduced loadability",
    "Button heads and countersunk heads break off before the bolt yields: their standards say so, and a torque from "
    "the table of full heads is too much for them.",
    "ISO 7380-1, ISO 10642 (scope: reduced loadability)",
    run,
    formula="most torque = share x torque of a full head",
    limits=("bolts.weak_head",),
)
