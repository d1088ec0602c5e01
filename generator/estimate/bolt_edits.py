"""Edits of the recipe that mend bolts: how hard to tighten them, how long to take them, heads let through the cover."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from generator.base.remedy import no_less
from generator.base.standards import CLEARANCE_HOLES, COUNTERBORES, HEADS, WASHERS
from generator.estimate.bolt_length import fallback_length, longest, needed_length, needed_thread
from generator.estimate.joint import Joint
from generator.estimate.preload import rounded_down, torque_for, weakest
from generator.part.bolts import seat_of
from generator.part.part import Bolt, Plan
from generator.recipe.model import Recipe

__all__ = ["NOTHING", "counterbore_of", "length_edit", "through", "torque_at_most"]

NOTHING: Final = "leave the bolts out: nothing is left to tighten them against"
FULL_HEAD: Final = "ISO 4762"


def torque_at_most(recipe: Recipe, plan: Plan, group: tuple[Joint, ...]) -> str:
    """Return the edit that tightens a group no harder than its weakest link bears."""
    torque = rounded_down(torque_for(recipe, group[0], weakest(recipe, plan, group)[0]))
    return f"set {group[0].path}.torque to at most {torque}" if float(torque) else NOTHING


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
