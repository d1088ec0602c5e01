"""Is any tolerance tighter than what the machine holds, or the original known better than it can be measured?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "tolerance-process"
OF_MACHINE = ("position", "size", "depth", "flip")
"""Those of the recipe's tolerances that the machine must keep."""
MEASURED = ("footprint", "bolts", "height")
"""Those that say how well the original is known."""


def run(recipe: Recipe, _plan: Plan) -> Iterator[Finding]:
    """Yield ``tighter`` for what is to be cut better than making.accuracy, ``too-sure`` for what was measured."""
    holds = recipe.making.accuracy
    for key in OF_MACHINE:
        asked = getattr(recipe.tolerances, key)
        if asked < holds - MODEL.same_mm:
            yield _finding(key, asked, holds)
    limit = recipe.limits.shop.measured
    for key in MEASURED:
        known = getattr(recipe.tolerances, key)
        if known < limit.value - MODEL.same_mm:
            yield _too_sure(key, known, limit)


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


def _too_sure(key: str, known: float, limit: Figure) -> Finding:
    """Return the note on a figure of the original that no caliper gives."""
    return Finding(
        check=ID,
        code="too-sure",
        severity=Severity.NOTES,
        message=f"tolerances.{key} says that the original is known to ± {known:g} mm: a caliper alone is off by "
        f"± {limit.value:g} mm, and the fit is reckoned from this",
        feature=key,
        figure=known,
        limit=limit.value,
        unit=limit.unit,
        source=limit.told_source,
        remedy=f"set tolerances.{key} to at least {no_less(limit.value)}, or leave it if a finer instrument says so",
        path=f"tolerances.{key}",
    )


CHECK = Check(
    ID,
    "no tolerance tighter than the machine",
    "What is asked for and cannot be held makes every part a quarrel; and the chance that the cover goes on is only "
    "as good as the figures that it is reckoned from.",
    "common practice, no source",
    run,
    formula="tolerances.position, size, depth and flip against making.accuracy; footprint, bolts and height against "
    "what a caliper may be off",
    limits=("shop.measured",),
)
