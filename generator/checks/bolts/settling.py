"""How much of its preload does the joint lose as it settles?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.checks.check import Check
from generator.estimate.bolt_edits import through
from generator.estimate.floor import closing_force, floor_under
from generator.estimate.joint import Joint, groups, said
from generator.estimate.preload import preload
from generator.estimate.settling import settled_mm, settling_of
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "settling"
UM_PER_MM = 1000.0
PER_CENT = 100.0


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``loses-preload`` for bolts of a joint that bears load, or of a given torque, where settling costs much."""
    limit = recipe.limits.bolts.settling
    for group in groups(recipe, plan):
        joint = group[0]
        if not joint.in_the_joint or not (plan.load_bearing or joint.group.torque):
            continue
        lost, force = settling_of(plan, joint), preload(recipe, plan, joint)
        floor = floor_under(plan, joint)
        if floor is not None and force < closing_force(floor, plan.cover.material):
            continue  # the cover's rim takes the preload, which floor-over-gap tells
        if lost is not None and force > 0.0 and lost / force > limit.value:
            yield _finding(recipe, plan, group, joint, min(lost / force, 1.0))


def _so_much(share: float) -> str:
    """Return a share in words; no bolt loses more than it has."""
    return "all" if share >= 1.0 else f"about {share * PER_CENT:.0f} %"


def _their(group: tuple[Joint, ...]) -> str:
    return "its" if len(group) == 1 else "their"


def _finding(recipe: Recipe, plan: Plan, group: tuple[Joint, ...], joint: Joint, share: float) -> Finding:
    """Return the finding of a joint that comes loose by itself."""
    bare = f", or {through(recipe, plan, [j.bolt for j in group])} so that the heads bear on the original"
    return Finding(
        check=ID,
        code="loses-preload",
        severity=Severity.WARNS if plan.load_bearing else Severity.NOTES,
        message=said(group, "lose", "loses") + f" {_so_much(share)} of {_their(group)} preload by "
        f"{settled_mm(joint) * UM_PER_MM:.0f} µm of settling on {joint.grip_mm:.1f} mm of clamped length, before "
        "the soft plate creeps",
        feature=joint.seat.name if joint.seat else f"hole-{joint.bolt.name}",
        point_mm=joint.bolt.at,
        face="top",
        figure=share,
        limit=recipe.limits.bolts.settling.value,
        unit="of 1",
        source=f"{recipe.limits.bolts.settling.told_source}; amounts of VDI 2230, from memory",
        remedy=f"tighten again after a day and after 100 hours of use{bare}",
        path=joint.path,
    )


CHECK = Check(
    ID,
    "settling of the clamped joint",
    "Roughness is pressed flat in the first hours: every face between head and thread costs a few micrometres. A short "
    "bolt stretches by little more than that, so it loses much of its preload; soft plate goes on creeping.",
    "VDI 2230 (amounts from memory); stiffness after Wileman, Choudury and Green",
    run,
    formula="F_Z = f_Z k_b k_m / (k_b + k_m), f_Z: 3 µm for the thread, 3 for every face under head and nut, 2 for "
    "every face between; k_b = As E / (l + d/2), k_m = E d 0.790 exp(0.629 d / l), layers in series",
    limits=("bolts.settling",),
)
