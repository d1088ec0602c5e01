"""Does the adhesive that the recipe names bridge the gap?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.adhesives import Adhesive
from generator.base.finding import Finding, Severity
from generator.checks.check import NOISE, Check, no_less, no_more
from generator.outline.measure import centroid
from generator.part.inlays import gap_of
from generator.part.metals import adhesive_of
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

ID = "glue-gap"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``starved``, ``too-wide`` for gaps that the named adhesive does not fill, ``not-its-best`` for wide."""
    for insert in plan.inserts:
        inlay = recipe.inlays[insert.name.removeprefix("insert-")]
        adhesive = adhesive_of(inlay) if inlay.adhesive else None
        if adhesive is None or not insert.profile:
            continue
        gap = gap_of(inlay).value
        if gap < adhesive.least_mm - NOISE:
            yield _finding(insert, adhesive, gap, "starved")
        elif gap > adhesive.limit_mm + NOISE:
            yield _finding(insert, adhesive, gap, "too-wide")
        elif gap > adhesive.most_mm + NOISE:
            yield _finding(insert, adhesive, gap, "not-its-best")


def _finding(insert: Part, adhesive: Adhesive, gap: float, code: str) -> Finding:
    """Return the finding of one gap."""
    name = insert.name.removeprefix("insert-")
    limit = {"starved": adhesive.least_mm, "too-wide": adhesive.limit_mm, "not-its-best": adhesive.most_mm}[code]
    what = {
        "starved": f"leaves {adhesive.name} no room: it is scraped off the wall as the insert goes in",
        "too-wide": f"is wider than {adhesive.name} bridges",
        "not-its-best": f"is wider than {adhesive.name} likes: the bond is weaker",
    }[code]
    bound = f"at least {no_less(limit)}" if code == "starved" else f"at most {no_more(adhesive.most_mm)}"
    return Finding(
        check=ID,
        code=code,
        severity=Severity.NOTES if code == "not-its-best" else Severity.WARNS,
        message=f"a gap of {gap:g} mm round insert {name} {what}",
        feature=insert.name,
        point_mm=centroid(insert.profile),
        face="top",
        figure=gap,
        limit=limit,
        unit="mm",
        source=f"{adhesive.source}, {adhesive.provenance}",
        remedy=f"set inlays.{name}.gap to {bound}, or choose another adhesive",
        path=f"inlays.{name}.adhesive",
    )


CHECK = Check(
    ID,
    "gap for the adhesive",
    "Every adhesive has a thickness at which it is strongest. Starved of room it is scraped off; too thick it shrinks, "
    "cures badly and is itself the weakest part. Only told where the recipe names the adhesive.",
    "adhesive makers' guides: epoxy 0.05 to 0.13 mm, cyanoacrylate below 0.05 mm, 0.2 mm the limit of both (read)",
    run,
)
