"""Do the heads of bolts without seats bear on the plate alone?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.estimate.joint import Joint, joints
from generator.outline.create import circle
from generator.outline.region import Region
from generator.part.nearness import wall_mm, web_mm, widest
from generator.part.notches import notch_at
from generator.part.part import Feature, Plan
from generator.recipe.model import Recipe

ID = "head-on-cover"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``over-edge``, ``over-opening`` or ``on-insert`` for every head that does not lie flat on plate.

    A head that cannot lie on it, because it is a cone, is ``cone-without-seat``.
    """
    others = [f for f in plan.cover.features if f.is_top_recess or f.layer == "openings"]
    for joint in joints(recipe, plan):
        if joint.seat is not None or joint.bears_mm is None:
            continue
        if joint.is_cone:
            yield _cone(joint)
            continue
        face = Region((circle(joint.bolt.at, joint.bears_mm / 2.0),))
        gap, at, over = wall_mm(plan.cover.profile, face)
        if over or gap < plan.cover.rim_break_mm - MODEL.same_mm:
            yield _over_edge(recipe, plan, joint, at)
        for other in others:
            _, at, meets = web_mm(face, widest(other))
            if meets:
                yield _on(joint, other, at)


def _cone(joint: Joint) -> Finding:
    """Return the warning of a countersunk head without a countersink."""
    return _finding(
        "cone-without-seat",
        joint,
        f"the countersunk head of {joint.bolt.name} has no countersink: it bears on the rim of its hole",
        f"set {joint.path}.screw to ISO 4762, or give {joint.path} a seat of {joint.screw}",
        joint.bolt.at,
    )


def _over_edge(recipe: Recipe, plan: Plan, joint: Joint, at: tuple[float, float]) -> Finding:
    """Return the warning of a head that hangs over the cover's edge or its edge break."""
    needed = (joint.bears_mm or 0.0) / 2.0 + plan.cover.rim_break_mm
    centre = Region((circle(joint.bolt.at, MODEL.model_mm),))
    gap, _, outside = wall_mm(plan.cover.profile, centre)
    grow = recipe.cover.outer.grow_mm + needed - (0.0 if outside else gap)
    face = Region((circle(joint.bolt.at, (joint.bears_mm or 0.0) / 2.0),))
    notch = notch_at(plan, face, plan.cover.rim_break_mm)
    return _finding(
        "over-edge",
        joint,
        f"the head of {joint.bolt.name} hangs over the cover's edge, or over its edge break",
        f"move or shrink {notch.path}, which notches the edge there, until {no_less(needed)} from the bolt's middle "
        "are under the head"
        if notch
        else f"set cover.outer.grow to at least {no_less(grow)}",
        at,
    )


def _on(joint: Joint, other: Feature, at: tuple[float, float]) -> Finding:
    """Return the warning of a head that covers an opening or presses on something let in."""
    opening = other.layer == "openings"
    return _finding(
        "over-opening" if opening else "on-insert",
        joint,
        f"the head of {joint.bolt.name} {'hangs over' if opening else 'presses on'} {other.name}",
        f"move {other.path} away from it: {no_less((joint.bears_mm or 0.0) / 2.0)} from the bolt's middle are under "
        "the head",
        at,
    )


def _finding(code: str, joint: Joint, message: str, remedy: str, at: tuple[float, float]) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=Severity.WARNS,
        message=message,
        feature=f"hole-{joint.bolt.name}",
        point_mm=at,
        face="top",
        source=GEOMETRY,
        remedy=remedy,
        path=joint.path,
    )


CHECK = Check(
    ID,
    "heads that lie on the plate",
    "A head without a seat bears on the top face. Over an edge it bends its bolt; on an insert it presses that loose.",
    GEOMETRY,
    run,
)
