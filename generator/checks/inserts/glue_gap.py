"""Does the adhesive that the recipe names bridge the gap?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.adhesives import KEY_OF, Adhesive
from generator.base.finding import Finding, Severity
from generator.checks.check import NOISE, Check
from generator.outline.measure import centroid
from generator.part.bonds import gap_ways
from generator.part.inlays import gap_of
from generator.part.metals import adhesive_of
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

ID = "glue-gap"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``starved``, ``too-wide`` for gaps that the named adhesive does not fill, ``not-its-best`` for wide."""
    for insert in plan.inserts:
        inlay = recipe.inlays[insert.name.removeprefix("insert-")]
        adhesive = adhesive_of(recipe, inlay) if inlay.adhesive else None
        if adhesive is None or not insert.profile:
            continue
        gap = gap_of(inlay).value
        if code := _code(adhesive, gap):
            yield _finding(insert, adhesive, gap, gap_ways(recipe, plan, insert), code)


def _code(adhesive: Adhesive, gap: float) -> str:
    """Return what is the matter with a gap; empty if nothing is."""
    if gap < adhesive.thinnest.value - NOISE:
        return "starved"
    if gap > adhesive.widest.value + NOISE:
        return "too-wide"
    return "not-its-best" if gap > adhesive.best.value + NOISE else ""


def _finding(insert: Part, adhesive: Adhesive, gap: float, ways: str, code: str) -> Finding:
    """Return the finding of one gap."""
    name = insert.name.removeprefix("insert-")
    limit = {"starved": adhesive.thinnest, "too-wide": adhesive.widest, "not-its-best": adhesive.best}[code]
    what = {
        "starved": f"leaves {adhesive.name} no room: it is scraped off the wall as the insert goes in",
        "too-wide": f"is wider than {adhesive.name} bridges",
        "not-its-best": f"is wider than {adhesive.name} likes: the bond is weaker",
    }[code]
    return Finding(
        check=ID,
        code=code,
        severity=Severity.NOTES if code == "not-its-best" else Severity.WARNS,
        message=f"a gap of {gap:g} mm round insert {name} {what}",
        feature=insert.name,
        point_mm=centroid(insert.profile),
        face="top",
        figure=gap,
        limit=limit.value,
        unit="mm",
        source=limit.told_source,
        remedy=ways,
        path=f"inlays.{name}.adhesive",
    )


CHECK = Check(
    ID,
    "gap for the adhesive",
    "Every adhesive has a thickness at which it is strongest. Starved of room it is scraped off; too thick it shrinks, "
    "cures badly and is itself the weakest part. Only told where the recipe names the adhesive.",
    "adhesive makers' guides: epoxy 0.05 to 0.13 mm, cyanoacrylate below 0.05 mm, 0.2 mm the limit of both (read); of "
    "elastic adhesives from memory",
    run,
    limits=tuple(f"inserts.{key}_{x}" for key in KEY_OF.values() for x in ("thinnest", "best", "widest")),
)
