"""How long a bolt must be, and how far it is screwed in."""

from __future__ import annotations

from dataclasses import replace
from math import inf

from generator.base.figures import Figure
from generator.base.screws import ISO_888_MM, lengths_of
from generator.base.threads import nut_height
from generator.base.units import MODEL
from generator.estimate.joint import Joint
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import ALUMINIUM, BRASS, CAST_IRON, NUT, PLASTIC, Tapped

__all__ = [
    "engagement",
    "fallback_length",
    "length_of_lifted",
    "longest",
    "needed_length",
    "needed_thread",
    "with_length",
]


def needed_thread(recipe: Recipe, joint: Joint) -> tuple[float, Figure]:
    """Return how far the bolt must reach past its grip, mm, and the limit that says so (in diameters or pitches)."""
    limits, into = recipe.limits.bolts, joint.group.into
    if into == NUT:
        return nut_height(joint.thread) + limits.past_nut.value * joint.thread.pitch_mm, limits.past_nut
    by_material = {
        CAST_IRON: limits.engagement_cast_iron,
        ALUMINIUM: limits.engagement_aluminium,
        BRASS: limits.engagement_brass,
        PLASTIC: limits.engagement_plastic,
    }
    word = into.material if isinstance(into, Tapped) else ""
    figure = by_material.get(word, limits.engagement_steel)
    return figure.value * joint.thread.d_mm, figure


def engagement(joint: Joint, length_mm: float) -> float:
    """Return how much of a bolt of this length is in its thread or past its grip, mm; 0 if it does not reach."""
    reach, depth = max(length_mm - joint.grip_mm, 0.0), joint.thread_mm
    return reach if depth is None else min(reach, depth)


def longest(recipe: Recipe, joint: Joint) -> float:
    """Return the longest bolt that does not stop at the bottom of a blind hole, mm; endless in any other."""
    into = joint.group.into
    if not isinstance(into, Tapped) or not into.blind or joint.thread_mm is None:
        return inf
    return joint.grip_mm + joint.thread_mm - recipe.limits.bolts.free_turns.value * joint.thread.pitch_mm


def needed_length(recipe: Recipe, joint: Joint) -> float | None:
    """Return the shortest standard length that holds and does not stop at the bottom, mm; None if there is none."""
    least = joint.grip_mm + needed_thread(recipe, joint)[0] - MODEL.same_mm
    most = longest(recipe, joint) + MODEL.same_mm
    return next((x for x in lengths_of(joint.screw, joint.thread.name) if least <= x <= most), None)


def fallback_length(recipe: Recipe, joint: Joint) -> float | None:
    """Return the standard length to take where none holds in full, mm; None if none reaches its thread at all.

    The shortest of ISO 888 that holds, though it is not stocked for the screw; else the longest that does not stop at
    the bottom.
    """
    least = joint.grip_mm + needed_thread(recipe, joint)[0] - MODEL.same_mm
    most = longest(recipe, joint) + MODEL.same_mm
    reach = [x for x in ISO_888_MM if joint.grip_mm + MODEL.same_mm < x <= most]
    return next((x for x in reach if x >= least), max(reach, default=None))


def with_length(recipe: Recipe, joint: Joint, edit: str, lifted_mm: float) -> str:
    """Return an edit that lifts a head by so much (mm), with that of its length where the given one no longer does."""
    fits = length_of_lifted(recipe, joint, lifted_mm)
    return f"{edit} and set {joint.path}.length to {fits:g} mm" if edit and fits else edit


def length_of_lifted(recipe: Recipe, joint: Joint, lifted_mm: float) -> float | None:
    """Return the length that a head lifted by so much (mm) needs; 0 if the given one does, None if none does.

    0, too, where none is given, or one that does not hold as it is.
    """
    length, lifted = joint.group.length, replace(joint, grip_mm=joint.grip_mm + lifted_mm)
    if length is None or engagement(joint, length) < needed_thread(recipe, joint)[0] - MODEL.same_mm:
        return 0.0
    least = lifted.grip_mm + needed_thread(recipe, lifted)[0] - MODEL.same_mm
    if least <= length <= longest(recipe, lifted) + MODEL.same_mm:
        return 0.0
    return needed_length(recipe, lifted)
