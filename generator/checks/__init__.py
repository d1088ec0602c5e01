"""Checks: each one judges the plan from its regions and yields findings. One file a check, one folder a theme."""

from __future__ import annotations

from generator.checks import (
    bolts,
    cover,
    cutting,
    fit,
    flip,
    inserts,
    metals,
    shop,
)
from generator.checks.check import Check, Outcome
from generator.checks.run import judge
from generator.part.part import Plan
from generator.recipe.model import Recipe

__all__ = ["CHECKS", "run_checks"]

CHECKS: tuple[Check, ...] = (
    *bolts.CHECKS,
    *cover.CHECKS,
    *cutting.CHECKS,
    *inserts.CHECKS,
    *metals.CHECKS,
    *fit.CHECKS,
    *flip.CHECKS,
    *shop.CHECKS,
)


def run_checks(recipe: Recipe, plan: Plan) -> tuple[Outcome, ...]:
    """Return the outcome of every check, in the order of ``CHECKS``; a crash of one stops none of the others."""
    return judge(CHECKS, recipe, plan)
