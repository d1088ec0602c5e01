"""What the thread bears that a bolt is screwed into."""

from __future__ import annotations

from generator.base.figures import Figure
from generator.base.threads import nut_height
from generator.estimate.bolt_length import engagement, longest, needed_length, needed_thread
from generator.estimate.joint import Joint
from generator.formulas.bolts import internal_thread_area
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import ALUMINIUM, BRASS, CAST_IRON, NUT, PLASTIC, Tapped

__all__ = ["engaged", "shear_strength", "thread_bears"]


def engaged(recipe: Recipe, joint: Joint) -> float:
    """Return how much thread holds, mm: of the length in the recipe, else of the one that is told."""
    length = joint.group.length or needed_length(recipe, joint)
    if length is not None:
        return engagement(joint, length)
    most = min(joint.grip_mm + needed_thread(recipe, joint)[0], longest(recipe, joint))
    return engagement(joint, most)


def shear_strength(recipe: Recipe, joint: Joint) -> Figure:
    """Return the shear strength of what the thread is cut in, MPa; steel where the recipe does not say."""
    limits, into = recipe.limits.bolts, joint.group.into
    by_material = {
        CAST_IRON: limits.shear_cast_iron,
        ALUMINIUM: limits.shear_aluminium,
        BRASS: limits.shear_brass,
        PLASTIC: limits.shear_plastic,
    }
    return by_material.get(into.material if isinstance(into, Tapped) else "", limits.shear_steel)


def thread_bears(recipe: Recipe, joint: Joint, aimed_n: float) -> float | None:
    """Return the preload that the internal thread bears, N; None where no turn of it holds.

    A nut is as strong as its bolt, turn for turn (ISO 898-2). Any other thread strips along the crests where its
    turns are whole; in aluminium no more than a share of the preload is told, as makers of machines do.
    """
    limits, holds = recipe.limits.bolts, engaged(recipe, joint)
    if holds <= 0.0:
        return None
    if joint.group.into == NUT:
        return aimed_n * min(holds / nut_height(joint.thread), 1.0)
    whole = holds - limits.lost_turns.value * joint.thread.pitch_mm
    if whole <= 0.0:
        return None
    area = internal_thread_area(joint.thread.d_mm, joint.thread.pitch_mm, whole)
    strips = limits.strips.value * shear_strength(recipe, joint).value * area
    into = joint.group.into
    is_aluminium = isinstance(into, Tapped) and into.material == ALUMINIUM
    return min(strips, limits.into_aluminium.value * aimed_n) if is_aluminium else strips
