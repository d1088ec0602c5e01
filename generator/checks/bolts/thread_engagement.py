"""Do enough turns of thread hold?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.estimate.bolt_edits import LOOSE, length_edit, torque_at_most
from generator.estimate.bolt_length import engagement, fallback_length, needed_length, needed_thread
from generator.estimate.joint import Joint, groups, told
from generator.part.part import Plan
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import NUT, Tapped

ID = "thread-engagement"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``shallow-thread``, ``few-turns`` or ``nut-not-full`` for every group of bolts that needs it."""
    for group in groups(recipe, plan):
        joint = group[0]
        needed, figure = needed_thread(recipe, joint)
        length, depth = joint.group.length, joint.thread_mm
        if depth is not None and depth < needed - MODEL.same_mm:
            yield _shallow(recipe, plan, group, depth, needed, figure)
        elif length is not None and length > joint.grip_mm:
            got = engagement(joint, length)
            if got < needed - MODEL.same_mm:
                yield _few(recipe, plan, group, got, needed, figure)


def _shallow(
    recipe: Recipe, plan: Plan, group: tuple[Joint, ...], depth: float, needed: float, figure: Figure
) -> Finding:
    """Return the finding of a thread that is not deep enough, whatever bolt is taken."""
    joint = group[0]
    d, into = joint.thread.d_mm, joint.group.into
    stated = isinstance(into, Tapped) and into.depth is not None
    what = f"the thread in {into.material}" if isinstance(into, Tapped) and stated else "the thread in the original"
    longer = f"measure the thread again: {no_less(needed)} of it are needed"
    if not stated:
        longer = f"say in {joint.path}.into.depth how deep the thread is, or put a nut behind it"
    return _finding(
        "shallow-thread",
        group,
        f"{what} is {depth:g} mm deep: only {depth / d:.2f} diameters of a bolt hold",
        f"{longer}; until then {torque_at_most(recipe, plan, group) or LOOSE}, and keep the load off",
        depth / d,
        figure,
    )


def _few(recipe: Recipe, plan: Plan, group: tuple[Joint, ...], got: float, needed: float, figure: Figure) -> Finding:
    """Return the finding of bolts that are too short for their thread or nut."""
    joint, edit = group[0], length_edit(recipe, group[0])
    holds = (
        needed_length(recipe, joint) is not None or (fallback_length(recipe, joint) or 0.0) >= joint.grip_mm + needed
    )
    nut = joint.group.into == NUT
    short = needed - got
    per = joint.thread.pitch_mm if nut else joint.thread.d_mm
    one = len(group) == 1
    what = (
        f"{'ends' if one else 'end'} {short:.1f} mm too early: the nut is not full, or nothing stands out of it"
        if nut
        else f"{'has' if one else 'have'} only {got:.1f} mm of thread in {_material(joint)}: {got / per:.2f} diameters"
    )
    value = figure.value - short / per if nut else got / per
    more = edit if holds else f"measure the thread again, {no_less(needed)} of it are needed, or choose another screw"
    remedy = f"{more}; until then {torque_at_most(recipe, plan, group) or LOOSE}"
    return _finding("nut-not-full" if nut else "few-turns", group, f"{told(group)} {what}", remedy, value, figure)


def _material(joint: Joint) -> str:
    into = joint.group.into
    return into.material if isinstance(into, Tapped) else "the thread (taken to be steel)"


def _finding(code: str, group: tuple[Joint, ...], message: str, remedy: str, value: float, figure: Figure) -> Finding:
    joint = group[0]
    return Finding(
        check=ID,
        code=code,
        severity=Severity.WARNS,
        message=message,
        feature=f"hole-{joint.bolt.name}",
        point_mm=joint.bolt.at,
        face="bottom",
        figure=value,
        limit=figure.value,
        unit=figure.unit,
        source=figure.told_source,
        remedy=remedy,
        path=joint.path,
    )


CHECK = Check(
    ID,
    "turns of thread that hold",
    "With too few turns the thread strips as the bolt is tightened, first in soft metal; a cover under the head takes "
    "its thickness away from the thread.",
    "published guidelines of thread engagement by material",
    run,
    formula="engagement = length - clamped length, at most the thread's depth; a nut needs its own height and what "
    "stands out of it",
    limits=(
        "bolts.engagement_steel",
        "bolts.engagement_cast_iron",
        "bolts.engagement_aluminium",
        "bolts.engagement_brass",
        "bolts.engagement_plastic",
        "bolts.past_nut",
    ),
)
