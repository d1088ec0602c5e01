"""Is there a bolt of the right length?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.screws import lengths_of
from generator.base.threads import thread_of
from generator.base.units import MODEL
from generator.checks.check import Check
from generator.estimate.bolt_edits import length_edit
from generator.estimate.bolt_length import longest, needed_length, needed_thread
from generator.estimate.joint import Joint, groups, told
from generator.part.part import Plan
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import JOINT, NUT

ID = "bolt-length"
SOURCE = "lengths of ISO 888 as stocked for the screw"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield what is to be said of the length of every group of bolts.

    ``needed`` tells the length where the recipe gives none, ``no-length`` that none fits. Of a given one:
    ``does-not-reach``, ``bottoms-out`` and ``not-standard``. ``unjudged`` are bolts of which only the hole is known.
    """
    yield from _unjudged(plan)
    for group in groups(recipe, plan):
        joint, length = group[0], group[0].group.length
        if length is None:
            yield _needed(recipe, group)
            continue
        if length <= joint.grip_mm + MODEL.same_mm:
            yield _too_short(recipe, group, length)
        elif length > longest(recipe, joint) + MODEL.same_mm:
            yield _too_long(recipe, group, length)
        if all(abs(length - x) > MODEL.same_mm for x in lengths_of(joint.screw, joint.thread.name)):
            yield _odd(group, length)


def _unjudged(plan: Plan) -> Iterator[Finding]:
    """Yield one note where bolts have a hole but no thread that the tables hold."""
    unknown = [b for b in plan.bolts if thread_of(b.thread) is None]
    for bolt in unknown[:1]:
        yield Finding(
            check=ID,
            code="unjudged",
            severity=Severity.NOTES,
            message=f"{len(unknown)} bolts have a hole of {bolt.hole_mm:g} mm but no thread: their length, thread and "
            "torque are not judged",
            feature=f"hole-{bolt.name}",
            source=GEOMETRY,
            remedy=f"leave it, or give {bolt.path} a metric thread",
            path=bolt.path,
        )


def _needed(recipe: Recipe, group: tuple[Joint, ...]) -> Finding:
    """Return the note that tells the length, or the warning that there is none."""
    joint = group[0]
    thread, length = needed_thread(recipe, joint)[0], needed_length(recipe, joint)
    past = "for nut and end" if joint.group.into == NUT else "of thread"
    least = joint.grip_mm + thread
    adds_up = f"{joint.grip_mm:.1f} mm clamped and {thread:.1f} mm {past}{_lifted(joint)}"
    if length is None:
        top = longest(recipe, joint)
        rest = f" and at most {top:.1f} mm" if top < lengths_of(joint.screw, joint.thread.name)[-1] else ""
        return _finding(
            "no-length",
            Severity.WARNS,
            group,
            f"no standard length of {joint.called} will do: {adds_up} need {least:.1f} mm{rest}",
            f"{length_edit(recipe, joint)}, or choose another screw that is stocked from {least:.1f} mm on",
        )
    return _finding(
        "needed",
        Severity.NOTES,
        group,
        f"{told(group)}: {len(group)} x {joint.thread.name} x {length:g} {joint.screw}, for {adds_up}",
        f"set {joint.path}.length to {length:g} mm",
        length,
    )


def _lifted(joint: Joint) -> str:
    """Return how much higher the heads lie than without the cover, in words: old bolts must be longer by that."""
    lift = joint.head_z_mm - joint.original_mm
    if joint.group.holds != JOINT or joint.is_cone or abs(lift) < MODEL.model_mm:
        return ""
    return f"; the heads lie {lift:.1f} mm higher than on the bare original"


def _too_short(recipe: Recipe, group: tuple[Joint, ...], length: float) -> Finding:
    """Return the finding of bolts that end before their thread begins."""
    joint = group[0]
    return _finding(
        "does-not-reach",
        Severity.FORBIDS,
        group,
        f"{told(group)} of {length:g} mm {_do(group)} not reach a thread that begins {joint.grip_mm:.2f} mm below "
        "the head",
        length_edit(recipe, joint),
        length,
        joint.grip_mm,
    )


def _too_long(recipe: Recipe, group: tuple[Joint, ...], length: float) -> Finding:
    """Return the finding of bolts that stop at the bottom of a blind hole and clamp nothing."""
    joint, most = group[0], longest(recipe, group[0])
    turns = recipe.limits.bolts.free_turns
    return _finding(
        "bottoms-out",
        Severity.WARNS,
        group,
        f"{told(group)} of {length:g} mm {_come(group)}",
        length_edit(recipe, joint),
        length,
        most,
        f"{turns.value:g} pitch of free thread below: {turns.told_source}",
    )


def _do(group: tuple[Joint, ...]) -> str:
    return "does" if len(group) == 1 else "do"


def _come(group: tuple[Joint, ...]) -> str:
    """Return what becomes of bolts that are too long."""
    if len(group) == 1:
        return "comes to the bottom of the blind hole: it feels tight and clamps nothing"
    return "come to the bottom of the blind hole: they feel tight and clamp nothing"


def _odd(group: tuple[Joint, ...], length: float) -> Finding:
    """Return the note about a length that is not sold."""
    joint = group[0]
    lengths = lengths_of(joint.screw, joint.thread.name)
    near = min(lengths, key=lambda x: (abs(x - length), -x))
    return _finding(
        "not-standard",
        Severity.NOTES,
        group,
        f"{length:g} mm is no standard length of {joint.called}; the nearest is {near:g} mm",
        f"set {joint.path}.length to {near:g} mm, or keep it and shorten a longer bolt",
    )


def _finding(
    code: str,
    severity: Severity,
    group: tuple[Joint, ...],
    message: str,
    remedy: str,
    figure: float | None = None,
    limit: float | None = None,
    source: str = "",
) -> Finding:
    joint = group[0]
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature=f"hole-{joint.bolt.name}",
        point_mm=None if code == "needed" else joint.bolt.at,
        face="" if code == "needed" else "top",
        figure=figure,
        limit=limit,
        unit="mm" if figure is not None else "",
        source=source or (GEOMETRY if limit is not None else SOURCE),
        remedy=remedy,
        path=joint.path,
    )


CHECK = Check(
    ID,
    "length of the bolts",
    "The cover lifts the bolt heads, and bolts that were long enough are suddenly too short. One that is too long for "
    "a blind hole stops at its bottom: it feels tight and clamps nothing.",
    SOURCE,
    run,
    formula="clamped length = height of the face under the head (of a countersunk screw: its upper side) + washer - "
    "height at which the thread begins; needed = that + thread engagement, or + nut and what stands out of it",
    limits=("bolts.past_nut", "bolts.free_turns"),
)
