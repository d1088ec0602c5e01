"""Is any tolerance tighter than what the machine holds?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "tolerance-process"
OF_MACHINE = ("position", "size", "depth", "flip")
"""Those of the recipe's tolerances that the machine must keep; the others are of what was measured."""


def run(recipe: Recipe, _plan: Plan) -> Iterator[Finding]:
    """Yield ``tighter`` for every tolerance of what is cut that is tighter than ``making.accuracy``."""
    holds = recipe.making.accuracy
    for key in OF_MACHINE:
        asked = getattr(recipe.tolerances, key)
        if asked < holds - MODEL.same_mm:
            yield _finding(key, asked, holds)


def _finding(key: str, asked: float, holds: float) -> Finding:
    """Return the finding of one tolerance; 0 can be held by none."""
    better = f", or making.accuracy to at most {asked:g} mm" if asked > 0.0 else ""
    return Finding(
        check=ID,
        code="tighter",
        severity=Severity.WARNS,
        message=f"tolerances.{key} of ± {asked:g} mm is tighter than the machine, which holds ± {holds:g} mm: fit and "
        "chance are reckoned too well",
        feature=key,
        figure=asked,
        limit=holds,
        unit="mm",
        source="making.accuracy of the recipe; its default is common practice, no source",
        remedy=f"set tolerances.{key} to at least {no_less(holds)}{better}, if the machine holds that",
        path=f"tolerances.{key}",
    )


CHECK = Check(
    ID,
    "no tolerance tighter than the machine",
    "What is asked for and cannot be held makes every part a quarrel; and the chance that the cover goes on is only "
    "as good as the figures that it is reckoned from.",
    "common practice, no source",
    run,
    formula="tolerances.position, size, depth and flip against making.accuracy",
)
