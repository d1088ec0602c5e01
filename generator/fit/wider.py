"""Edits of the recipe that give every bolt more room: the next series of ISO 273, a wider hole, a wider seat."""

from __future__ import annotations

from math import ceil
from typing import Final

from generator.base.standards import HEADS, clearance_hole
from generator.fit.case import thickness_of
from generator.part.bolts import seat_of
from generator.part.part import Bolt, Plan
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import Bolts

__all__ = ["wider_bolts"]

SERIES: Final = ("fine", "medium", "coarse")
NOISE_MM: Final = 1e-9


def wider_bolts(recipe: Recipe, plan: Plan, room_mm: float) -> tuple[str, ...] | None:
    """Return the edits that give every bolt at least ``room_mm`` from the middle of its hole; None if there are none.

    Play in the original counts towards the room.
    """
    edits: list[str] = []
    room = room_mm - recipe.tolerances.bolt_play
    for i, group in enumerate(recipe.original.bolts):
        bolt = next((b for b in plan.bolts if b.path == f"original.bolts[{i}]"), None)
        if bolt is None:
            continue
        hole = _hole_edit(group, bolt, room)
        if hole is None:
            return None
        edits += [e for e in (hole, _seat_edit(recipe, i, bolt, room)) if e]
    return tuple(dict.fromkeys(edits)) or None


def _hole_edit(group: Bolts, bolt: Bolt, room_mm: float) -> str | None:
    """Return the edit of a group's hole; empty if it is wide enough, None if no hole of the standard is."""
    thickness = thickness_of(bolt)
    needed = thickness + 2.0 * room_mm - NOISE_MM
    if bolt.hole_mm >= needed:
        return ""
    if group.hole is not None:
        wider = ceil(needed * 100.0) / 100.0
        same = thickness_of(Bolt("", bolt.at, wider, "", "", "", "")) == thickness
        return f"{bolt.path}.hole to at least {wider:g} mm" if same else None
    for fit in SERIES[SERIES.index(group.fit) + 1 :]:
        if clearance_hole(group.thread, fit) >= needed:
            return f"{bolt.path}.fit to {fit}"
    return None


def _seat_edit(recipe: Recipe, index: int, bolt: Bolt, room_mm: float) -> str:
    """Return the edit of a group's counterbore; empty if it has none or it is wide enough."""
    seat, path = seat_of(recipe, index)
    heads = [h.dk_max_mm for h in HEADS if (h.standard, h.thread) == (bolt.screw, bolt.thread)]
    if seat is None or seat.diameter is None or not heads or seat.screw == "ISO 10642":
        return ""
    needed = heads[0] + 2.0 * room_mm
    return f"{path}.diameter to at least {ceil(needed * 100.0) / 100.0:g} mm" if seat.diameter < needed else ""
