"""The report's part on bolts: what to buy and how hard it may be tightened; estimates, and it says so."""

from __future__ import annotations

from typing import Any, Final, TypeAlias

from generator.estimate.bolt_length import needed_length, needed_thread
from generator.estimate.joint import Joint, groups, told
from generator.estimate.preload import nut_factor, preload_of_group, rounded_down, torque_for
from generator.outputs.markdown import escape, table
from generator.outputs.output import Work

__all__ = ["bolts_data", "bolts_text"]

Data: TypeAlias = dict[str, Any]

HOW: Final = (
    "Lengths are standard ones that reach far enough into the thread. Torques are estimates, T = K F d, for what bolt, "
    "head, cover, floor and thread bear: friction scatters by a third either way. **The maker's figure goes first.**"
)
N_PER_KN: Final = 1000.0


def bolts_data(work: Work) -> list[Data] | None:
    """Return what is to be bought and tightened, a group of the recipe each; None if the recipe is not at hand."""
    if work.recipe is None:
        return None
    return [_group(work, group) for group in groups(work.recipe, work.plan)]


def _group(work: Work, group: tuple[Joint, ...]) -> Data:
    assert work.recipe is not None
    joint = group[0]
    length = joint.group.length or needed_length(work.recipe, joint)
    force = preload_of_group(work.recipe, work.plan, group)
    torque = joint.group.torque
    return {
        "bolts": told(group),
        "count": len(group),
        "thread": joint.thread.name,
        "screw": joint.screw,
        "property_class": joint.strength.name,
        "washer": joint.washer is not None,
        "holds": joint.group.holds,
        "length_mm": length,
        "length_given": joint.group.length is not None,
        "clamped_mm": round(joint.grip_mm, 3),
        "thread_needed_mm": round(needed_thread(work.recipe, joint)[0], 3),
        "preload_n": round(force),
        "torque_n_m": round(torque_for(work.recipe, joint, force) if torque is None else torque, 2),
        "torque_given": torque is not None,
        "nut_factor": nut_factor(work.recipe, joint).value,
    }


def bolts_text(data: list[Data] | None) -> list[str]:
    """Return the section of the report, as lines of Markdown."""
    if not data:
        return []
    rows = [
        (
            escape(b["bolts"]),
            str(b["count"]),
            b["thread"] if b["length_mm"] is None else f"{b['thread']} x {b['length_mm']:g}",
            f"{escape(b['screw'])}{', washer' if b['washer'] else ''}",
            escape(b["property_class"]),
            f"{b['clamped_mm']:.1f}",
            f"{b['thread_needed_mm']:.1f}",
            f"{b['preload_n'] / N_PER_KN:.1f}",
            f"{b['torque_n_m']:g}" if b["torque_given"] else f"{rounded_down(b['torque_n_m'])} at most",
        )
        for b in data
    ]
    head = ("bolts", "count", "size", "screw", "class", "clamped mm", "thread mm", "preload kN", "torque N m")
    return ["## Bolts to buy and tighten", "", HOW, "", *table(head, rows, right=(1, 5, 6, 7))]
