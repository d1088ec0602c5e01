"""Is an insert wide enough everywhere for its thickness?"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.checks.check import NOISE, Check, no_more
from generator.outline.narrow import Narrow, necks
from generator.part.bonds import may_be_thinner
from generator.part.metals import after_cuts
from generator.part.part import Part, Plan
from generator.part.wider_bridges import wider_bridges
from generator.recipe.model import Recipe

ID = "insert-width"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``narrow`` for inserts that are narrower somewhere than they are strong; told by their narrowest place.

    What the outline alone leaves below walls.thinnest is told by cutter-reach.
    """
    share = recipe.limits.inserts.narrow
    for insert in plan.inserts:
        below = share.value * insert.thickness_mm
        if not insert.profile or below <= NOISE:
            continue
        found = necks(after_cuts(insert), below - NOISE)
        known = necks(insert.profile, min(below, recipe.limits.walls.thinnest.value)) if found else ()
        own = [n for n in found if not any(_same(n, k) for k in known)]
        if own:
            yield _finding(recipe, plan, insert, own, share)


def _same(one: Narrow, other: Narrow) -> bool:
    """Return True if two necks are the same place."""
    return abs(one.at[0] - other.at[0]) + abs(one.at[1] - other.at[1]) < one.width_mm


def _finding(recipe: Recipe, plan: Plan, insert: Part, found: list[Narrow], share: Figure) -> Finding:
    """Return the finding of an insert's narrowest place."""
    name, narrowest = insert.name.removeprefix("insert-"), found[0]
    most, times = narrowest.width_mm / share.value, share.value * insert.thickness_mm / narrowest.width_mm
    thin = may_be_thinner(recipe, plan, insert, insert.thickness_mm - most)
    edit = f"set inlays.{name}.stock.thickness to at most {no_more(most)}, or " if thin else ""
    wider = wider_bridges(recipe, plan, insert, narrowest, share.value * insert.thickness_mm)
    where = f" (and {len(found) - 1} more)" if len(found) > 1 else ""
    return Finding(
        check=ID,
        code="narrow",
        severity=Severity.WARNS,
        message=f"insert {name} of {insert.thickness_mm:g} mm is only {narrowest.width_mm:.3f} mm wide at its "
        f"narrowest{where}: it bends while it is cut and let in",
        feature=insert.name,
        point_mm=narrowest.at,
        face="top",
        figure=narrowest.width_mm / insert.thickness_mm,
        limit=share.value,
        unit=share.unit,
        source=share.told_source,
        remedy=edit + (wider or f"draw it at least {ceil(100.0 * times) / 100.0:.2f} times as wide there"),
        path=f"inlays.{name}.outline",
    )


CHECK = Check(
    ID,
    "narrow places of inserts",
    "A web or an arm that is narrower than the sheet is thick stands up like a fin: the cutter pushes it over, and it "
    "bends when the insert is pressed home. Webs between letters that are cut through count as well.",
    "common practice, no source",
    run,
    limits=("inserts.narrow", "walls.thinnest"),
)
