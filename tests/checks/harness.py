"""What the tests of all checks share: judging, cases that spoil a recipe, and edges where a finding just begins."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from part_samples import plan_of

from generator.base.finding import Finding, Severity
from generator.checks import run_checks
from generator.part.part import Plan
from generator.recipe.model import Recipe

FORBIDS, WARNS, NOTES = Severity.FORBIDS, Severity.WARNS, Severity.NOTES

Case = tuple[str, str, Severity, Recipe]
"""Check, code, how serious, and a recipe that it is said of."""

ALWAYS_SAID: frozenset[tuple[str, str]] = frozenset(
    {
        ("making-estimate", "takes"),
        ("bolt-length", "needed"),
        ("tightening-torque", "estimate"),
        ("floor-over-gap", "stands-clear"),
    }
)
"""Check and code of the notes that a sound recipe gets, too: estimates, and figures that a person wants to see."""


@dataclass(frozen=True)
class Edge:
    """Where a finding begins: a recipe made from one value, and a value on either side of the limit.

    Attributes:
        check, code: what is told.
        make: recipe of a value.
        just: a value whose figure lies within one hundredth of the limit, on the sound side.
        beyond: a value whose figure lies within one hundredth of the limit, on the side that is told.
        near: how near figure and limit must be where the limit is 0 and a hundredth of it means nothing.
        by_figure: False where no figure is held against a limit; then the two values are what lies near each other.
    """

    check: str
    code: str
    make: Callable[[float], Recipe]
    just: float
    beyond: float
    near: float = 0.01
    by_figure: bool = True


def found(recipe: Recipe, check: str, plan: Plan | None = None) -> list[Finding]:
    """Return the findings of one check, which must not crash."""
    outcomes = {o.check: o for o in run_checks(recipe, plan or plan_of(recipe))}
    assert not outcomes[check].crash, outcomes[check].crash
    return list(outcomes[check].findings)
