"""Run checks: one that crashes is told as ours, and stops neither the others nor the report."""

from __future__ import annotations

from collections.abc import Iterable

from generator.base.errors import GeometryError
from generator.checks.check import Check, Outcome
from generator.part.part import Plan
from generator.recipe.model import Recipe

__all__ = ["judge"]


def judge(checks: Iterable[Check], recipe: Recipe, plan: Plan) -> tuple[Outcome, ...]:
    """Return what became of every check, in order."""
    return tuple(_one(check, recipe, plan) for check in checks)


def _one(check: Check, recipe: Recipe, plan: Plan) -> Outcome:
    """Return the outcome of one check; whatever it raises becomes the outcome's ``crash``."""
    try:
        return Outcome(check.id, tuple(check.run(recipe, plan)))
    except GeometryError as error:
        return Outcome(check.id, crash=f"the plane could not answer: {error}")
    except Exception as error:  # a crash of one check must not hide what the others say
        return Outcome(check.id, crash=f"{type(error).__name__}: {error}")
