"""Does every insert go into its pocket when both are as far off as they may be?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.units import MODEL
from generator.checks.check import Check, no_less, no_more
from generator.outline.measure import centroid
from generator.part.inlays import gap_of
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

ID = "gap-tolerance"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``may-not-go-in`` for inserts, not pressed in, whose gap is less than what sizes may be off.

    Pocket and insert are both off by ``tolerances.size`` at most, over their width: by as much together on one side.
    """
    off = recipe.tolerances.size
    for insert in plan.inserts:
        inlay = recipe.inlays[insert.name.removeprefix("insert-")]
        gap = gap_of(inlay).value
        if insert.profile and inlay.fit != "press" and off > gap + MODEL.same_mm:
            yield _finding(recipe, insert, gap, off)


def _finding(recipe: Recipe, insert: Part, gap: float, off: float) -> Finding:
    """Return the finding of one insert; what is fitted by hand is filed until it goes in."""
    name = insert.name.removeprefix("insert-")
    by_hand = recipe.inlays[name].fit == "hand"
    tighter = f", or tolerances.size to at most {no_more(gap)}" if gap > recipe.making.accuracy else ""
    return Finding(
        check=ID,
        code="may-not-go-in",
        severity=Severity.NOTES if by_hand else Severity.WARNS,
        message=f"insert {name} has a gap of {gap:g} mm, and sizes may be off by ± {off:g} mm: at worst it does not go "
        f"in{' before it is filed' if by_hand else ''}",
        feature=insert.name,
        point_mm=centroid(insert.profile),
        face="top",
        figure=off,
        limit=gap,
        unit="mm",
        source=GEOMETRY,
        remedy=f"set inlays.{name}.gap to at least {no_less(off)}{tighter}"
        + (", or leave it and file the insert until it goes in" if by_hand else ""),
        path=f"inlays.{name}.gap" if recipe.inlays[name].gap is not None else f"inlays.{name}.fit",
    )


CHECK = Check(
    ID,
    "inserts go in at worst",
    "A gap is only there if both outlines are cut as drawn. Where pocket and insert may be off by more than the gap, "
    "the two do not go together as they come off the machine.",
    GEOMETRY,
    run,
    formula="gap - tolerances.size >= 0 on each side: half of it from the pocket, half from the insert",
)
