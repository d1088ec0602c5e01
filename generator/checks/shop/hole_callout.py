"""Can every hole be called by a name that a shop knows, and drilled with a drill that it has?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base import stocked
from generator.base.finding import Finding, Severity
from generator.base.standards import CLEARANCE_HOLES
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.part.part import Bolt, Plan
from generator.recipe.model import Recipe

ID = "hole-callout"
SAME = MODEL.same_mm


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``by-diameter`` of holes whose thread is not named and ``odd-size`` of holes that no drill makes."""
    told: set[str] = set()
    for bolt in plan.bolts:
        if bolt.path not in told:
            told.add(bolt.path)
            yield from _bolt(recipe, plan, bolt)


def named(hole_mm: float) -> list[tuple[str, str]]:
    """Return threads and fits whose clearance hole has this diameter. Source: ISO 273."""
    rows = ((r.thread, {"fine": r.fine_mm, "medium": r.medium_mm, "coarse": r.coarse_mm}) for r in CLEARANCE_HOLES)
    return [(thread, fit) for thread, by_fit in rows for fit, mm in by_fit.items() if abs(mm - hole_mm) < SAME]


def _bolt(recipe: Recipe, plan: Plan, bolt: Bolt) -> Iterator[Finding]:
    """Yield what there is to say of the holes of one group."""
    names = [] if bolt.thread else named(bolt.hole_mm)
    if names:
        thread, fit = min(names, key=lambda n: ("medium", "fine", "coarse").index(n[1]))
        fits = "" if fit == "medium" else f" and {bolt.path}.fit to {fit}"
        yield _note(
            "by-diameter",
            f"holes of {bolt.hole_mm:g} mm are named by their diameter alone; by ISO 273 they are for {thread}, {fit}",
            bolt,
            f"set {bolt.path}.thread to {thread}{fits} without {bolt.path}.hole, or leave it",
            source="ISO 273:1979",
        )
    limit = recipe.limits.shop.drill_within
    drill = stocked.nearest_drill(bolt.hole_mm, plan.units == "inch")
    if abs(drill - bolt.hole_mm) > limit.value + SAME:
        larger = drill if drill > bolt.hole_mm else stocked.nearest_drill(2.0 * bolt.hole_mm - drill)
        yield _note(
            "odd-size",
            f"no drill makes holes of {bolt.hole_mm:g} mm; the nearest in stock has {drill:.4g} mm",
            bolt,
            f"set {bolt.path}.hole to {no_less(larger)}, or leave it and have the holes milled",
            source=f"{stocked.DRILL_SOURCE}; how near: {limit.told_source}",
            figure=bolt.hole_mm,
            limit=drill,
        )


def _note(
    code: str,
    message: str,
    bolt: Bolt,
    remedy: str,
    *,
    source: str,
    figure: float | None = None,
    limit: float | None = None,
) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=Severity.NOTES,
        message=message,
        feature=f"hole-{bolt.name}",
        point_mm=bolt.at,
        face="top",
        figure=figure,
        limit=limit,
        unit="" if figure is None else "mm",
        source=source,
        remedy=remedy,
        path=bolt.path,
    )


CHECK = Check(
    ID,
    "holes called by their names",
    "A hole that is called M6 medium tells a shop what goes through it, which drill makes it and how far it may be "
    "off; 6.63 mm tells none of that, and no drill makes it.",
    f"ISO 273:1979 (cross-checked); {stocked.DRILL_SOURCE}",
    run,
    limits=("shop.drill_within",),
)
