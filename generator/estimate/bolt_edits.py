"""Edits of the recipe that mend bolts: how hard to tighten them, how long to take them, heads let through the cover."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from generator.base.remedy import no_less
from generator.base.standards import CLEARANCE_HOLES, COUNTERBORES, HEADS, WASHERS
from generator.estimate.bolt_length import fallback_length, longest, needed_length, needed_thread
from generator.estimate.joint import Joint
from generator.estimate.preload import nut_factor, rounded_down, torque_for, weakest
from generator.estimate.tight_enough import is_tight
from generator.formulas.bolts import preload_of
from generator.part.bolts import seat_of
from generator.part.part import Bolt, Plan
from generator.recipe.model import Recipe

__all__ = [
    "LOOSE",
    "bearable_torque",
    "counterbore_of",
    "length_edit",
    "or_torque",
    "through",
    "torque_at_most",
    "what_else",
]

LOOSE: Final = "leave the bolts out: no torque that this bears keeps them tight"
ELSE: Final = {
    "bolt": "take stronger bolts",
    "head": "take full heads",
    "face": "put washers under the heads, or take a harder metal for the cover",
    "floor": "leave more metal under the heads: a thicker plate, shallower seats or lower heads",
    "thread": "find more thread for the bolts, or put nuts behind them",
}
"""What helps a link that bears too little, where no figure of the recipe does."""
UNDER_HEAD: Final = ("head", "face", "floor")
"""Links that bear no preload any more once the full heads of ISO 4762 lie on the original."""
FULL_HEAD: Final = "ISO 4762"


def torque_at_most(recipe: Recipe, plan: Plan, group: tuple[Joint, ...]) -> str:
    """Return the edit that tightens a group no harder than its weakest link bears; empty where they come loose so."""
    torque = bearable_torque(recipe, plan, group)
    return f"set {group[0].path}.torque to at most {torque}" if torque else ""


def bearable_torque(recipe: Recipe, plan: Plan, group: tuple[Joint, ...]) -> str:
    """Return the torque that a group's weakest link bears, N m; empty where it does not keep the bolts tight."""
    joint = group[0]
    torque = rounded_down(torque_for(recipe, joint, weakest(recipe, plan, group)[0]))
    force = preload_of(float(torque), joint.thread.d_mm, nut_factor(recipe, joint).value)
    return torque if is_tight(recipe, plan, joint, force) else ""


def or_torque(recipe: Recipe, plan: Plan, group: tuple[Joint, ...], *others: str) -> str:
    """Return other ways and that of the torque as alternatives, what is empty left out; else what else helps."""
    offered = [way for way in (*others, torque_at_most(recipe, plan, group)) if way]
    return ", or ".join(offered) or what_else(recipe, plan, group)


def what_else(recipe: Recipe, plan: Plan, group: tuple[Joint, ...]) -> str:
    """Return what helps where no torque that the joint bears keeps its bolts tight.

    The heads of a joint that bears load are let through the cover; for others it is said in words.
    """
    link = weakest(recipe, plan, group)[1]
    if plan.load_bearing and group[0].in_the_joint and link in UNDER_HEAD:
        return f"{through(recipe, plan, [j.bolt for j in group])} so that the heads bear on the original"
    return f"{ELSE[link]}; no torque that this bears keeps the bolts tight"


def length_edit(recipe: Recipe, joint: Joint) -> str:
    """Return the edit that gives a group a standard length that can be screwed in, with a washer if that is the way."""
    needed = needed_length(recipe, joint)
    if needed is not None:
        return f"set {joint.path}.length to {needed:g} mm"
    washer = next((w for w in WASHERS if w.thread == joint.thread.name), None)
    if washer is not None and joint.washer is None and joint.seat is None and not joint.is_cone:
        lifted = needed_length(recipe, replace(joint, grip_mm=joint.grip_mm + washer.h_mm))
        if lifted is not None:
            return f"set {joint.path}.washer to true and set {joint.path}.length to {lifted:g} mm"
    length = fallback_length(recipe, joint)
    if length is None:
        top = min(joint.grip_mm + needed_thread(recipe, joint)[0], longest(recipe, joint))
        return f"measure the thread again: a bolt would have to be cut to {top:.1f} mm"
    return f"set {joint.path}.length to {length:g} mm"


def through(recipe: Recipe, plan: Plan, bolts: Sequence[Bolt]) -> str:
    """Return the edits that let full heads of all these bolts through the cover, to bear on the original.

    They set ISO 4762 as well: button heads bear less than their bolt, and a cone holds the cover wherever it ends.
    """
    depth = no_less(max(recipe.cover.stock.thickness, plan.cover.thickness_mm))
    seats = {f"original.bolts[{i}]": seat_of(recipe, i) for i in range(len(recipe.original.bolts))}
    edits: dict[str, str] = {}
    wide: dict[str, float] = {}
    for bolt in bolts:
        seat, path = seats[bolt.path]
        path = path if seat else f"{bolt.path}.seat"
        if seat is None or seat.screw != FULL_HEAD:
            edits[f"{path}.screw"] = FULL_HEAD
        edits[f"{path}.depth"] = depth
        needed, is_known = counterbore_of(bolt)
        given = seat.diameter if seat else None
        if needed > (given or 0.0) and not (is_known and given is None):
            wide[f"{path}.diameter"] = max(wide.get(f"{path}.diameter", 0.0), needed)
    edits.update({key: no_less(value) for key, value in wide.items()})
    return " and ".join(f"set {key} to {value}" for key, value in edits.items())


def counterbore_of(bolt: Bolt) -> tuple[float, bool]:
    """Return the diameter of a counterbore for a full head, mm, and whether it need not be said.

    Of a bolt without a thread that the tables hold it is that of the next thread which goes through its hole.
    """
    known = any((h.standard, h.thread) == (FULL_HEAD, bolt.thread) for h in HEADS)
    through_hole = (h.thread for h in CLEARANCE_HOLES if h.coarse_mm >= bolt.hole_mm)
    rows = {row.thread: row.diameter_mm for row in COUNTERBORES}
    names = (bolt.thread, *through_hole)
    return next((rows[name] for name in names if name in rows), 2.0 * bolt.hole_mm), known
