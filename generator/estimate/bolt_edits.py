"""Edits of the recipe that mend bolts: how hard to tighten them, how long to take them, heads let through the cover."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from generator.base.remedy import no_less
from generator.base.screws import screw_face
from generator.base.standards import CLEARANCE_HOLES, COUNTERBORES, HEADS, WASHERS, head
from generator.base.units import MODEL
from generator.estimate.bolt_floors import metal_needed
from generator.estimate.bolt_length import fallback_length, longest, needed_length, needed_thread, with_length
from generator.estimate.joint import Joint, groups
from generator.estimate.preload import nut_factor, rounded_down, torque_for, weakest
from generator.estimate.thicker import thicker
from generator.estimate.tight_enough import is_tight
from generator.formulas.bolts import preload_of
from generator.part.bolts import seat_of
from generator.part.describe import floor_left_mm
from generator.part.part import Bolt, Plan
from generator.recipe.model import Recipe

__all__ = [
    "LOOSE",
    "bearable_torque",
    "counterbore_of",
    "deeper",
    "full_heads",
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
    edits.update(_shorter(recipe, plan, {b.path for b in bolts}))
    return " and ".join(f"set {key} to {value}" for key, value in edits.items())


def _shorter(recipe: Recipe, plan: Plan, paths: set[str]) -> dict[str, str]:
    """Return the lengths of bolts that would stop at the bottom of a blind hole with their heads on the original."""
    found = {}
    for joint in (group[0] for group in groups(recipe, plan) if group[0].path in paths):
        under = joint.original_mm + (joint.washer.h_mm if joint.washer else 0.0)
        low = replace(joint, screw=FULL_HEAD, on_original=True, grip_mm=joint.grip_mm - joint.head_z_mm + under)
        length = needed_length(recipe, low) or fallback_length(recipe, low)
        if joint.group.length is not None and joint.group.length > longest(recipe, low) + MODEL.same_mm and length:
            found[f"{joint.path}.length"] = f"{length:g} mm"
    return found


def deeper(recipe: Recipe, plan: Plan, joint: Joint, left_mm: float, by_mm: float) -> float:
    """Return by how much the plate must be thicker for a seat to be deeper by ``by_mm`` above ``left_mm``, mm."""
    needed = metal_needed(recipe, plan, joint, left_mm=left_mm - by_mm, plate_grows=False)
    if needed is not None and left_mm - by_mm >= needed - MODEL.same_mm:
        return 0.0
    grown = metal_needed(recipe, plan, joint, left_mm=left_mm - by_mm, plate_grows=True)
    return by_mm if grown is None else max(grown - (left_mm - by_mm), 0.0)


def full_heads(recipe: Recipe, plan: Plan, joint: Joint) -> str:
    """Return the edits that give bolts full heads with as much metal under them as they need; empty if none do."""
    face = screw_face(FULL_HEAD, joint.thread.name)
    full = replace(joint, screw=FULL_HEAD, face=face)
    edit = f"set {joint.screw_key} to {FULL_HEAD}"
    seat, path = seat_of(recipe, int(joint.path[len("original.bolts[") : -1]))
    if face is None or joint.seat is None or seat is None or joint.on_original:
        return edit if face else ""
    wide = counterbore_of(joint.bolt)[0]
    if seat.diameter is not None and seat.diameter < wide:
        edit += f" and set {path}.diameter to {no_less(wide)}"
    depth = plan.cover.thickness_mm - joint.seat.z_from_mm
    new = seat.depth if seat.depth is not None else head(FULL_HEAD, joint.thread.name).k_max_mm + _spare(joint)
    left = min(floor_left_mm(plan.cover, joint.seat), joint.seat.z_from_mm)
    more = deeper(recipe, plan, full, left, new - depth) if new > depth else 0.0
    if more > 0.0:
        edit += f" and {thicker(recipe, plan, plan.cover.thickness_mm + more)}"
    lift = joint.seat.z_from_mm + depth + more - new - joint.head_z_mm
    return with_length(recipe, full, edit, lift)


def _spare(joint: Joint) -> float:
    return next((row.extra_depth_mm for row in COUNTERBORES if row.thread == joint.thread.name), 0.0)


def counterbore_of(bolt: Bolt) -> tuple[float, bool]:
    """Return the diameter of a counterbore for a full head, mm, and whether it need not be said.

    Of a bolt without a thread that the tables hold it is that of the next thread which goes through its hole.
    """
    known = any((h.standard, h.thread) == (FULL_HEAD, bolt.thread) for h in HEADS)
    through_hole = (h.thread for h in CLEARANCE_HOLES if h.coarse_mm >= bolt.hole_mm)
    rows = {row.thread: row.diameter_mm for row in COUNTERBORES}
    names = (bolt.thread, *through_hole)
    return next((rows[name] for name in names if name in rows), 2.0 * bolt.hole_mm), known
