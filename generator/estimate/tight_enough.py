"""The least preload that keeps a screw tight, and what to offer where a joint bears no more than less."""

from __future__ import annotations

from generator.base.figures import Figure
from generator.estimate.joint import Joint
from generator.estimate.preload import aimed_preload
from generator.part.part import Plan
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import JOINT

__all__ = ["bears_load", "is_tight", "least_share", "tight_preload"]


def bears_load(plan: Plan, joint: Joint) -> bool:
    """Return True if a bolt belongs to a joint that bears load."""
    return plan.load_bearing and joint.group.holds == JOINT


def least_share(recipe: Recipe, plan: Plan, joint: Joint) -> Figure:
    """Return the share of the bolt's own preload that it must have at least: more where the joint bears load."""
    limits = recipe.limits.bolts
    return limits.least_preload if bears_load(plan, joint) else limits.hand_tight


def tight_preload(recipe: Recipe, plan: Plan, joint: Joint) -> float:
    """Return the least preload that keeps a screw tight, N."""
    return least_share(recipe, plan, joint).value * aimed_preload(recipe, joint)


def is_tight(recipe: Recipe, plan: Plan, joint: Joint, force_n: float) -> bool:
    """Return True if a preload keeps a screw tight."""
    return force_n > 0.0 and force_n >= tight_preload(recipe, plan, joint)
