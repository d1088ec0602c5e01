"""Does the hexagon key reach down to the heads in deep seats?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.screws import KEY_ARMS_MM
from generator.base.standards import HEADS
from generator.base.units import MODEL
from generator.checks.check import Check, no_more
from generator.estimate.joint import Joint, groups, told
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "key-reach"
SOURCE = "short arms of ISO 2936, from memory"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``too-deep`` for every group of heads that lie too deep for the short arm of their key."""
    for group in groups(recipe, plan):
        joint = group[0]
        if joint.seat is None or joint.face is None or joint.is_hexagon:
            continue
        key = next(h.hex_key_mm for h in HEADS if (h.standard, h.thread) == (joint.screw, joint.thread.name))
        top = joint.head_z_mm + (0.0 if joint.is_cone else joint.face.high_mm)
        sunk = plan.cover.thickness_mm - top
        most = recipe.limits.bolts.key_reach.value * KEY_ARMS_MM[key]
        if sunk > most + MODEL.same_mm:
            yield _finding(recipe, plan, group, joint, key, sunk, most)


def _finding(
    recipe: Recipe, plan: Plan, group: tuple[Joint, ...], joint: Joint, key: float, sunk: float, most: float
) -> Finding:
    """Return the note of heads that a usual key does not reach."""
    assert joint.seat is not None
    depth = plan.cover.thickness_mm - joint.seat.z_from_mm - (sunk - most)
    higher = "" if joint.on_original else f"set {joint.seat_path}.depth to at most {no_more(depth)}, or "
    return Finding(
        check=ID,
        code="too-deep",
        severity=Severity.NOTES,
        message=f"the heads of {told(group)} lie {sunk:.1f} mm below the top face, deeper than the short arm of a key "
        f"of {key:g} mm reaches",
        feature=joint.seat.name,
        point_mm=joint.bolt.at,
        face="top",
        figure=sunk,
        limit=most,
        unit="mm",
        source=f"{SOURCE}; {recipe.limits.bolts.key_reach.told_source}",
        remedy=f"{higher}keep it and use a long bit of {key:g} mm",
        path=joint.seat_path,
    )


CHECK = Check(
    ID,
    "keys that reach the heads",
    "A head at the bottom of a deep seat is out of reach of the short arm of a hexagon key, and the long arm gives no "
    "torque worth the name.",
    SOURCE,
    run,
    formula="depth of the head's upper side below the top face, against a share of the key's short arm",
    limits=("bolts.key_reach",),
)
